package protocol

import (
	"bytes"
	"cmp"
	"maps"
	"net/netip"
	"slices"
	"sort"
	"time"

	"example.org/ringout/internal/sorting"
)

// A Report is a snapshot of a Tracker. It shares nothing with the Tracker and
// is never written after it was returned. Texts in it come from the network but
// are printable.
type Report struct {
	At        time.Time
	Counts    Counts
	Sources   []SourceReport    // by name, then CID
	Universes []UniverseReport  // driven now or recently, ascending
	Malformed []MalformedReport // most packets first
	Conflicts []Conflict

	joined map[Universe]time.Time // see HearsSince
}

// A SourceReport is one source, live or gone less than five minutes ago.
type SourceReport struct {
	CID          CID
	Name         string         // printable; empty if the source gives none
	From         netip.AddrPort // sender of its newest packet
	First, Last  time.Time
	Streams      []StreamReport // ascending by universe
	Syncs        []SyncReport
	Listed       []Universe // in its universe discovery, ascending
	ListComplete bool       // every page of the list has come
}

// A StreamReport is one source on one universe. Missing, Twice, Late and Jumps
// count from the start; Rate, Loss, Reordered, Doubled and Jitter are of the
// last five seconds. With two senders under one CID (Shared), sequence numbers
// do not show loss.
type StreamReport struct {
	Universe     Universe
	State        StreamState
	Since        time.Time       // when the state began
	Priority     uint8           // of packets with levels (6.2.3)
	SyncAddress  Universe        // 0 if not synchronised (6.2.4)
	Preview      bool            // 6.2.6
	ForceSync    bool            // 6.2.6
	Held         bool            // its newest slots wait for a synchronization packet (6.2.4.1)
	Frozen       bool            // they wait, and none has come for 2.5 s (11.1.2)
	Slots        int             // 0 to 512
	Levels       [MaxSlots]byte  // current ones; newer ones may wait for synchronization (6.2.4.1)
	SlotPriority *[MaxSlots]byte // START code 0xdd: 1 to 200, 0 where it does not drive; nil without them
	StartCodes   []StartCount
	Addresses    []netip.AddrPort // heard from within 2.5 s, the newest first
	Interface    string           // of its newest packet
	Multicast    bool             // its newest packet came by multicast
	Copied       bool             // its newest packet is a copy from another program of this machine
	First, Last  time.Time
	Packets      uint64        // accepted
	Missing      uint64        // numbers that never came
	Twice        uint64        // numbers that came again
	Late         uint64        // came after a higher number, dropped (6.7.2)
	Jumps        uint64        // steps back of 20 or more: the run began again (6.7.2)
	Trailing     uint64        // packets followed by extra octets
	Rate         float64       // packets per second received
	Judged       int           // packets received that Loss, Reordered and Doubled are worked out from; 0 when they cannot be
	Loss         float64       // 0 to 1: of the packets sent, how many did not come
	Reordered    float64       // 0 to 1: of the packets that came, how many came late
	Doubled      float64       // 0 to 1: of the packets that came, how many came again
	Jitter       time.Duration // how much the gap between packets varies (RFC 3550 6.4.1)
	Shared       bool          // two addresses take turns: one CID used twice (5.6)
}

// StartCount counts the packets of one START code.
type StartCount struct {
	Code    uint8
	Packets uint64
}

// A SyncReport is one source's synchronization packets for one address.
type SyncReport struct {
	Address Universe
	Live    bool // heard within 2.5 s
	Last    time.Time
	Packets uint64
}

// A UniverseReport is what receivers of a universe act on.
type UniverseReport struct {
	Universe Universe
	Output   Output
	Winners  []CID
}

// A MalformedReport counts the packets of one address that fail at one field.
// From is zero where there were too many addresses to keep apart.
type MalformedReport struct {
	From        netip.Addr
	Reason      string // the field's name
	Packets     uint64
	First, Last time.Time
	Err         error // of the last one
}

// Report returns the state at now.
func (t *Tracker) Report(now time.Time) *Report {
	r := &Report{At: now, Counts: t.counts, joined: maps.Clone(t.joined)}
	for _, s := range t.sources {
		r.Sources = append(r.Sources, t.reportSource(s, now))
	}
	sorting.By(r.Sources, func(a, b SourceReport) int {
		return cmp.Or(cmp.Compare(a.Name, b.Name), bytes.Compare(a.CID[:], b.CID[:]))
	})
	for u, tb := range t.rx.tables {
		out := tb.output()
		r.Universes = append(r.Universes, UniverseReport{Universe: u, Output: *out, Winners: out.Winners()})
	}
	sorting.By(r.Universes, func(a, b UniverseReport) int { return cmp.Compare(a.Universe, b.Universe) })
	for _, m := range t.malformed {
		r.Malformed = append(r.Malformed, *m)
	}
	sorting.By(r.Malformed, func(a, b MalformedReport) int {
		return cmp.Or(cmp.Compare(b.Packets, a.Packets), a.From.Compare(b.From), cmp.Compare(a.Reason, b.Reason))
	})
	r.Conflicts = r.findConflicts()
	return r
}

// reportSource copies a source for a report, with its streams by universe. The
// copy shares nothing with the tracker.
func (t *Tracker) reportSource(s *source, now time.Time) SourceReport {
	r := SourceReport{CID: s.cid, Name: s.name.Printable(), From: s.from, First: s.first, Last: s.last,
		Syncs: t.rx.syncs.of(s.cid, now), Listed: s.list.universes(), ListComplete: s.list.complete()}
	for u, a := range s.streams {
		st := a.report(u, now)
		if st.State == Lost && st.Multicast && t.left[u] { // packets still in flight when the group was left arrived after that
			st.State = Unheard
		}
		r.Streams = append(r.Streams, st)
	}
	sorting.By(r.Streams, func(a, b StreamReport) int { return cmp.Compare(a.Universe, b.Universe) })
	return r
}

// report copies an account, with its figures, for a report.
func (a *account) report(u Universe, now time.Time) StreamReport {
	r := a.stats.report(a, now)
	r.Universe, r.Last = u, a.last
	r.State, r.Since = a.stateAt(now)
	r.Priority, r.SyncAddress = a.priority, a.sync
	r.Preview, r.ForceSync = a.options&Preview != 0, a.options&ForceSync != 0
	if r.State == Live && a.sync != 0 {
		r.Held, r.Frozen = a.waits, a.frozen
	}
	if a.levels != nil {
		r.Levels = *a.levels
	}
	if a.slotPriority != nil {
		p := *a.slotPriority
		r.SlotPriority = &p
	}
	return r
}

// report copies the counts of a stream. Rate is packets a second over the last
// full seconds of the window; Jitter is the smoothed difference between gaps;
// addresses are those heard within the time-out of 2.5 s (6.7.1), newest first.
func (st *stats) report(a *account, now time.Time) StreamReport {
	recent, over := st.sum(a, now)
	r := StreamReport{
		Slots: st.slots, StartCodes: slices.Clone(st.codes), Interface: st.iface, Multicast: st.group.IsMulticast(), Copied: st.copied,
		First: st.first, Packets: uint64(st.total.packets), Missing: uint64(max(0, st.total.missing)),
		Twice: uint64(st.total.twice), Late: uint64(st.total.late), Jumps: uint64(st.total.jumps),
		Trailing: uint64(st.total.trailing), Rate: a.rate(recent, over, now), Jitter: time.Duration(st.jitter),
	}
	froms := slices.Clone(st.froms)
	sorting.By(froms, func(a, b fromCount) int { return b.last.Compare(a.last) })
	for _, f := range froms {
		if now.Sub(f.last) < LossTimeout {
			r.Addresses = append(r.Addresses, f.addr)
		}
	}
	twoNames := len(froms) > 1 && froms[0].name != froms[1].name
	mixed := recent.switches >= sharedSwitches && (twoNames || 2*recent.apart > recent.switches)
	r.Shared = mixed && len(r.Addresses) > 1
	if !mixed {
		newest, outstanding := st.newest()
		r.judge(recent, newest, outstanding)
	}
	return r
}

// judge works out loss, reordering and doubling of a run of packets. The newest
// missing numbers may still arrive, so they do not count as lost.
func (r *StreamReport) judge(recent tally, newest, outstanding int) {
	r.Judged = recent.packets + recent.late
	if r.Judged == 0 {
		return
	}
	missing := max(0, recent.missing-outstanding)
	if sent := r.Judged - newest + missing; sent > 0 {
		r.Loss = float64(missing) / float64(sent)
	}
	r.Reordered, r.Doubled = float64(recent.late)/float64(r.Judged), float64(recent.twice)/float64(r.Judged)
}

// HearsSince reports whether the group of a universe has been listened to for
// at least d; before that, silence there means nothing.
func (r *Report) HearsSince(u Universe, d time.Duration) bool {
	at, ok := r.joined[u]
	return ok && r.At.Sub(at) >= d
}

// sharedSwitches is how often two addresses must alternate within the window: a
// program restarted on another port alternates less often.
const sharedSwitches = 3

// Source finds a source of the report; nil if it is not there.
func (r *Report) Source(c CID) *SourceReport {
	for i := range r.Sources {
		if r.Sources[i].CID == c {
			return &r.Sources[i]
		}
	}
	return nil
}

// Universe finds a universe of the report; nil if it is not there.
func (r *Report) Universe(u Universe) *UniverseReport {
	i := sort.Search(len(r.Universes), func(i int) bool { return r.Universes[i].Universe >= u }) // without copying them
	if i == len(r.Universes) || r.Universes[i].Universe != u {
		return nil
	}
	return &r.Universes[i]
}

// Live reports whether any of its streams is.
func (s *SourceReport) Live() bool {
	return slices.ContainsFunc(s.Streams, func(st StreamReport) bool { return st.State == Live })
}

// Stream finds a source's stream on a universe; nil if there is none.
func (s *SourceReport) Stream(u Universe) *StreamReport {
	for i := range s.Streams {
		if s.Streams[i].Universe == u {
			return &s.Streams[i]
		}
	}
	return nil
}

// Ours is what this program sends; the zero value means that it only listens.
type Ours struct {
	CID       CID
	Priority  uint8
	Universes []Universe
}

// Drives reports whether we send a universe.
func (o Ours) Drives(u Universe) bool { return slices.Contains(o.Universes, u) }
