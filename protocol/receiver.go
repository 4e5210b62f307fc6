package protocol

import (
	"slices"
	"time"
)

// A Receiver is what a receiver of the standard does with the packets it
// hears: sequence rule (6.7.2), data loss (6.7.1), termination and preview
// (6.2.6), priority (6.2.3), synchronization (6.2.4.1, 11). It opens no socket
// and reads no clock:
//
//	rx := protocol.NewReceiver(1, 2)
//	for each datagram {
//		changed, err := rx.Hear(now, octets) // err is a *FieldError
//		for _, u := range changed {
//			show(u, rx.Output(u).Slots)
//		}
//	}
//	a few times a second { changed := rx.Tick(now) }
//
// Ties of priority merge: the highest value of each slot wins (6.2.3.2). A
// synchronization packet counts for its address whoever sent it. It is not
// safe for use by several goroutines at once.
type Receiver struct {
	follow  map[Universe]bool // universes to follow; empty means all
	tables  map[Universe]*table
	syncs   syncs
	changed []Universe
	packet  Decoder
}

// Limits of a receiver: without them a flood of unknown sources could fill
// memory.
const (
	maxTables  = 4096 // universes
	maxSources = 127  // on one universe; Output.Owner counts them in 7 bits
)

// NewReceiver follows the given universes, or all when none is given.
func NewReceiver(us ...Universe) *Receiver {
	r := &Receiver{follow: map[Universe]bool{}, tables: map[Universe]*table{}, syncs: syncs{}}
	for _, u := range us {
		r.follow[u] = true
	}
	return r
}

// A Verdict is the result for one packet.
type Verdict uint8

// The verdicts.
const (
	Acted       Verdict = iota // its slots count at once
	Held                       // its slots wait for a synchronization packet (6.2.4.1)
	OutOfTurn                  // dropped by the sequence rule (6.7.2)
	PreviewOnly                // not for live output (6.2.6)
	Ended                      // the source has ended the universe (6.2.6)
	NotLevels                  // another START code than levels or slot priorities
	NotFollowed                // a universe that is not followed
	TurnedAway                 // no room for one more source or universe
)

// Hear takes one datagram and returns the universes whose Output may have
// changed; the slice is valid until the next call. A packet that does not parse
// changes nothing.
func (r *Receiver) Hear(now time.Time, octets []byte) ([]Universe, error) {
	r.changed = r.changed[:0]
	kind, err := r.packet.Decode(octets)
	switch {
	case err != nil:
		return nil, err
	case kind == KindData:
		r.HearData(now, &r.packet.Data)
	case kind == KindSync:
		r.HearSync(now, r.packet.Sync)
	}
	return r.changed, nil
}

// HearData takes one data packet; Changed then lists the universes that it may
// have changed.
func (r *Receiver) HearData(now time.Time, d *Data) Verdict {
	r.changed = r.changed[:0]
	if len(r.follow) > 0 && !r.follow[d.Universe] {
		return NotFollowed
	}
	tb := r.table(d.Universe)
	if tb == nil {
		return TurnedAway
	}
	_, _, v := r.take(now, tb, nil, d)
	return v
}

// table returns the table of a universe, a new one when it was not heard
// before, or nil when the limit is reached.
func (r *Receiver) table(u Universe) *table {
	tb := r.tables[u]
	if tb != nil {
		return tb
	}
	if len(r.tables) >= maxTables && !r.makeRoom() {
		return nil
	}
	tb = &table{universe: u}
	r.tables[u] = tb
	return tb
}

// take gives a packet to a table, and notes what changed.
func (r *Receiver) take(now time.Time, tb *table, a *account, d *Data) (*account, step, Verdict) {
	a, by, v := tb.hear(now, a, d, r.syncs.active(d.SyncAddress, now))
	if tb.stale {
		r.changed = append(r.changed, d.Universe)
	}
	return a, by, v
}

// HearSync takes one synchronization packet and reports whether it passed the
// sequence rule.
func (r *Receiver) HearSync(now time.Time, s Sync) bool {
	r.changed = r.changed[:0]
	if !r.syncs.hear(now, s) {
		return false
	}
	for u, tb := range r.tables {
		if tb.release(s.Address) {
			r.note(u, tb)
		}
	}
	slices.Sort(r.changed)
	return true
}

// Tick drops the sources that have been silent for 2.5 s (6.7.1) and notices
// lost synchronization (11.1.2). Call it a few times a second. It returns the
// universes whose Output may have changed, as Hear does.
func (r *Receiver) Tick(now time.Time) []Universe {
	r.changed = r.changed[:0]
	for u, tb := range r.tables {
		if tb.tick(now, r.syncs) {
			r.note(u, tb)
		}
		if tb.idleFor(now) >= ForgetAfter && len(r.follow) == 0 {
			delete(r.tables, u)
		}
	}
	r.syncs.forget(now, ForgetAfter)
	slices.Sort(r.changed)
	return r.changed
}

// Changed lists the universes that the last call may have changed.
func (r *Receiver) Changed() []Universe { return r.changed }

// note lists a universe whose output must be worked out again: arbitration is
// done when Output is asked for, once for any number of packets.
func (r *Receiver) note(u Universe, tb *table) {
	tb.stale = true
	r.changed = append(r.changed, u)
}

// makeRoom deletes universes that no source drives.
func (r *Receiver) makeRoom() bool {
	for u, tb := range r.tables {
		if len(tb.accounts) == 0 {
			delete(r.tables, u)
		}
	}
	return len(r.tables) < maxTables
}

// An Output is what a receiver of one universe acts on.
type Output struct {
	Slots    [MaxSlots]byte
	Count    int            // slots up to the last driven one
	Priority uint8          // the winning one; with slot priorities, the highest that drives a slot
	Sources  []CID          // live ones with levels that are not for preview, in order of arrival
	Ranks    []uint8        // the packet priority of each of Sources
	Owner    [MaxSlots]int8 // for each slot, who drives it: an index in Sources, or NoOwner
	PerSlot  bool           // slot priorities are in force
	Held     bool           // a source's newest slots wait for synchronization
	Frozen   bool           // they wait because synchronization was lost (11.1.2)
	Lost     bool           // no source is left, and the last one fell silent without ending its stream
}

// NoOwner in Owner marks a slot that no source drives.
const NoOwner = -1

// Driven reports whether any source drives the universe.
func (o *Output) Driven() bool { return len(o.Sources) > 0 }

// Winners are the sources that the universe follows: with slot priorities
// those that drive a slot, else all at the winning priority.
func (o *Output) Winners() []CID {
	var won []CID
	for who, c := range o.Sources {
		if o.PerSlot && slices.Contains(o.Owner[:], int8(who)) || !o.PerSlot && o.Ranks[who] == o.Priority {
			won = append(won, c)
		}
	}
	return won
}

// Output is what to act on now for u. Slots are 0 when no source drives them;
// whether a strip then holds its last look is the caller's choice. The value is
// shared: it is valid until the next packet and must not be written.
func (r *Receiver) Output(u Universe) *Output {
	tb := r.tables[u]
	if tb == nil {
		tb = &table{stale: true}
	}
	return tb.output()
}
