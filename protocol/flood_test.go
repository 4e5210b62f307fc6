package protocol

import (
	"encoding/binary"
	"net/netip"
	"testing"

	"github.com/stretchr/testify/require"
)

// A flood of new CIDs from many addresses leaves memory bounded and the stream
// that was there before it whole.
func TestTrackerFlood(t *testing.T) {
	w := newWire(t)
	good := w.talker(255, "bench", benchHost, 1, 100)
	w.play(10, good)
	flood := w.talker(0, "flood", pierHost, 1, 100)
	for i := range 20000 {
		binary.BigEndian.PutUint32(flood.d.CID[8:], uint32(i+1))
		flood.d.Universe = Universe(i%500 + 1)
		flood.from = netip.AddrPortFrom(netip.AddrFrom4([4]byte{10, 1, byte(i >> 4), byte(i)}), 5568)
		w.hear(flood.from, AppendData(nil, &flood.d))
		if i%100 == 0 {
			w.play(1, good)
		}
	}
	r := w.trk.Report(w.now)
	require.LessOrEqual(t, len(r.Sources), MaxSources)
	require.LessOrEqual(t, w.trk.streams, MaxStreams)
	require.Positive(t, r.Counts.TurnedAway)
	w.requireBooks()
	st := w.stream(255, 1)
	require.EqualValues(t, 210, st.Packets)
	require.Zero(t, st.Missing)
	w.wait(LossTimeout)
	late := w.talker(254, "late", quayHost, 9, 100)
	late.say()
	require.NotNil(t, w.trk.Report(w.now).Source(CID{254}), "the dead make room")
}

// One address cannot take all the room.
func TestTrackerFloodFromOneAddress(t *testing.T) {
	w := newWire(t)
	flood := w.talker(0, "flood", pierHost, 1, 100)
	for i := range 5000 {
		binary.BigEndian.PutUint32(flood.d.CID[8:], uint32(i+1))
		w.hear(flood.from, AppendData(nil, &flood.d))
	}
	require.Len(t, w.trk.sources, MaxPerAddress)
	w.requireBooks()
	other := w.talker(1, "bench", quayHost, 2, 100)
	other.say()
	require.NotNil(t, w.trk.Report(w.now).Source(CID{1}))
}

// The books agree with what is kept, after any traffic.
func (w *wire) requireBooks() {
	w.t.Helper()
	streams, listed := 0, 0
	guests := map[netip.Addr]int{}
	for _, s := range w.trk.sources {
		streams += len(s.streams)
		listed += s.list.size()
		guests[s.home]++
	}
	require.Equal(w.t, streams, w.trk.streams)
	require.Equal(w.t, listed, w.trk.listed)
	require.Len(w.t, w.trk.guests, len(guests))
	for a, n := range guests {
		require.Equal(w.t, n, w.trk.guests[a].sources)
	}
}
