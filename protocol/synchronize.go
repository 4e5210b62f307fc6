package protocol

import (
	"time"

	"example.org/ringout/internal/sorting"
)

// syncs holds what was heard for each synchronization address.
type syncs map[Universe]*syncAddress

// Limits of syncs.
const (
	maxSyncs       = 512 // addresses
	maxSyncSources = 8   // sources of one address
)

// A syncAddress is one synchronization address, 1 to 63999. Data that names it
// waits for its packets, from any source, while they come (6.2.4.1).
type syncAddress struct {
	last    time.Time // newest packet, of any source
	sources []syncSource
}

// A syncSource is one source's packets for one address: their numbers count
// apart from those of its data (6.3.2).
type syncSource struct {
	run
	cid     CID
	packets uint64 // accepted
}

// active reports whether an address is synchronized: a packet came within 2.5 s
// (11.1.2).
func (s syncs) active(address Universe, now time.Time) bool {
	if address == 0 {
		return false
	}
	at := s[address]
	return at != nil && now.Sub(at.last) < LossTimeout
}

// hear takes a packet and reports whether it passed the sequence rule.
func (s syncs) hear(now time.Time, p Sync) bool {
	at := s[p.Address]
	if at == nil {
		if len(s) >= maxSyncs {
			s.forget(now, LossTimeout)
		}
		if len(s) >= maxSyncs {
			return false
		}
		at = new(syncAddress)
		s[p.Address] = at
	}
	var from *syncSource
	var found bool
	at.sources, from, found = place(at.sources, maxSyncSources,
		func(y *syncSource) bool { return y.cid == p.CID }, func(y *syncSource) time.Time { return y.last })
	if !found || from.lost(now) {
		from.cid = p.CID
		from.start(now)
	}
	if _, ok := from.accept(now, p.Sequence); !ok {
		return false
	}
	from.packets++
	at.last = now
	return true
}

// forget deletes addresses that have been silent for longer than silent.
func (s syncs) forget(now time.Time, silent time.Duration) {
	for address, at := range s {
		if now.Sub(at.last) >= silent {
			delete(s, address)
		}
	}
}

// missed is Tracker.Missed for the addresses that were live at since.
func (s syncs) missed(since, now time.Time) {
	for _, at := range s {
		if since.Sub(at.last) >= LossTimeout {
			continue
		}
		at.last = now
		for i := range at.sources {
			if y := &at.sources[i]; !y.lost(since) {
				y.missed(now)
			}
		}
	}
}

// of lists one source's synchronization packets, ascending by address.
func (s syncs) of(c CID, now time.Time) []SyncReport {
	var out []SyncReport
	for address, at := range s {
		for i := range at.sources {
			if y := &at.sources[i]; y.cid == c {
				out = append(out, SyncReport{Address: address, Live: !y.lost(now), Last: y.last, Packets: y.packets})
			}
		}
	}
	sorting.By(out, func(a, b SyncReport) int { return int(a.Address) - int(b.Address) })
	return out
}
