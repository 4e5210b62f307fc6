// Package checkout finds what is wrong with a prop by asking a few questions.
//
// It sends a picture (a probe), asks one question that a person can answer at a
// glance, and weighs every fault the prop could have by the answer (Bayes' rule).
// The light of a fault is not written down here: each hypothesis is run through
// the simulated strip (package strip), and a reading (reading.go) turns its light
// into the predicted answer.
//
// Units: pixels, runs and slots count from 0 in values and from 1 in text.
// Levels and posteriors are 0 to 1, priors are props of 100, weights are natural
// logarithms, information is in bits, costs are seconds of the builder's time.
// Nothing here reads a clock, a file, a socket or a random source: the same
// prop and the same answers always give the same questions and findings.
//
// Order of calls: New; Next, show the probe and Answer until Done; Findings.
// Restore continues from a Log.
package checkout
