package protocol

import "time"

// syncs is what was heard for each synchronization address.
type syncs map[Universe]*syncState

// What is kept at most.
const (
	maxSyncs       = 512 // addresses
	maxSyncSources = 8   // sources of one address
)

type syncState struct {
	last    time.Time
	sources []syncSource
}

type syncSource struct {
	cid   CID
	seq   Sequence
	heard time.Time
}

// active reports whether synchronization is at work for an address: a packet
// within 2.5 s (11.1.2).
func (s syncs) active(address Universe, now time.Time) bool {
	st := s[address]
	return address != 0 && st != nil && now.Sub(st.last) < LossTimeout
}

// hear takes a packet and reports whether its sequence number let it count.
func (s syncs) hear(now time.Time, p Sync) bool {
	st := s[p.Address]
	if st == nil {
		if len(s) >= maxSyncs {
			s.tick(now)
		}
		if len(s) >= maxSyncs {
			return false
		}
		st = new(syncState)
		s[p.Address] = st
	}
	from := st.source(now, p.CID)
	if _, ok := from.seq.Accept(p.Sequence); !ok {
		return false
	}
	from.heard, st.last = now, now
	return true
}

// source finds a source's stream, in the place of the stalest if it is one too
// many; a stream that was silent for 2.5 s starts anew.
func (st *syncState) source(now time.Time, c CID) *syncSource {
	stalest := 0
	for i := range st.sources {
		src := &st.sources[i]
		if src.cid == c {
			if now.Sub(src.heard) >= LossTimeout {
				src.seq.Reset()
			}
			return src
		}
		if src.heard.Before(st.sources[stalest].heard) {
			stalest = i
		}
	}
	if len(st.sources) < maxSyncSources {
		st.sources = append(st.sources, syncSource{cid: c})
		return &st.sources[len(st.sources)-1]
	}
	st.sources[stalest] = syncSource{cid: c}
	return &st.sources[stalest]
}

// tick forgets addresses that have been silent.
func (s syncs) tick(now time.Time) {
	for address, st := range s {
		if now.Sub(st.last) >= LossTimeout {
			delete(s, address)
		}
	}
}
