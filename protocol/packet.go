// Package protocol turns ANSI E1.31-2018 packets into octets and back, and
// folds what was heard into sources and conflicts.
//
// Units: lengths and offsets are octets of the UDP payload, counted from 0.
// Universes have the standard's numbers; slots count from 0 here. Wide numbers
// are big-endian. "6.2.3" means that clause. Nothing here reads a clock or
// opens a socket; sequence numbers and the CID are the caller's.
package protocol

// A Universe is a universe number, 1 to 63999 for data (9.1.1).
type Universe uint16

// A CID names one source for its whole life (5.6).
type CID [16]byte

// A SourceName is UTF-8, NUL terminated and NUL filled (6.2.2).
type SourceName [64]byte
