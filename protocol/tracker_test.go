package protocol

import (
	"math/rand/v2"
	"net/netip"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

var (
	hostA     = netip.MustParseAddrPort("10.0.0.7:5568")
	hostB     = netip.MustParseAddrPort("10.0.0.8:5568")
	benchHost = netip.MustParseAddrPort("10.0.0.2:40000")
)

// A wire is a tracker with a clock.
type wire struct {
	t   *testing.T
	trk *Tracker
	now time.Time
}

func newWire(t *testing.T) *wire { return &wire{t: t, trk: NewTracker(), now: start} }

// A talker is a source on the wire.
type talker struct {
	w    *wire
	from netip.AddrPort
	d    Data
}

func (w *wire) talker(id byte, name string, from netip.AddrPort, u Universe, priority uint8) *talker {
	d := Data{CID: CID{id}, Source: NameOf(name), Priority: priority, Universe: u}
	d.SetLevels([]byte{id, 1, 2, 3, 4, 5})
	return &talker{w: w, from: from, d: d}
}

func (k *talker) say() {
	k.w.hear(k.from, AppendData(nil, &k.d))
	k.d.Sequence++
}

func (w *wire) hear(from netip.AddrPort, octets []byte) {
	w.trk.Hear(Datagram{At: w.now, From: from, Octets: octets})
}

// play lets talkers speak n times at 44 Hz; each may be silent at some steps.
func (w *wire) play(n int, ks ...*talker) {
	for range n {
		w.now = w.now.Add(MinPeriod)
		for _, k := range ks {
			k.say()
		}
		w.trk.Tick(w.now)
	}
}

func (w *wire) wait(d time.Duration) {
	w.now = w.now.Add(d)
	w.trk.Tick(w.now)
}

func (w *wire) stream(id byte, u Universe) *StreamReport {
	w.t.Helper()
	s := w.trk.Report(w.now).Source(CID{id})
	require.NotNil(w.t, s)
	st := s.Stream(u)
	require.NotNil(w.t, st)
	return st
}

func TestTrackerFoldsASource(t *testing.T) {
	w := newWire(t)
	pier := w.talker(1, "Pier PC", hostA, 3, 150)
	pier.d.SyncAddress = 7000
	w.play(300, pier)
	r := w.trk.Report(w.now)
	require.Len(t, r.Sources, 1)
	s := r.Sources[0]
	require.Equal(t, "Pier PC", s.Name)
	require.Equal(t, hostA, s.From)
	st := s.Streams[0]
	require.Equal(t, Live, st.State)
	require.EqualValues(t, 150, st.Priority)
	require.EqualValues(t, 7000, st.SyncAddress)
	require.EqualValues(t, 300, st.Packets)
	require.Zero(t, st.Missing)
	require.Zero(t, st.Loss)
	require.Zero(t, st.Jitter)
	require.InDelta(t, 44, st.Rate, 0.5)
	require.Equal(t, []StartCount{{Code: StartLevels, Packets: 300}}, st.StartCodes)
	u := r.Universe(3)
	require.Equal(t, []CID{{1}}, u.Winners)
	require.Equal(t, []byte{1, 1, 2, 3, 4, 5}, u.Output.Slots[:u.Output.Count])
	require.Empty(t, r.Conflicts)
}

// The rate is right from the first second on and for a kept-alive stream.
func TestTrackerRate(t *testing.T) {
	for _, row := range []struct {
		name   string
		period time.Duration
		n      int
		want   float64
	}{
		{"44 Hz, half a second", MinPeriod, 22, 44},
		{"44 Hz, half a minute", MinPeriod, 1320, 44},
		{"kept alive, 3 packets", 900 * time.Millisecond, 3, 1.11},
		{"kept alive, 20 packets", 900 * time.Millisecond, 20, 1.11},
	} {
		t.Run(row.name, func(t *testing.T) {
			w := newWire(t)
			k := w.talker(1, "bench", hostA, 1, 100)
			for range row.n {
				w.now = w.now.Add(row.period)
				k.say()
			}
			require.InEpsilon(t, row.want, w.stream(1, 1).Rate, 0.15)
		})
	}
}

// What a lossy way does to the packets is what the tracker counts. Sampling
// error is none here, since the way's own book is the wanted value.
func TestTrackerCountsWhatTheWayDid(t *testing.T) {
	w := newWire(t)
	k := w.talker(1, "bench", hostA, 1, 100)
	way := rand.New(rand.NewPCG(1, 2))
	var lost, twice, late int
	var heldBack []byte
	for i := range 5000 {
		w.now = w.now.Add(MinPeriod)
		octets := AppendData(nil, &k.d)
		k.d.Sequence++
		if heldBack != nil {
			w.hear(k.from, octets)
			w.hear(k.from, heldBack) // after its successor
			heldBack = nil
			late++
			continue
		}
		switch c := way.IntN(100); {
		case i == 0 || i >= 4998: // the ends must be seen to be counted
			w.hear(k.from, octets)
		case c < 7:
			lost++
		case c < 10:
			w.hear(k.from, octets)
			w.hear(k.from, octets)
			twice++
		case c < 13:
			heldBack = octets
		default:
			w.hear(k.from, octets)
		}
	}
	require.Nil(t, heldBack)
	st := w.stream(1, 1)
	require.EqualValues(t, lost, st.Missing)
	require.EqualValues(t, twice, st.Twice)
	require.EqualValues(t, late, st.Late)
	require.EqualValues(t, 5000-lost-late, st.Packets)
	require.Zero(t, st.Jumps)
}

func TestTrackerLossIsOfLate(t *testing.T) {
	w := newWire(t)
	k := w.talker(1, "bench", hostA, 1, 100)
	for i := range 880 {
		w.now = w.now.Add(MinPeriod)
		if i < 440 && i%5 == 4 {
			k.d.Sequence++ // sent, and lost
			continue
		}
		k.say()
		if i == 439-1 {
			require.InDelta(t, 0.2, w.stream(1, 1).Loss, 0.01)
		}
	}
	require.Zero(t, w.stream(1, 1).Loss, "ten seconds later the way is clean")
	require.EqualValues(t, 88, w.stream(1, 1).Missing)
}

// RFC 3550 6.4.1: for gaps that alternate by d the smoothed difference tends to d.
func TestTrackerJitter(t *testing.T) {
	w := newWire(t)
	k := w.talker(1, "bench", hostA, 1, 100)
	for i := range 500 {
		gap := 20 * time.Millisecond
		if i%2 == 0 {
			gap += 4 * time.Millisecond
		}
		w.now = w.now.Add(gap)
		k.say()
	}
	require.InDelta(t, 4, float64(w.stream(1, 1).Jitter)/1e6, 0.1)
}

func TestTrackerLostEndedAndBack(t *testing.T) {
	w := newWire(t)
	k := w.talker(1, "bench", hostA, 1, 100)
	w.play(10, k)
	w.wait(LossTimeout)
	st := w.stream(1, 1)
	require.Equal(t, Lost, st.State)
	require.Zero(t, st.Rate)
	require.False(t, w.trk.rx.Output(1).Driven())

	k.d.Sequence -= 3 // the count need not go on (6.7.1)
	w.play(10, k)
	st = w.stream(1, 1)
	require.Equal(t, Live, st.State)
	require.EqualValues(t, 20, st.Packets)
	require.Zero(t, st.Missing)

	k.d.Options = Terminated
	w.play(3, k)
	require.Equal(t, Finished, w.stream(1, 1).State)
	require.EqualValues(t, 21, w.stream(1, 1).Packets)
	w.wait(4 * time.Minute)
	require.Len(t, w.trk.Report(w.now).Sources, 1)
	w.wait(time.Minute)
	require.Empty(t, w.trk.Report(w.now).Sources, "gone for five minutes")
	w.wait(ForgetAfter)
	require.Empty(t, w.trk.Report(w.now).Universes)

	k.say()
	require.Empty(t, w.trk.Report(w.now).Sources, "a farewell makes no source")
}

func TestTrackerConflicts(t *testing.T) {
	w := newWire(t)
	a, b := w.talker(1, "Pier PC", hostA, 3, 100), w.talker(2, "Quay PC", hostB, 3, 100)
	w.play(10, a, b)
	require.Equal(t, []Conflict{{Kind: EqualPriority, Universe: 3, Sources: []CID{{1}, {2}}}}, w.trk.Report(w.now).Conflicts)
	b.d.Priority = 120
	w.play(1, a, b)
	require.Equal(t, []Conflict{{Kind: SharedUniverse, Universe: 3, Sources: []CID{{2}, {1}}}}, w.trk.Report(w.now).Conflicts)
	b.d.Options = Preview
	w.play(1, a, b)
	require.Empty(t, w.trk.Report(w.now).Conflicts)
}

// 5.6: a CID names one source; two senders on it drop each other's packets.
func TestTrackerNoticesOneCIDUsedTwice(t *testing.T) {
	w := newWire(t)
	a, b := w.talker(1, "Pier PC", hostA, 3, 100), w.talker(1, "Pier PC", hostB, 3, 100)
	b.d.Sequence = 90
	w.play(100, a, b)
	require.True(t, w.stream(1, 3).Shared)
	require.ElementsMatch(t, []netip.AddrPort{hostA, hostB}, w.stream(1, 3).Addresses)
	require.Contains(t, w.trk.Report(w.now).Conflicts, Conflict{Kind: SharedCID, Universe: 3, Sources: []CID{{1}}})
}

// Every offset between the two counters is noticed but the few that look like
// one source on two ways.
func TestTrackerNoticesOneCIDAtAnyOffset(t *testing.T) {
	for offset := range 256 {
		w := newWire(t)
		a, b := w.talker(1, "Pier PC", hostA, 3, 100), w.talker(1, "Pier PC", hostB, 3, 100)
		b.d.Sequence = uint8(offset)
		w.play(100, a, b)
		apart := offset > 3 && offset < 253
		if apart {
			require.True(t, w.stream(1, 3).Shared, "offset %d", offset)
		} else if offset <= 1 {
			require.False(t, w.stream(1, 3).Shared, "offset %d", offset)
		}
	}
	w := newWire(t) // in step, but under two names
	w.play(100, w.talker(1, "Pier PC", hostA, 3, 100), w.talker(1, "Quay PC", hostB, 3, 100))
	require.True(t, w.stream(1, 3).Shared)
}

// One packet that comes by two ways, and a program started again on another
// port, are one source.
func TestTrackerTwoWaysAreNotTwoSources(t *testing.T) {
	w := newWire(t)
	a := w.talker(1, "Pier PC", hostA, 3, 100)
	for range 100 {
		w.now = w.now.Add(MinPeriod)
		octets := AppendData(nil, &a.d)
		w.hear(hostA, octets)
		w.hear(hostB, octets)
		a.d.Sequence++
	}
	st := w.stream(1, 3)
	require.False(t, st.Shared)
	require.EqualValues(t, 100, st.Twice)
	require.InDelta(t, 1, st.Doubled, 0.01)

	w = newWire(t) // both ways lose one packet in ten
	a = w.talker(1, "Pier PC", hostA, 3, 100)
	way := rand.New(rand.NewPCG(3, 4))
	for range 200 {
		w.now = w.now.Add(MinPeriod)
		for _, from := range []netip.AddrPort{hostA, hostB} {
			if way.IntN(10) > 0 {
				w.hear(from, AppendData(nil, &a.d))
			}
		}
		a.d.Sequence++
	}
	require.False(t, w.stream(1, 3).Shared)

	w = newWire(t)
	a = w.talker(1, "Pier PC", hostA, 3, 100)
	w.play(50, a)
	a.from, a.d.Sequence = netip.MustParseAddrPort("10.0.0.7:5569"), 0
	w.play(50, a)
	require.False(t, w.stream(1, 3).Shared)
}

func TestTrackerMalformedByAddressAndReason(t *testing.T) {
	w := newWire(t)
	good := AppendData(nil, six(0, 0, 0))
	for range 3 {
		bad := slices.Clone(good)
		bad[108] = 201
		w.hear(hostA, bad)
	}
	w.hear(hostB, good[:60])
	r := w.trk.Report(w.now)
	require.EqualValues(t, 4, r.Counts.Malformed)
	require.Len(t, r.Malformed, 2)
	require.Equal(t, hostA.Addr(), r.Malformed[0].From)
	require.Equal(t, "Priority", r.Malformed[0].Reason)
	require.EqualValues(t, 3, r.Malformed[0].Packets)
	require.Empty(t, r.Sources)
}

// 8.3, 8.4: a list comes in pages and is whole when all have come; 12.2: what
// is not repeated goes.
func TestTrackerDiscoveryPages(t *testing.T) {
	w := newWire(t)
	page := func(n, last uint8, us ...Universe) {
		d := listing(us...)
		d.Page, d.Last = n, last
		w.hear(hostA, AppendDiscovery(nil, d))
	}
	page(0, 1, 1, 2)
	s := w.trk.Report(w.now).Sources[0]
	require.False(t, s.ListComplete)
	require.Equal(t, []Universe{1, 2}, s.Listed)
	page(1, 1, 600, 64000, 0) // numbers out of range are left out
	s = w.trk.Report(w.now).Sources[0]
	require.True(t, s.ListComplete)
	require.Equal(t, []Universe{1, 2, 600}, s.Listed)
	require.Equal(t, []Universe{1, 2, 600}, w.trk.Announced())
	page(0, 0, 7)
	require.Equal(t, []Universe{7}, w.trk.Announced())
	w.wait(2 * DiscoveryInterval)
	require.Equal(t, []Universe{7}, w.trk.Announced())
	w.wait(DiscoveryInterval)
	require.Empty(t, w.trk.Announced())
	require.Zero(t, w.trk.listed)
}

// A report stays as it is while the tracker goes on.
func TestReportIsASnapshot(t *testing.T) {
	w := newWire(t)
	a, b := w.talker(1, "Pier PC", hostA, 3, 100), w.talker(2, "Quay PC", hostB, 3, 100)
	w.play(5, a, b)
	w.hear(hostA, AppendDiscovery(nil, listing(1, 2)))
	before, again := w.trk.Report(w.now), w.trk.Report(w.now)
	a.d.SetLevels([]byte{99, 99})
	a.d.StartCode = 7
	w.play(50, a)
	w.hear(hostA, AppendDiscovery(nil, listing(5)))
	w.wait(time.Minute)
	require.Equal(t, again, before)
}
