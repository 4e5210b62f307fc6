// Package checkout finds what is wrong with a prop by asking a few questions.
//
// It shows something (a probe), asks one thing a person can see at a glance,
// and weighs every fault the prop could have by the answers. What a fault would
// look like is never written down here: every hypothesis is a strip.Strip and
// is run through the simulated strip, and a reading (see reading.go) says what
// a person would answer who sees that light.
//
// Units: pixels, runs and slots count from 0 in values and from 1 in text.
// Levels and shares are 0 to 1, costs are seconds of the builder's time.
// Nothing here reads a clock, a file, a socket or a random source: the same
// prop and the same answers always give the same questions and findings.
//
// The way through: New, then Next, show it, Answer, until Done; then Findings.
// Restore continues from a Log.
package checkout
