// Package arch has no code, only a test: that every file imports no more than
// its place in the house allows, that pure packages read no clock, draw no lots
// and start no goroutines, and that arrows between packages point down only.
//
// To give a new package a place: add a line to layers in rules_test.go, and
// one to pure if it is to be so.
package arch
