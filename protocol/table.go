package protocol

import (
	"slices"
	"time"
)

// A table is one universe with the sources that are live on it.
type table struct {
	universe Universe
	accounts []*account // in order of arrival
	out      Output
	stale    bool      // out must be worked out again
	lost     bool      // the last source to leave fell silent
	idle     time.Time // since when there is no source
}

// hear takes a packet for an account; nil means the account of its CID. It
// returns the account if there is one, the step from the packet before, and the
// verdict; active reports whether its address is synchronized.
func (tb *table) hear(now time.Time, a *account, d *Data, active bool) (_ *account, by step, v Verdict) {
	a, first, v := tb.live(now, a, d)
	if a == nil {
		return nil, by, v
	}
	by, ok := a.accept(now, d.Sequence)
	by.first = first
	if !ok {
		return a, by, OutOfTurn
	}
	priority, options := a.priority, a.options
	v = a.take(now, d, active)
	tb.stale = tb.stale || a.priority != priority || a.options != options
	switch v {
	case Ended:
		tb.drop(a, now, Finished)
	case Held:
		tb.out.Held, tb.out.Frozen = true, tb.out.Frozen || a.frozen
	case Acted, PreviewOnly:
		tb.stale = true
	}
	return a, by, v
}

// live returns the account that a packet is for, listed as live: the given one,
// that of its CID, or a new one. first reports whether a run begins. The
// account is nil, and v says why, when the limit is reached or when the packet
// ends an unknown stream: a terminated packet (6.2.6) makes no source.
func (tb *table) live(now time.Time, a *account, d *Data) (_ *account, first bool, v Verdict) {
	if a == nil {
		a = tb.find(d.CID)
	}
	if a != nil && a.state == Live && !a.lost(now) {
		return a, false, Acted
	}
	if a != nil && a.state == Live {
		tb.drop(a, now, Lost)
	}
	if d.Options&Terminated != 0 {
		return nil, true, Ended
	}
	if a = tb.admit(now, a, d.CID); a == nil {
		return nil, true, TurnedAway
	}
	return a, true, Acted
}

// find is the account of a source on this universe, by CID: names may be shared
// and addresses may change (5.6). A universe has few sources, so a list is
// searched.
func (tb *table) find(c CID) *account {
	for _, a := range tb.accounts {
		if a.cid == c {
			return a
		}
	}
	return nil
}

// admit lists a new account, or one that comes back; when the table is full it
// first drops the lost ones.
func (tb *table) admit(now time.Time, a *account, c CID) *account {
	if len(tb.accounts) >= maxSources {
		tb.expire(now)
	}
	if len(tb.accounts) >= maxSources {
		return nil
	}
	if a == nil {
		a = &account{cid: c}
	}
	a.restart(now, tb)
	tb.accounts = append(tb.accounts, a)
	return a
}

// drop takes an account off the list; why is Lost, Finished or Unheard.
func (tb *table) drop(a *account, now time.Time, why StreamState) {
	tb.accounts = slices.DeleteFunc(tb.accounts, func(o *account) bool { return o == a })
	a.state, a.since = why, now
	if why == Lost {
		a.since = a.last.Add(LossTimeout)
	}
	tb.stale, tb.lost = true, why == Lost
}

// expire drops the sources that are lost (6.7.1) and reports whether any was.
func (tb *table) expire(now time.Time) (any bool) {
	for _, a := range slices.Clone(tb.accounts) {
		if a.lost(now) {
			tb.drop(a, now, Lost)
			any = true
		}
	}
	return any
}

// release applies the slots that wait for address and reports whether there
// were any.
func (tb *table) release(address Universe) (any bool) {
	for _, a := range tb.accounts {
		any = a.release(address) || any
	}
	return any
}

// tick applies the time-outs of sources, slot priorities and synchronization.
func (tb *table) tick(now time.Time, s syncs) bool {
	changed := tb.expire(now)
	for _, a := range tb.accounts {
		changed = a.tick(now, s) || changed
	}
	return changed
}

// idleFor is how long the universe has had no source, as seen by tick.
func (tb *table) idleFor(now time.Time) time.Duration {
	if len(tb.accounts) > 0 {
		tb.idle = time.Time{}
		return 0
	}
	if tb.idle.IsZero() {
		tb.idle = now
	}
	return now.Sub(tb.idle)
}
