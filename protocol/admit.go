package protocol

import (
	"net/netip"
	"slices"
	"time"
)

// admit makes a source of a stranger, or returns nil when there is no room.
func (t *Tracker) admit(h Heard, c CID) *source {
	home := h.From.Addr()
	g := t.guests[home]
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
	if g = t.guests[home]; g == nil { // eviction may have closed the account
		g = new(guest)
		t.guests[home] = g
	}
	g.sources++
	s := &source{cid: c, first: h.At, last: h.At, home: home, from: h.From, streams: map[Universe]*stream{}}
	t.sources[c] = s
	return s
}

// evict forgets the stalest quarter of the sources that are not live, of one
// address or of all. A quarter, so that a flood does not pay for a search with
// every packet. When all are live it says until when that may stay so.
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

func (t *Tracker) forget(s *source) {
	t.streams -= len(s.streams)
	t.listed -= s.list.size()
	delete(t.sources, s.cid)
	if g := t.guests[s.home]; g != nil {
		if g.sources--; g.sources <= 0 {
			delete(t.guests, s.home)
		}
	}
}

// open starts a stream, or returns nil when there is no room.
func (t *Tracker) open(h Heard, s *source, u Universe) *stream {
	if t.streams >= MaxStreams {
		t.dropStreams(h.At)
	}
	if t.streams >= MaxStreams {
		return nil
	}
	st := &stream{universe: u, first: h.At}
	s.streams[u] = st
	t.streams++
	return st
}

// dropStreams forgets every stream that is not live.
func (t *Tracker) dropStreams(now time.Time) {
	if now.Before(t.noStreamTo) {
		return
	}
	before := t.streams
	for _, s := range t.sources {
		for u, st := range s.streams {
			if st.state(now) != Live {
				delete(s.streams, u)
				t.streams--
			}
		}
	}
	if t.streams == before {
		t.noStreamTo = now.Add(LossTimeout / 10)
	}
}
