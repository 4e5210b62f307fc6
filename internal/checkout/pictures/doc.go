// Package pictures weighs what a camera read of a prop: as evidence for the
// check-out's engine, which answers its questions from it and comes to the
// same findings in the same words, and beside them as a table of every place
// as it was built, which needs no list of faults. Where the two disagree it
// says so.
package pictures
