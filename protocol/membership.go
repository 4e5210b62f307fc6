package protocol

import (
	"slices"
	"time"
)

// A listener reports its own gaps to a Tracker with these calls; otherwise they
// would count as silence or loss of a source.

// Joined reports that packets to a universe's group are heard from now on.
func (t *Tracker) Joined(u Universe, now time.Time) {
	if _, ok := t.joined[u]; !ok {
		t.joined[u] = now
	}
	delete(t.left, u)
}

// Left reports that packets to a universe's group are no longer heard: its
// multicast streams are Unheard until they are heard again.
func (t *Tracker) Left(u Universe, now time.Time) {
	delete(t.joined, u)
	t.left[u] = true
	t.leave(now, func(universe Universe, a *account) bool { return universe == u })
}

// LeftInterface is Left for the streams heard on one interface, of a universe
// that is still heard on another.
func (t *Tracker) LeftInterface(u Universe, name string, now time.Time) {
	t.leave(now, func(universe Universe, a *account) bool { return universe == u && a.stats.iface == name })
}

// leave marks live streams as unheard rather than lost: they are silent because
// the group (9.3.1) they came by is no longer joined.
func (t *Tracker) leave(now time.Time, is func(Universe, *account) bool) {
	for _, s := range t.sources {
		for u, a := range s.streams {
			if state, _ := a.stateAt(now); state == Live && a.stats.group.IsValid() && is(u, a) {
				a.table.drop(a, now, Unheard)
			}
		}
	}
}

// Missed reports that this machine itself may have lost datagrams until now, as
// when it slept or read too slowly: every live stream may continue with any
// sequence number, and its silence counts from now on. since is when the last
// datagram before the gap was heard.
func (t *Tracker) Missed(since, now time.Time) {
	for _, s := range t.sources {
		for _, a := range s.streams {
			if state, _ := a.stateAt(since); state == Live && a.state == Live {
				a.missed(now)
			}
		}
	}
	t.rx.syncs.missed(since, now)
}

// Heard are the universes of which data comes by multicast, ascending. A
// listener keeps their groups even if their sources no longer list them.
func (t *Tracker) Heard(now time.Time) []Universe {
	return t.gather(func(u Universe, a *account) Universe {
		if state, _ := a.stateAt(now); state != Live || !a.stats.group.IsValid() {
			return 0
		}
		return u
	})
}

// SyncAddresses are the synchronization addresses that live data names,
// ascending: packets for them are sent to the groups of these universes only
// (6.3.3).
func (t *Tracker) SyncAddresses(now time.Time) []Universe {
	return t.gather(func(_ Universe, a *account) Universe {
		if state, _ := a.stateAt(now); state != Live {
			return 0
		}
		return a.sync
	})
}

// gather collects one universe of each account, without zeros.
func (t *Tracker) gather(of func(Universe, *account) Universe) []Universe {
	var us []Universe
	for _, s := range t.sources {
		for u, a := range s.streams {
			if v := of(u, a); v != 0 {
				us = append(us, v)
			}
		}
	}
	slices.Sort(us)
	return slices.Compact(us)
}
