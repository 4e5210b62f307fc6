// Package foreign simulates senders other than ringout. It lays out packets by
// the octet numbers of ANSI E1.31-2018 tables 4-1 to 4-3, without package
// protocol, and has cases of their behaviour with the sentences to report.
package foreign

import "encoding/binary"

// A Sender is one source on one universe. Its fields are written unchecked, so
// that a case can break the standard.
type Sender struct {
	CID      [16]byte
	Name     string // of octets 44 to 107, cut to 64
	Priority byte   // octet 108
	Sync     uint16 // octets 109, 110
	Sequence byte   // octet 111 of the next packet
	Options  byte   // octet 112: 0x80 preview, 0x40 terminated, 0x20 force sync
	Universe uint16 // octets 113, 114
	Start    byte   // octet 125: 0 levels, 0xdd a priority for each slot
}

// root returns a packet of n octets with octets 0 to 37, the root layer, filled in.
func root(n int, vector byte, cid [16]byte) []byte {
	b := make([]byte, n)
	b[1] = 0x10
	copy(b[4:], "ASC-E1.17")
	length(b, 16)
	b[21] = vector
	copy(b[22:], cid[:])
	return b
}

// length writes, at octet at, flags 0x7 and the length from there to the end.
func length(b []byte, at int) { binary.BigEndian.PutUint16(b[at:], 0x7000|uint16(len(b)-at)) }

// Data returns the sender's next data packet: 126 octets and the slots.
func (s *Sender) Data(slots ...byte) []byte {
	b := root(126+len(slots), 4, s.CID)
	length(b, 38)
	b[43] = 2
	copy(b[44:108], s.Name)
	b[108] = s.Priority
	binary.BigEndian.PutUint16(b[109:], s.Sync)
	b[111] = s.Sequence
	b[112] = s.Options
	binary.BigEndian.PutUint16(b[113:], s.Universe)
	length(b, 115)
	copy(b[117:], []byte{2, 0xa1, 0, 0, 0, 1})
	binary.BigEndian.PutUint16(b[123:], uint16(len(slots)+1))
	b[125] = s.Start
	copy(b[126:], slots)
	s.Sequence++
	return b
}

// Synchronization returns a synchronization packet, 49 octets.
func Synchronization(cid [16]byte, sequence byte, address uint16) []byte {
	b := root(49, 8, cid)
	length(b, 38)
	b[43] = 1
	b[44] = sequence
	binary.BigEndian.PutUint16(b[45:], address)
	return b
}

// Discovery returns a universe discovery packet of one page: 120 octets and two
// per universe.
func Discovery(cid [16]byte, name string, universes ...uint16) []byte {
	b := root(120+2*len(universes), 8, cid)
	length(b, 38)
	b[43] = 2
	copy(b[44:108], name)
	length(b, 112)
	b[117] = 1
	for i, u := range universes {
		binary.BigEndian.PutUint16(b[120+2*i:], u)
	}
	return b
}
