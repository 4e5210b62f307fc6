package protocol

import (
	"errors"
	"net/netip"
	"time"
)

// malformed counts packets that do not parse, by address and reason.
type malformed map[malformedKey]*MalformedReport

type malformedKey struct {
	from   netip.Addr
	reason string
}

// others gathers what there was no room to keep apart.
var others = malformedKey{reason: "others"}

// note counts a packet. A reason is the name of a field, so there are few of
// them; addresses may be many.
func (m malformed) note(h Heard, err error) {
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

func (m malformed) tick(now time.Time) {
	for key, r := range m {
		if now.Sub(r.Last) >= ForgetAfter {
			delete(m, key)
		}
	}
}
