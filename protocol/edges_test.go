package protocol

import (
	"encoding/binary"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Edges of the rules, where one sign or one reset makes the difference.

// 6.7.1 at exactly 2.5 s, with no tick in between: the stream starts again.
func TestLossAtTheVeryMoment(t *testing.T) {
	b := newBench(t)
	one := b.source(1, 100)
	one.d.Sequence = 50
	one.send(10)
	b.now = b.now.Add(LossTimeout)
	one.d.Sequence = 49
	require.Equal(t, Acted, one.send(9))
}

// 6.2.4.1: another address is another synchronization, which has not begun,
// also when the one before it was lost.
func TestNewSyncAddressStartsAnew(t *testing.T) {
	b := newBench(t)
	one := b.source(1, 100)
	one.d.SyncAddress = 7962
	one.syncTo(7962, 0)
	require.Equal(t, Held, one.send(10))
	b.wait(LossTimeout - time.Millisecond)
	require.Equal(t, Held, one.send(11))
	b.wait(time.Second)
	require.Equal(t, Held, one.send(12)) // frozen (11.1.2)
	one.d.SyncAddress = 7963
	require.Equal(t, Acted, one.send(13))
	b.levels(13)
}

// 6.7.2 with 11.1.2: after 2.5 s of silence a synchronization stream may start
// at any number.
func TestSyncSequenceForgottenAfterLoss(t *testing.T) {
	b := newBench(t)
	one, two := b.source(1, 100), b.source(2, 100)
	require.True(t, one.syncTo(7962, 9))
	for n := range uint8(4) { // another source keeps the address alive
		b.wait(time.Second)
		require.True(t, two.syncTo(7962, n))
	}
	require.True(t, one.syncTo(7962, 8))
	require.False(t, one.syncTo(7962, 8))
}

// Slot priorities above 200 are reserved: such a slot is not driven. At a draw
// of priority and value the first source keeps the slot.
func TestSlotPriorityEdges(t *testing.T) {
	b := newBench(t)
	plain, fine := b.source(1, 100), b.source(2, 100)
	plain.send(5, 7, 9)
	fine.d.StartCode = StartPriority
	fine.send(201, 100, 100)
	fine.d.StartCode = StartLevels
	fine.send(99, 7, 10)
	b.levels(5, 7, 10)
	require.Equal(t, []int8{0, 0, 1}, b.rx.Output(1).Owner[:3])
	require.Equal(t, []CID{{1}, {2}}, b.rx.Output(1).Winners())
}

// What stood in a value is gone once a shorter packet is read into it.
func TestParseClearsWhatStoodThere(t *testing.T) {
	var d Data
	full := six(0, 0, 0)
	full.SetLevels(ramp(512))
	require.NoError(t, ParseData(AppendData(nil, full), &d))
	require.NoError(t, ParseData(packetFile(t, "one"), &d))
	require.True(t, d == *six(0, 0, 0))

	var l Discovery
	require.NoError(t, ParseDiscovery(AppendDiscovery(nil, listing(3, 4, 5, 6, 7)), &l))
	require.NoError(t, ParseDiscovery(packetFile(t, "discovery"), &l))
	require.True(t, l == *listing(1, 2, 7962))
}

// 6.2.6: reserved option bits do not get out by the fast way either.
func TestTemplateSendsNoReservedBits(t *testing.T) {
	require.Equal(t, byte(0xe0), NewTemplate(six(0, 0, 0)).Next(0, 0xff)[112])
}

// A copy that comes after its successor is a second one, not a late first one.
func TestTrackerTellsTwiceFromLate(t *testing.T) {
	w := newWire(t)
	k := w.talker(1, "bench", hostA, 1, 100)
	k.say()
	copied := AppendData(nil, &k.d)
	k.say()
	k.say()
	w.hear(hostA, copied)
	k.d.Sequence++ // lost on the way so far
	missing := k.d
	missing.Sequence--
	k.say()
	require.EqualValues(t, 1, w.stream(1, 1).Missing)
	w.hear(hostA, AppendData(nil, &missing))
	w.hear(hostA, AppendData(nil, &missing))
	st := w.stream(1, 1)
	require.EqualValues(t, []uint64{4, 0, 2, 1}, []uint64{st.Packets, st.Missing, st.Twice, st.Late})
}

// What was overtaken by the first packet heard was never counted as missing,
// so that it makes up for none that is.
func TestTrackerLateBeforeTheFirst(t *testing.T) {
	for _, again := range []bool{false, true} {
		w := newWire(t)
		k := w.talker(1, "bench", hostA, 1, 100)
		k.d.Sequence = 100
		if again { // the same after a jump
			w.play(30, k)
			k.d.Sequence = 50
		}
		before := AppendData(nil, &k.d)
		k.d.Sequence++
		k.say()
		w.hear(hostA, before)
		k.say()
		k.d.Sequence++ // lost
		k.say()
		st := w.stream(1, 1)
		require.EqualValues(t, []uint64{1, 0, 1}, []uint64{st.Missing, st.Twice, st.Late}, "after a jump: %v", again)
		w.hear(hostA, before)
		require.EqualValues(t, []uint64{1, 1, 1}, []uint64{w.stream(1, 1).Missing, w.stream(1, 1).Twice, w.stream(1, 1).Late})
	}
}

// A step back of 20 or more is a stream that started again, not 236 lost packets.
func TestTrackerCountsJumps(t *testing.T) {
	w := newWire(t)
	k := w.talker(1, "bench", hostA, 1, 100)
	w.play(30, k)
	k.d.Sequence = 0
	w.play(30, k)
	st := w.stream(1, 1)
	require.EqualValues(t, []uint64{60, 0, 1}, []uint64{st.Packets, st.Missing, st.Jumps})
}

// Rate and loss do not mix what was before an end with what comes after it.
func TestTrackerFiguresStartAnew(t *testing.T) {
	w := newWire(t)
	k := w.talker(1, "bench", hostA, 1, 100)
	for range 60 {
		k.d.Sequence++ // every second one is lost
		w.play(1, k)
	}
	require.InDelta(t, 0.5, w.stream(1, 1).Loss, 0.02)
	k.d.Options = Terminated
	w.play(1, k)
	k.d.Options = 0
	w.play(3, k)
	require.Zero(t, w.stream(1, 1).Loss)
	require.InDelta(t, 44, w.stream(1, 1).Rate, 1)
}

// RFC 3550 6.4.1: one gap that is 16 ms too long moves the figure by a sixteenth.
func TestTrackerJitterMovesBySixteenths(t *testing.T) {
	w := newWire(t)
	k := w.talker(1, "bench", hostA, 1, 100)
	w.play(10, k)
	w.now = w.now.Add(16 * time.Millisecond)
	w.play(1, k)
	require.Equal(t, time.Millisecond, w.stream(1, 1).Jitter)
}

// A universe on two pages, as a list that shifts between them has it, counts once.
func TestTrackerListNamesAUniverseOnce(t *testing.T) {
	w := newWire(t)
	for page := range uint8(2) {
		d := listing(1, 2, 3)
		d.Page, d.Last = page, 1
		w.hear(hostA, AppendDiscovery(nil, d))
	}
	require.Equal(t, []Universe{1, 2, 3}, w.trk.Report(w.now).Sources[0].Listed)
	w.requireBooks()
}

// Who makes room is the stalest quarter of the dead; the rest stays to be shown.
func TestTrackerEvictsTheStalest(t *testing.T) {
	w := newWire(t)
	k := w.talker(0, "bench", hostA, 1, 100)
	for i := range MaxPerAddress {
		w.now = w.now.Add(10 * time.Millisecond)
		binary.BigEndian.PutUint32(k.d.CID[8:], uint32(i+1))
		w.hear(k.from, AppendData(nil, &k.d))
	}
	w.wait(10 * time.Second)
	w.talker(9, "bench", hostA, 1, 100).say()
	require.Len(t, w.trk.sources, MaxPerAddress*3/4+1)
	var first, last CID
	binary.BigEndian.PutUint32(first[8:], 1)
	binary.BigEndian.PutUint32(last[8:], MaxPerAddress)
	require.Nil(t, w.trk.Report(w.now).Source(first))
	require.NotNil(t, w.trk.Report(w.now).Source(last))
	w.requireBooks()
}
