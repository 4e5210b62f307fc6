package protocol

import (
	"encoding/binary"
	"fmt"
	"time"
)

// Port is the UDP port of the standard: fixed for multicast, a default for
// unicast (9.1.1).
const Port = 5568

// The vectors (appendix A; 5.5, 6.2.1, 6.3.1, 6.4.1, 7.2, 8.2).
const (
	VectorRootData     = 0x00000004
	VectorRootExtended = 0x00000008
	VectorData         = 0x00000002
	VectorSync         = 0x00000001
	VectorDiscovery    = 0x00000002
	VectorList         = 0x00000001
	VectorSetProperty  = 0x02
)

// Sizes and limits.
const (
	MaxSlots       = 512             // after the START code (7.7)
	MinDataSize    = 126             // a START code and no slot (table 4-1)
	MaxDataSize    = 638             // 512 slots (table 4-1)
	SyncSize       = 49              // table 4-2
	MinDiscovery   = 120             // an empty page (table 4-3)
	MaxDiscovery   = 1144            // 512 universes (8.1)
	PageSize       = 512             // universes on one page (8.1)
	MaxPriority    = 200             // 6.2.3
	MaxNameText    = 63              // octets of text, one less than the field (6.2.2)
	FirstUniverse  = Universe(1)     // 6.2.7
	LastUniverse   = Universe(63999) // 6.2.7
	DiscoveryGroup = Universe(64214) // E131_DISCOVERY_UNIVERSE (appendix A)
)

// START codes.
const (
	StartLevels   = 0x00 // levels (7.7; E1.11)
	StartPriority = 0xdd // a priority for each slot, 0 meaning "not driven" (6.2.3.2; values from memory)
)

// Times.
const (
	// LossTimeout ends a source on a universe (6.7.1, appendix A).
	LossTimeout = 2500 * time.Millisecond
	// DiscoveryInterval is E131_UNIVERSE_DISCOVERY_INTERVAL (appendix A).
	DiscoveryInterval = 10 * time.Second
	// KeepAliveMin and KeepAliveMax bound the repeat of unchanged data (6.6.2).
	KeepAliveMin = 800 * time.Millisecond
	KeepAliveMax = 1000 * time.Millisecond
	// Repeats is how often the last values go out before they are only kept
	// alive (6.6.2), and how many terminated packets end a universe (6.2.6).
	Repeats = 3
	// MinPeriod is the least time between two packets for one universe. 6.6.1
	// sets the ceiling at E1.11's refresh rate: break 92 + mark 12 + 513 slots
	// of 44 us = 22,676 us or 44.1 Hz with E1.11-2008's transmitter minimums.
	// 22,728 us is 1/44 s rounded up, which stays below it and below 44 Hz.
	MinPeriod = 22728 * time.Microsecond
)

// Where fields start, in octets from the start of the UDP payload (tables 4-1,
// 4-2, 4-3). All three packets begin with the root layer:
//
//	 0  2  preamble size, 0x0010 (5.1)
//	 2  2  post-amble size, 0 (5.2)
//	 4 12  ACN packet identifier (5.3)
//	16  2  flags 0x7 and the length from here to the end of the packet (5.4)
//	18  4  vector: 4 data, 8 extended (5.5)
//	22 16  CID (5.6)
//	38  2  flags and length of the framing layer (6.1)
//	40  4  vector: 2 data; 1 synchronization, 2 discovery (6.2.1, 6.3.1, 6.4.1)
//
// A data packet goes on (6.2, 7):
//
//	 44 64  source name     108 1  priority   109 2  synchronization address
//	111  1  sequence number 112 1  options    113 2  universe
//	115  2  flags and length of the DMP layer (7.1)
//	117  1  vector 0x02 (7.2)        118 1  address and data type 0xa1 (7.3)
//	119  2  first address 0 (7.4)    121 2  address increment 1 (7.5)
//	123  2  property value count: the START code and the slots, 1 to 513 (7.6)
//	125  1  START code               126    slots, at most 512 (7.7)
//
// A synchronization packet: 44 1 sequence number, 45 2 address, 47 2 reserved
// (6.3). A discovery packet: 44 64 source name, 108 4 reserved (6.4), 112 2
// flags and length, 114 4 vector, 118 1 page, 119 1 last page, 120 universes of
// 2 octets each, ascending (8).
const (
	rootLengthAt     = 16
	rootVectorAt     = 18
	cidAt            = 22
	framingLengthAt  = 38
	framingVectorAt  = 40
	nameAt           = 44
	priorityAt       = 108
	dataSyncAt       = 109
	dataSequenceAt   = 111
	optionsAt        = 112
	universeAt       = 113
	dmpLengthAt      = 115
	dmpVectorAt      = 117
	addressTypeAt    = 118
	firstAddressAt   = 119
	incrementAt      = 121
	countAt          = 123
	startCodeAt      = 125
	slotsAt          = 126
	syncSequenceAt   = 44
	syncAddressAt    = 45
	syncReservedAt   = 47
	listReservedAt   = 108
	listLengthAt     = 112
	listVectorAt     = 114
	pageAt           = 118
	lastPageAt       = 119
	listAt           = 120
	lengthFlags      = 0x7000 // the flags that every layer's length carries (5.4, 6.1, 7.1, 8.1)
	addressType      = 0xa1   // 7.3
	preamble         = 0x0010 // 5.1
	rootLayerMinimum = framingLengthAt - rootLengthAt
)

// identifier is "ASC-E1.17" filled with NUL to 12 octets (5.3).
const identifier = "ASC-E1.17\x00\x00\x00"

// opening is what every packet starts with: preamble, post-amble, identifier.
const opening = "\x00\x10\x00\x00" + identifier

// A FieldError names a field whose value the standard does not allow.
type FieldError struct {
	Field  string // as the standard writes it, with its layer where several have one
	Clause string // of ANSI E1.31-2018
	Octet  int    // where the field starts in the packet
	Got    any    // the value refused
	Want   any    // what is allowed: a value, or a range in words
}

// Error reads, for instance:
// e1.31: Priority at octet 108 is 201, want 0 to 200 (clause 6.2.3).
func (e *FieldError) Error() string {
	return fmt.Sprintf("e1.31: %s at octet %d is %v, want %v (clause %s)", e.Field, e.Octet, e.Got, e.Want, e.Clause)
}

// short refuses a packet that ends before octet want.
func short(b []byte, want int) error {
	return &FieldError{Field: "packet length", Clause: "4", Octet: 0, Got: len(b), Want: fmt.Sprintf("at least %d octets", want)}
}

// checkRoot refuses what a receiver must refuse by clause 5, and a length that
// does not fit the packet. vector 0 accepts any vector.
func checkRoot(b []byte, vector uint32) error {
	if len(b) < framingLengthAt {
		return short(b, framingLengthAt)
	}
	if string(b[:rootLengthAt]) != opening {
		return refuseOpening(b)
	}
	if v := binary.BigEndian.Uint32(b[rootVectorAt:]); vector != 0 && v != vector {
		return &FieldError{Field: "Root Vector", Clause: "5.5", Octet: rootVectorAt, Got: v, Want: vector}
	}
	field := int(binary.BigEndian.Uint16(b[rootLengthAt:]))
	if field&0xf000 != lengthFlags {
		return refuseFlags("Root Flags and Length", "5.4", rootLengthAt, field)
	}
	if n := field & 0x0fff; n > len(b)-rootLengthAt {
		return &FieldError{Field: "Root Flags and Length", Clause: "5.4", Octet: rootLengthAt, Got: n,
			Want: fmt.Sprintf("at most the %d octets that are there", len(b)-rootLengthAt)}
	} else if n < rootLayerMinimum {
		return &FieldError{Field: "Root Flags and Length", Clause: "5.4", Octet: rootLengthAt, Got: n,
			Want: fmt.Sprintf("at least %d", rootLayerMinimum)}
	}
	return nil
}

// refuseOpening names the field of the first 16 octets that is wrong.
func refuseOpening(b []byte) error {
	if v := binary.BigEndian.Uint16(b); v != preamble {
		return &FieldError{Field: "Preamble Size", Clause: "5.1", Octet: 0, Got: v, Want: preamble}
	}
	if v := binary.BigEndian.Uint16(b[2:]); v != 0 {
		return &FieldError{Field: "Post-amble Size", Clause: "5.2", Octet: 2, Got: v, Want: 0}
	}
	return &FieldError{Field: "ACN Packet Identifier", Clause: "5.3", Octet: 4,
		Got: fmt.Sprintf("%x", b[4:16]), Want: fmt.Sprintf("%x", identifier)}
}

// refuseFlags refuses a length field whose top four bits are not 7: any other
// value means that parts of the layer are inherited or that its length field is
// longer (E1.17, from memory), which E1.31 does not use.
func refuseFlags(field, clause string, at, got int) error {
	return &FieldError{Field: field, Clause: clause, Octet: at, Got: fmt.Sprintf("%#04x", got), Want: "flags 0x7"}
}

// end is the octet where the root layer ends by its own length. Call checkRoot
// first.
func end(b []byte) int {
	return rootLengthAt + int(binary.BigEndian.Uint16(b[rootLengthAt:])&0x0fff)
}

// checkLength refuses a layer whose length does not reach exactly to the end of
// the packet (5.4, 6.1, 7.1, 8.1).
func checkLength(b []byte, at, end int, field, clause string) error {
	if got := int(binary.BigEndian.Uint16(b[at:])); got != lengthFlags|(end-at) {
		return refuseLength(field, clause, at, got, end-at)
	}
	return nil
}

// refuseLength refuses a layer's length: its upper four bits are flags, always
// 0x7, its lower twelve count octets from the length field to the end of the
// packet (5.4, 6.1, 7.1, 8.1).
func refuseLength(field, clause string, at, got, want int) error {
	if got&0xf000 != lengthFlags {
		return refuseFlags(field, clause, at, got)
	}
	return &FieldError{Field: field, Clause: clause, Octet: at, Got: got & 0x0fff, Want: want}
}

// appendRoot adds the root layer of a packet of total octets.
func appendRoot(b []byte, total int, vector uint32, cid *CID) []byte {
	b = append(b, opening...)
	b = binary.BigEndian.AppendUint16(b, uint16(lengthFlags|(total-rootLengthAt)))
	b = binary.BigEndian.AppendUint32(b, vector)
	return append(b, cid[:]...)
}
