package protocol

import (
	"bytes"
	"cmp"
	"net/netip"
	"slices"
	"sort"
	"time"
)

// A Report is what a Tracker knows at one moment. It shares nothing with the
// Tracker and is never written once handed out. Texts in it come from the
// network but are printable.
type Report struct {
	At        time.Time
	Counts    Counts
	Sources   []SourceReport    // by name, then CID
	Universes []UniverseReport  // that somebody drives or drove of late, ascending
	Malformed []MalformedReport // most packets first
	Conflicts []Conflict
}

// A SourceReport is one source, live or gone less than five minutes ago.
type SourceReport struct {
	CID           CID
	Name          string         // printable; empty if the source gives none
	From          netip.AddrPort // of its newest packet
	First, Last   time.Time
	Streams       []StreamReport // ascending by universe
	Syncs         []SyncReport
	Listed        []Universe // in its universe discovery, ascending
	ListComplete  bool       // every page of the list has come
	LastDiscovery time.Time  // zero if there was none
}

// A StreamReport is one source on one universe. Missing, Twice, Late and Jumps
// count from the start, Rate, Loss and Jitter are of the last five seconds.
type StreamReport struct {
	Universe    Universe
	State       StreamState
	Since       time.Time // of the state; when Live, its begin
	Priority    uint8
	SyncAddress Universe // 0 if not synchronised
	Preview     bool
	ForceSync   bool
	Held        bool // its newest slots wait for a synchronization packet (6.2.4.1)
	Frozen      bool // and none has come for 2.5 s (11.1.2)
	Slots       int
	StartCodes  []StartCount
	Addresses   []netip.AddrPort // heard from within 2.5 s, the newest first
	Interface   string           // that it last came in by
	Multicast   bool             // it last came by multicast
	First, Last time.Time
	Packets     uint64        // accepted
	Missing     uint64        // numbers that never came
	Twice       uint64        // numbers that came again
	Late        uint64        // came after a higher number, dropped (6.7.2)
	Jumps       uint64        // steps back of 20 or more: the stream started anew
	Trailing    uint64        // packets with octets after their end
	Rate        float64       // packets per second
	Loss        float64       // 0 to 1: of the packets sent, how many did not come
	Doubled     float64       // 0 to 1: of the packets that came, how many came again
	Jitter      time.Duration // how much the gap between packets varies
	Shared      bool          // two addresses take turns: one CID used twice
	recent      int           // packets that Loss is worked out from
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

// Report takes stock.
func (t *Tracker) Report(now time.Time) *Report {
	r := &Report{At: now, Counts: t.counts}
	for _, s := range t.sources {
		r.Sources = append(r.Sources, s.report(now))
		t.reportWaiting(&r.Sources[len(r.Sources)-1])
	}
	slices.SortFunc(r.Sources, func(a, b SourceReport) int {
		return cmp.Or(cmp.Compare(a.Name, b.Name), bytes.Compare(a.CID[:], b.CID[:]))
	})
	for u, rm := range t.rx.rooms {
		out := rm.output()
		r.Universes = append(r.Universes, UniverseReport{Universe: u, Output: *out, Winners: out.Winners()})
	}
	slices.SortFunc(r.Universes, func(a, b UniverseReport) int { return cmp.Compare(a.Universe, b.Universe) })
	for _, m := range t.malformed {
		r.Malformed = append(r.Malformed, *m)
	}
	slices.SortFunc(r.Malformed, func(a, b MalformedReport) int {
		return cmp.Or(cmp.Compare(b.Packets, a.Packets), a.From.Compare(b.From), cmp.Compare(a.Reason, b.Reason))
	})
	r.Conflicts = r.findConflicts()
	return r
}

func (s *source) report(now time.Time) SourceReport {
	r := SourceReport{CID: s.cid, Name: s.name.Printable(), From: s.from, First: s.first, Last: s.last,
		Listed: s.list.universes(), ListComplete: s.list.complete(), LastDiscovery: s.list.heard}
	for _, st := range s.streams {
		r.Streams = append(r.Streams, st.report(now))
	}
	slices.SortFunc(r.Streams, func(a, b StreamReport) int { return cmp.Compare(a.Universe, b.Universe) })
	for _, y := range s.syncs {
		r.Syncs = append(r.Syncs, SyncReport{Address: y.address, Live: now.Sub(y.last) < LossTimeout, Last: y.last, Packets: y.packets})
	}
	slices.SortFunc(r.Syncs, func(a, b SyncReport) int { return cmp.Compare(a.Address, b.Address) })
	return r
}

// reportWaiting says which streams wait for synchronization.
func (t *Tracker) reportWaiting(s *SourceReport) {
	for i := range s.Streams {
		st := &s.Streams[i]
		if rm := t.rx.rooms[st.Universe]; st.SyncAddress != 0 && st.State == Live && rm != nil {
			if in := rm.find(s.CID); in != nil {
				st.Held, st.Frozen = in.waits, in.frozen
			}
		}
	}
}

func (st *stream) report(now time.Time) StreamReport {
	recent, _ := st.sum(now)
	r := StreamReport{
		Universe: st.universe, State: st.state(now), Since: st.begun, Priority: st.priority, SyncAddress: st.sync,
		Preview: st.options&Preview != 0, ForceSync: st.options&ForceSync != 0, Slots: st.slots,
		StartCodes: slices.Clone(st.codes), Interface: st.iface, Multicast: st.group.IsValid() && st.group.IsMulticast(),
		First: st.first, Last: st.last, Packets: uint64(st.total.packets), Missing: uint64(max(0, st.total.missing)),
		Twice: uint64(st.total.twice), Late: uint64(st.total.late), Jumps: uint64(st.total.jumps),
		Trailing: uint64(st.total.trailing), Rate: st.rate(now), Jitter: time.Duration(st.jitter),
	}
	switch r.State {
	case Lost:
		r.Since = st.last.Add(LossTimeout)
	case Finished:
		r.Since = st.endedAt
	}
	came := recent.packets + recent.late
	if missing := max(0, recent.missing); came+missing > 0 {
		r.Loss, r.recent = float64(missing)/float64(came+missing), came+missing
	}
	if came > 0 {
		r.Doubled = float64(recent.twice) / float64(came)
	}
	froms := slices.Clone(st.froms)
	slices.SortFunc(froms, func(a, b fromCount) int { return b.last.Compare(a.last) })
	for _, f := range froms {
		if now.Sub(f.last) < LossTimeout {
			r.Addresses = append(r.Addresses, f.addr)
		}
	}
	twoNames := len(froms) > 1 && froms[0].name != froms[1].name
	r.Shared = len(r.Addresses) > 1 && recent.switches >= sharedSwitches && (twoNames || 2*recent.apart > recent.switches)
	return r
}

// sharedSwitches is how often two addresses take turns within the window
// before it is more than a program that was started anew on another port.
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
