package protocol

import (
	"fmt"
	"time"
)

// A StreamState is the state of a source on one universe.
type StreamState uint8

// The states of a stream.
const (
	Live     StreamState = iota // heard within 2.5 s
	Lost                        // silent for 2.5 s or more (6.7.1)
	Finished                    // said that it ends (6.2.6)
	Unheard                     // its group was left; nothing is known since then
)

var streamStates = [...]string{"live", "lost", "ended", "unheard"}

// String is the state as one word.
func (s StreamState) String() string { return streamStates[min(s, Unheard)] }

// MarshalText is String.
func (s StreamState) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (s *StreamState) UnmarshalText(text []byte) error {
	for i, word := range streamStates {
		if word == string(text) {
			*s = StreamState(i)
			return nil
		}
	}
	return fmt.Errorf("stream state %q is none of live, lost, ended, unheard", text)
}

// An account holds what is known of one source on one universe. The Receiver
// and the Tracker share it: the Receiver decides from it; the Tracker keeps it
// after the source has gone, and counts in stats.
type account struct {
	run
	cid          CID
	table        *table // of its universe; it is listed there while live
	state        StreamState
	since        time.Time // of state, unless Live
	priority     uint8     // of packets with levels (6.2.3)
	options      Options   // the same (6.2.6)
	sync         Universe  // the same; 0 is none (6.2.4)
	synced       bool      // synchronization packets have come for sync (6.2.4.1)
	frozen       bool      // they stopped coming (11.1.2)
	levels       *[MaxSlots]byte
	count        int             // slots in levels
	waiting      *[MaxSlots]byte // levels that wait for synchronization
	waits        bool
	waitingCount int // slots in waiting

	slotPriority *[MaxSlots]byte // START code 0xdd, 0 for a slot that is not driven; nil after 2.5 s without any
	slotHeard    time.Time

	stats *stats // nil without a Tracker
}

// stateAt is the state at now and when it began, even if Tick has not run
// since. A stream counts as lost from 2.5 s after its last packet (6.7.1).
func (a *account) stateAt(now time.Time) (StreamState, time.Time) {
	switch {
	case a.state != Live:
		return a.state, a.since
	case a.lost(now):
		return Lost, a.last.Add(LossTimeout)
	}
	return Live, a.begun
}

// take applies a packet that passed the sequence rule; active reports whether
// its synchronization address is active. Priority and options are taken from
// packets with levels only, since a packet with another START code may carry
// different ones. Any packet can end the stream (6.2.6).
func (a *account) take(now time.Time, d *Data, active bool) Verdict {
	switch {
	case d.Options&Terminated != 0:
		return Ended
	case d.StartCode == StartLevels || a.levels == nil && a.waiting == nil:
		a.priority, a.options = d.Priority, d.Options
	}
	switch {
	case d.StartCode == StartLevels:
		return a.takeLevels(d, active)
	case d.StartCode != StartPriority:
		return NotLevels
	case d.Options&Preview != 0:
		return PreviewOnly
	}
	if a.slotPriority == nil {
		a.slotPriority = new([MaxSlots]byte)
	}
	*a.slotPriority, a.slotHeard = d.Slots, now
	return Acted
}

// takeLevels applies the slots at once, or stores them until synchronization.
func (a *account) takeLevels(d *Data, active bool) Verdict {
	if d.SyncAddress != a.sync { // 0 drops the waiting slots (6.2.4.1)
		a.sync, a.synced, a.waits = d.SyncAddress, false, false
	}
	a.synced = a.synced || active
	a.frozen = a.synced && !active && d.Options&ForceSync == 0
	if d.SyncAddress != 0 && (active || a.frozen) {
		if a.waiting == nil {
			a.waiting = new([MaxSlots]byte)
		}
		*a.waiting, a.waitingCount, a.waits = d.Slots, int(d.Count), true
		return Held
	}
	a.waits = false
	if a.levels == nil {
		a.levels = new([MaxSlots]byte)
	}
	*a.levels, a.count = d.Slots, int(d.Count)
	if d.Options&Preview != 0 {
		return PreviewOnly
	}
	return Acted
}

// act makes the waiting slots the current ones.
func (a *account) act() {
	a.levels, a.waiting = a.waiting, a.levels
	a.count, a.waits, a.frozen = a.waitingCount, false, false
}

// release applies the slots that wait for address and reports whether there
// were any.
func (a *account) release(address Universe) bool {
	if a.sync != address || address == 0 {
		return false
	}
	a.synced, a.frozen = true, false
	if !a.waits {
		return false
	}
	a.act()
	return true
}

// tick drops old slot priorities and notices lost synchronization.
func (a *account) tick(now time.Time, s syncs) (changed bool) {
	if a.slotPriority != nil && now.Sub(a.slotHeard) >= LossTimeout {
		a.slotPriority, changed = nil, true
	}
	switch {
	case !a.synced || !a.waits || s.active(a.sync, now):
	case a.options&ForceSync != 0: // 6.2.6: run on unsynchronised
		a.act()
		changed = true
	case !a.frozen: // 11.1.2: freeze
		a.frozen, changed = true, true
	}
	return changed
}

// restart begins a new run on a table; of the previous run only the figures are
// kept.
func (a *account) restart(now time.Time, tb *table) {
	*a = account{cid: a.cid, table: tb, stats: a.stats}
	a.start(now)
}
