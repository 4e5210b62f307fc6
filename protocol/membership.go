package protocol

import (
	"slices"
	"time"
)

// What a listener tells a Tracker of itself, so that its own absence is not
// taken for silence or loss of a source.

// Joined says that packets to a universe's group are heard from now on.
func (t *Tracker) Joined(u Universe, now time.Time) {
	if _, ok := t.joined[u]; !ok {
		t.joined[u] = now
	}
	delete(t.left, u)
}

// Left says that packets to a universe's group are no longer heard: what came
// by multicast stays as Unheard until it is heard again.
func (t *Tracker) Left(u Universe, now time.Time) {
	delete(t.joined, u)
	t.left[u] = true
	t.leave(now, func(universe Universe, a *account) bool { return universe == u })
}

// LeftInterface is Left for what came in by one interface, of one universe
// that is still heard by another.
func (t *Tracker) LeftInterface(u Universe, name string, now time.Time) {
	t.leave(now, func(universe Universe, a *account) bool { return universe == u && a.stats.iface == name })
}

// leave marks live streams as unheard rather than lost: their silence is ours,
// since the group (9.3.1) they were heard by is no longer joined.
func (t *Tracker) leave(now time.Time, is func(Universe, *account) bool) {
	for _, s := range t.sources {
		for u, a := range s.streams {
			if state, _ := a.stateAt(now); state == Live && a.stats.group.IsValid() && is(u, a) {
				a.table.drop(a, now, Unheard)
			}
		}
	}
}

// Missed says that datagrams may have been lost by this machine itself until
// now, as when it slept or read too slowly: the next number of every stream
// that was live begins the count again, and its silence counts from now on.
// since is when the last datagram before the gap was heard.
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
// listener keeps their groups, whatever the lists of their sources say.
func (t *Tracker) Heard(now time.Time) []Universe {
	return t.gather(func(u Universe, a *account) Universe {
		if state, _ := a.stateAt(now); state != Live || !a.stats.group.IsValid() {
			return 0
		}
		return u
	})
}

// SyncAddresses are the addresses that live data waits for, ascending: their
// packets are sent to the groups of these universes only (6.3.3).
func (t *Tracker) SyncAddresses(now time.Time) []Universe {
	return t.gather(func(_ Universe, a *account) Universe {
		if state, _ := a.stateAt(now); state != Live {
			return 0
		}
		return a.sync
	})
}

// gather collects one universe of each account, without the zeros.
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
