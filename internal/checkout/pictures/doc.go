// Package pictures evaluates a camera's reading of a prop. It answers the check-out's
// questions from the reading, which gives the same findings in the same words, and lists
// every place as built, which needs no list of faults. It reports where the two disagree.
package pictures
