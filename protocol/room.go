package protocol

import (
	"slices"
	"time"
)

// A room is one universe with the sources heard on it.
type room struct {
	inputs []*input
	out    Output
	stale  bool      // out needs to be worked out anew
	lost   bool      // the last source to leave fell silent
	idle   time.Time // since when there is no source
}

// An input is one source on one universe.
type input struct {
	cid      CID
	seq      Sequence
	heard    time.Time
	priority uint8
	options  Options
	sync     Universe
	synced   bool // synchronization packets have come for sync (6.2.4.1)
	frozen   bool // and stopped coming
	levels   *[MaxSlots]byte
	count    int
	waiting  *[MaxSlots]byte // for synchronization
	waits    bool
	waitings int // slots in waiting

	slotPriority *[MaxSlots]byte // START code 0xdd
	slotHeard    time.Time
}

// hear takes a packet; active says that synchronization is at work for its address.
func (rm *room) hear(now time.Time, d *Data, active bool) Verdict {
	in := rm.find(d.CID)
	if in != nil && now.Sub(in.heard) >= LossTimeout {
		rm.drop(in, true)
		in = nil
	}
	if in == nil {
		if d.Options&Terminated != 0 {
			return Ended // a stranger's farewell makes no source of it
		}
		if in = rm.admit(now, d.CID); in == nil {
			return TurnedAway
		}
	}
	if _, ok := in.seq.Accept(d.Sequence); !ok {
		return OutOfTurn
	}
	rm.stale = rm.stale || d.Priority != in.priority || d.Options != in.options
	in.heard, in.priority, in.options = now, d.Priority, d.Options
	switch {
	case d.Options&Terminated != 0:
		rm.drop(in, false)
		return Ended
	case d.StartCode == StartPriority:
		in.hearPriorities(now, d)
		rm.stale = true
		return Acted
	case d.StartCode != StartLevels:
		return NotLevels
	}
	v := in.hearLevels(d, active)
	if v == Held {
		rm.out.Held, rm.out.Frozen = true, rm.out.Frozen || in.frozen
	} else {
		rm.stale = true
	}
	return v
}

func (rm *room) find(c CID) *input {
	for _, in := range rm.inputs {
		if in.cid == c {
			return in
		}
	}
	return nil
}

// admit makes room for a source, in the place of one that is lost if need be.
func (rm *room) admit(now time.Time, c CID) *input {
	if len(rm.inputs) >= maxInputs {
		rm.expire(now)
	}
	if len(rm.inputs) >= maxInputs {
		return nil
	}
	in := &input{cid: c}
	rm.inputs = append(rm.inputs, in)
	return in
}

func (rm *room) drop(in *input, lost bool) {
	rm.inputs = slices.DeleteFunc(rm.inputs, func(o *input) bool { return o == in })
	rm.stale, rm.lost = true, lost
}

// expire drops the sources that are lost (6.7.1) and reports whether any was.
func (rm *room) expire(now time.Time) bool {
	before := len(rm.inputs)
	rm.inputs = slices.DeleteFunc(rm.inputs, func(in *input) bool { return now.Sub(in.heard) >= LossTimeout })
	if len(rm.inputs) == before {
		return false
	}
	rm.stale, rm.lost = true, true
	return true
}

// hearLevels keeps the slots, at once or until synchronization.
func (in *input) hearLevels(d *Data, active bool) Verdict {
	if d.SyncAddress != in.sync { // 0 drops what waits (6.2.4.1)
		in.sync, in.synced, in.waits = d.SyncAddress, false, false
	}
	in.synced = in.synced || active
	in.frozen = in.synced && !active && d.Options&ForceSync == 0
	if d.SyncAddress != 0 && (active || in.frozen) {
		in.hold(d)
		return Held
	}
	in.waits = false
	if in.levels == nil {
		in.levels = new([MaxSlots]byte)
	}
	*in.levels, in.count = d.Slots, int(d.Count)
	if d.Options&Preview != 0 {
		return PreviewOnly
	}
	return Acted
}

func (in *input) hold(d *Data) {
	if in.waiting == nil {
		in.waiting = new([MaxSlots]byte)
	}
	*in.waiting, in.waitings, in.waits = d.Slots, int(d.Count), true
}

// act makes the slots that waited count.
func (in *input) act() {
	in.levels, in.waiting = in.waiting, in.levels
	in.count, in.waits, in.frozen = in.waitings, false, false
}

func (in *input) hearPriorities(now time.Time, d *Data) {
	if in.slotPriority == nil {
		in.slotPriority = new([MaxSlots]byte)
	}
	*in.slotPriority, in.slotHeard = d.Slots, now
}

// release lets the slots that wait for address count; it reports whether any did.
func (rm *room) release(address Universe) bool {
	released := false
	for _, in := range rm.inputs {
		if in.sync != address || address == 0 {
			continue
		}
		in.synced, in.frozen = true, false
		if in.waits {
			in.act()
			released = true
		}
	}
	return released
}

// tick expires sources, slot priorities and synchronization.
func (rm *room) tick(now time.Time, s syncs) bool {
	changed := rm.expire(now)
	for _, in := range rm.inputs {
		if in.slotPriority != nil && now.Sub(in.slotHeard) >= LossTimeout {
			in.slotPriority, changed = nil, true
		}
		if !in.synced || s.active(in.sync, now) {
			continue
		}
		if in.options&ForceSync != 0 && in.waits { // 6.2.6
			in.act()
			changed = true
		} else if in.waits && !in.frozen { // 11.1.2
			in.frozen, changed = true, true
		}
	}
	return changed
}

// idleFor is how long ticks have found no source here.
func (rm *room) idleFor(now time.Time) time.Duration {
	if len(rm.inputs) > 0 {
		rm.idle = time.Time{}
		return 0
	}
	if rm.idle.IsZero() {
		rm.idle = now
	}
	return now.Sub(rm.idle)
}
