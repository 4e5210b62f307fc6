package protocol

import (
	"errors"
	"net/netip"
	"time"
)

// malformedTable counts packets that do not parse, by address and reason.
type malformedTable map[malformedKey]*MalformedReport

// A malformedKey distinguishes refused packets: who sent them, and the standard's
// name of the field that was refused.
type malformedKey struct {
	from   netip.Addr
	reason string
}

// others is the key for the packets that exceed the limit of the table.
var others = malformedKey{reason: "others"}

// note counts a packet. A reason is the name of a field, so there are few of
// them; addresses may be many.
func (m malformedTable) note(h Datagram, err error) {
	key := malformedKey{from: h.From.Addr(), reason: "packet"}
	var field *FieldError
	if errors.As(err, &field) {
		key.reason = field.Field
	}
	r := m[key]
	if r == nil && len(m) >= maxMalformed {
		key = others
		r = m[key]
	}
	if r == nil {
		r = &MalformedReport{From: key.from, Reason: key.reason, First: h.At}
		m[key] = r
	}
	r.Packets++
	r.Last, r.Err = h.At, err
}

// tick deletes entries not seen for ForgetAfter, to keep space in a table of
// maxMalformed entries for current faults.
func (m malformedTable) tick(now time.Time) {
	for key, r := range m {
		if now.Sub(r.Last) >= ForgetAfter {
			delete(m, key)
		}
	}
}
