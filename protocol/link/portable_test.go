//go:build !linux || portable

package link

const fast = false // the ways of other systems are in use
