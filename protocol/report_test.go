package protocol

import (
	"encoding/binary"
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Figures of the report, each where it could be taken for another.

func TestLossIsNoJitter(t *testing.T) {
	w := newWire(t)
	k := w.talker(1, "bench", hostA, 1, 100)
	for i := range 200 {
		if i%7 == 3 {
			w.now = w.now.Add(MinPeriod)
			k.d.Sequence++ // sent, and lost
		}
		w.play(1, k)
	}
	require.Zero(t, w.stream(1, 1).Jitter)
}

func TestSlotsAreThoseOfLevels(t *testing.T) {
	w := newWire(t)
	k := w.talker(1, "bench", hostA, 1, 100)
	k.say()
	k.d.StartCode = StartPriority
	k.d.SetLevels(make([]byte, 512))
	k.say()
	require.Equal(t, 6, w.stream(1, 1).Slots)
	require.Equal(t, []StartCount{{StartLevels, 1}, {StartPriority, 1}}, w.stream(1, 1).StartCodes)
}

func TestSinceWhen(t *testing.T) {
	w := newWire(t)
	k := w.talker(1, "bench", hostA, 1, 100)
	w.play(10, k)
	heard := w.now
	require.Equal(t, start.Add(MinPeriod), w.stream(1, 1).Since)
	w.wait(10 * time.Second)
	require.Equal(t, heard.Add(LossTimeout), w.stream(1, 1).Since)
	w.play(1, k)
	require.Equal(t, w.now, w.stream(1, 1).Since, "live again")
}

// Ten numbers sent, one lost, one late, and ten more: loss is one in eleven,
// since the newest nine may still come.
func TestLateIsNotLost(t *testing.T) {
	w := newWire(t)
	k := w.talker(1, "bench", hostA, 1, 100)
	for i := range 10 {
		switch i {
		case 3: // lost
			k.d.Sequence++
		case 6: // after its successor
			late := AppendData(nil, &k.d)
			k.d.Sequence++
			k.say()
			w.hear(hostA, late)
		case 7: // said above
		default:
			k.say()
		}
	}
	require.Zero(t, w.stream(1, 1).Loss, "it may still come")
	w.play(10, k)
	require.InDelta(t, 1.0/11, w.stream(1, 1).Loss, 1e-9)
	require.InDelta(t, 1.0/19, w.stream(1, 1).Reordered, 1e-9)
}

func TestAddressesAreRecentAndPlain(t *testing.T) {
	w := newWire(t)
	k := w.talker(1, "bench", netip.MustParseAddrPort("[::ffff:10.0.0.7]:5568"), 1, 100)
	w.play(3, k)
	require.Equal(t, []netip.AddrPort{hostA}, w.stream(1, 1).Addresses, "IPv4 in IPv6 dress is IPv4")
	k.from = hostB
	w.play(3, k)
	require.Equal(t, []netip.AddrPort{hostB, hostA}, w.stream(1, 1).Addresses)
	for range 4 {
		w.wait(time.Second)
		w.play(1, k)
	}
	require.Equal(t, []netip.AddrPort{hostB}, w.stream(1, 1).Addresses)
}

// One long loss on two ways is not yet two sources.
func TestTwoWaysWithAGap(t *testing.T) {
	w := newWire(t)
	k := w.talker(1, "bench", hostA, 1, 100)
	for i := range 150 {
		w.now = w.now.Add(MinPeriod)
		if i == 100 {
			k.d.Sequence += 9 // both ways were cut for a moment
		}
		w.hear(hostA, AppendData(nil, &k.d))
		w.hear(hostB, AppendData(nil, &k.d))
		k.d.Sequence++
	}
	require.False(t, w.stream(1, 1).Shared)
}

func TestSyncReport(t *testing.T) {
	w := newWire(t)
	k := w.talker(1, "bench", hostA, 1, 100)
	k.d.SyncAddress = 7962
	w.hear(hostA, AppendSync(nil, Sync{CID: k.d.CID, Address: 7962}))
	k.say()
	require.True(t, w.stream(1, 1).Held)
	require.False(t, w.stream(1, 1).Frozen)
	require.Equal(t, []SyncReport{{Address: 7962, Live: true, Last: w.now, Packets: 1}}, w.trk.Report(w.now).Sources[0].Syncs)
	w.wait(LossTimeout)
	require.False(t, w.trk.Report(w.now).Sources[0].Syncs[0].Live)
	require.False(t, w.stream(1, 1).Held, "the source is lost too")
}

// With slot priorities two may win at once without being at odds.
func TestSlotPrioritiesAreNoTie(t *testing.T) {
	w := newWire(t)
	a, b := w.talker(1, "Pier PC", hostA, 3, 100), w.talker(2, "Quay PC", hostB, 3, 100)
	a.d.StartCode = StartPriority
	a.d.SetLevels([]byte{150})
	a.say()
	a.d.StartCode = StartLevels
	a.d.SetLevels([]byte{1, 2})
	w.play(1, a, b)
	r := w.trk.Report(w.now)
	require.Len(t, r.Universe(3).Winners, 2)
	require.Equal(t, SharedUniverse, r.Conflicts[0].Kind)
}

// A newcomer that is turned away gets in as soon as the first one is lost,
// though all others are live.
func TestRoomIsMadeAtTheFirstLoss(t *testing.T) {
	w := newWire(t)
	k := w.talker(0, "bench", hostA, 1, 100)
	for i := range MaxSources {
		w.now = start.Add(time.Duration(i) * time.Millisecond)
		binary.BigEndian.PutUint32(k.d.CID[8:], uint32(i+1))
		k.from = netip.AddrPortFrom(netip.AddrFrom4([4]byte{10, 2, byte(i >> 8), byte(i)}), 5568)
		w.hear(k.from, AppendData(nil, &k.d))
	}
	newcomer := w.talker(9, "late", hostB, 2, 100)
	for _, step := range []struct {
		at time.Duration
		in bool
	}{{2 * time.Second, false}, {LossTimeout - time.Millisecond, false}, {LossTimeout, true}} {
		w.now = start.Add(step.at)
		newcomer.say()
		require.Equal(t, step.in, w.trk.Report(w.now).Source(CID{9}) != nil, "%v", step.at)
	}
	require.Len(t, w.trk.sources, MaxSources)
}

// A receiver of chosen universes remembers how each was left; one of all
// universes forgets those long silent.
func TestHowAUniverseWasLeft(t *testing.T) {
	for _, row := range []struct {
		rx   *Receiver
		lost bool
	}{{NewReceiver(1), true}, {NewReceiver(), false}} {
		row.rx.HearData(start, six(0, 0, 0))
		row.rx.Tick(start.Add(LossTimeout))
		require.True(t, row.rx.Output(1).Lost)
		row.rx.Tick(start.Add(LossTimeout + ForgetAfter))
		require.Equal(t, row.lost, row.rx.Output(1).Lost)
	}
}

// Slots that wait do not keep a new priority waiting.
func TestPriorityOfWhatWaits(t *testing.T) {
	b := newBench(t)
	one, two := b.source(1, 100), b.source(2, 90)
	one.send(10)
	two.send(20)
	one.d.SyncAddress = 7962
	one.syncTo(7962, 0)
	b.levels(10)
	one.d.Priority = 80
	require.Equal(t, Held, one.send(11))
	require.Equal(t, []Universe{1}, b.rx.Changed())
	b.levels(20)
}

func TestKindOf(t *testing.T) {
	for _, row := range []struct {
		base, change string
		want         Kind
	}{
		{"one", "43=02", KindData},
		{"one", "43=01", KindData}, // ParseData says what is wrong with it
		{"sync", "43=01", KindSync},
		{"discovery", "43=02", KindDiscovery},
		{"sync", "21=09", KindUnknown},
		{"sync", "43=03", KindUnknown},
		{"sync", "length=43", KindUnknown},
	} {
		require.Equal(t, row.want, KindOf(change(t, packetFile(t, row.base), row.change)), "%s %s", row.base, row.change)
	}
}

// A report has the universes that were heard, wherever they are in order, and no other.
func TestUniversesOfAReport(t *testing.T) {
	r := &Report{Universes: []UniverseReport{{Universe: 2}, {Universe: 5}, {Universe: 63999}}}
	for u := range Universe(8) {
		got := r.Universe(u)
		require.Equal(t, u == 2 || u == 5, got != nil, "universe %d", u)
		require.True(t, got == nil || got.Universe == u)
	}
	require.NotNil(t, r.Universe(63999))
	require.Nil(t, r.Universe(64000), "above the last")
	require.Nil(t, (&Report{}).Universe(1))
}
