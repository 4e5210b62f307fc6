package protocol

import "encoding/binary"

// A Template is a data packet encoded once, for a sender that changes only
// sequence, options and slots from packet to packet. Its octets keep their
// address: a batch of messages points to them.
type Template struct {
	b [MaxDataSize]byte
	n int
}

// NewTemplate encodes d. Call d.Check first.
func NewTemplate(d *Data) *Template {
	t := new(Template)
	t.n = len(AppendData(t.b[:0], d))
	return t
}

// SetSlots changes the slots of the packets to come; slots past 512 are
// ignored.
func (t *Template) SetSlots(slots []byte) {
	if n := slotsAt + copy(t.b[slotsAt:], slots); n != t.n {
		t.resize(n)
	}
}

// Slots are the slots of the packets to come: a view of the packet itself.
func (t *Template) Slots() []byte { return t.b[slotsAt:t.n] }

// Next sets what changes from packet to packet and returns the octets: a view that
// the next call changes. It allocates nothing, and touches two octets only: a packet
// is sent far more often than its slots change.
func (t *Template) Next(sequence uint8, options Options) []byte {
	t.b[dataSequenceAt] = sequence
	t.b[optionsAt] = byte(options & knownOptions)
	return t.b[:t.n]
}

// resize writes the three lengths and the count for n octets in all.
func (t *Template) resize(n int) {
	t.n = n
	for _, at := range []int{rootLengthAt, framingLengthAt, dmpLengthAt} {
		binary.BigEndian.PutUint16(t.b[at:], uint16(lengthFlags|(n-at)))
	}
	binary.BigEndian.PutUint16(t.b[countAt:], uint16(n-startCodeAt))
}
