package protocol

import (
	"net/netip"
	"slices"
	"time"
)

// admit adds an unknown source, or returns nil when the tracker is full.
func (t *Tracker) admit(h Datagram, c CID) *source {
	home := h.From.Addr()
	g := t.addresses[home]
	if g != nil && g.sources >= MaxPerAddress {
		if h.At.Before(g.fullUntil) {
			return nil
		}
		var freed bool
		if freed, g.fullUntil = t.evict(h.At, home); !freed {
			return nil
		}
	}
	if len(t.sources) >= MaxSources {
		if h.At.Before(t.fullUntil) {
			return nil
		}
		var freed bool
		if freed, t.fullUntil = t.evict(h.At, netip.Addr{}); !freed {
			return nil
		}
	}
	if g = t.addresses[home]; g == nil { // eviction may have deleted it
		g = new(address)
		t.addresses[home] = g
	}
	g.sources++
	s := &source{cid: c, first: h.At, last: h.At, home: home, from: h.From, streams: map[Universe]*account{}}
	t.sources[c] = s
	return s
}

// evict deletes the quarter of the sources that have been silent longest, of
// one address or of all; live sources stay. It deletes a quarter because one at
// a time would cost a search for every packet of a flood. When all are live it
// returns the time until which they may stay live.
func (t *Tracker) evict(now time.Time, home netip.Addr) (freed bool, fullUntil time.Time) {
	var gone []*source
	fullUntil = now.Add(LossTimeout)
	for _, s := range t.sources {
		if home.IsValid() && s.home != home {
			continue
		}
		if now.Sub(s.last) >= LossTimeout {
			gone = append(gone, s)
		} else if until := s.last.Add(LossTimeout); until.Before(fullUntil) {
			fullUntil = until
		}
	}
	if len(gone) == 0 {
		return false, fullUntil
	}
	slices.SortFunc(gone, func(a, b *source) int { return a.last.Compare(b.last) })
	for _, s := range gone[:(len(gone)+3)/4] {
		t.forget(s)
	}
	return true, time.Time{}
}

// forget removes a source with its streams and its discovery list from all
// limited counts.
func (t *Tracker) forget(s *source) {
	for u := range s.streams {
		t.forgetStream(s, u)
	}
	t.listed -= s.list.size()
	delete(t.sources, s.cid)
	if g := t.addresses[s.home]; g != nil {
		if g.sources--; g.sources <= 0 {
			delete(t.addresses, s.home)
		}
	}
}

// roomForStream reports whether one more stream can be kept; if necessary it
// first deletes streams that are not live.
func (t *Tracker) roomForStream(now time.Time) bool {
	if t.streams < MaxStreams {
		return true
	}
	if now.Before(t.noStreamTo) {
		return false
	}
	for _, s := range t.sources {
		for u, a := range s.streams {
			if state, _ := a.stateAt(now); state != Live {
				t.forgetStream(s, u)
			}
		}
	}
	if t.streams < MaxStreams {
		return true
	}
	t.noStreamTo = now.Add(LossTimeout / 10)
	return false
}

// forgetStream deletes one universe of a source. A live one is dropped from the
// universe's arbitration first, as if it had been lost (6.7.1).
func (t *Tracker) forgetStream(s *source, u Universe) {
	if a := s.streams[u]; a.state == Live {
		a.table.drop(a, a.last, Lost)
	}
	delete(s.streams, u)
	t.streams--
}
