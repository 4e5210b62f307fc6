//go:build linux && !portable

package link

const fast = true // Linux's own ways are in use
