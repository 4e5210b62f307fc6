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
	flood := w.talker(0, "flood", hostA, 1, 100)
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
	late := w.talker(254, "late", hostB, 9, 100)
	late.say()
	require.NotNil(t, w.trk.Report(w.now).Source(CID{254}), "the dead make room")
}

// One address cannot take all the room.
func TestTrackerFloodFromOneAddress(t *testing.T) {
	w := newWire(t)
	flood := w.talker(0, "flood", hostA, 1, 100)
	for i := range 5000 {
		binary.BigEndian.PutUint32(flood.d.CID[8:], uint32(i+1))
		w.hear(flood.from, AppendData(nil, &flood.d))
	}
	require.Len(t, w.trk.sources, MaxPerAddress)
	w.requireBooks()
	other := w.talker(1, "bench", hostB, 2, 100)
	other.say()
	require.NotNil(t, w.trk.Report(w.now).Source(CID{1}))
}

// The books agree with what is kept, after any traffic.
func (w *wire) requireBooks() {
	w.t.Helper()
	streams, listed := 0, 0
	addresses := map[netip.Addr]int{}
	for _, s := range w.trk.sources {
		streams += len(s.streams)
		listed += s.list.size()
		addresses[s.home]++
	}
	require.Equal(w.t, streams, w.trk.streams)
	require.Equal(w.t, listed, w.trk.listed)
	require.Len(w.t, w.trk.addresses, len(addresses))
	for a, n := range addresses {
		require.Equal(w.t, n, w.trk.addresses[a].sources)
	}
}

// Everything else that strangers can make grow is bounded too.

func TestMalformedBooksAreBounded(t *testing.T) {
	w := newWire(t)
	bad := AppendData(nil, six(0, 0, 0))
	bad[108] = 201
	for i := range 2000 {
		w.hear(netip.AddrPortFrom(netip.AddrFrom4([4]byte{10, 9, byte(i >> 8), byte(i)}), 5568), bad)
	}
	r := w.trk.Report(w.now)
	require.Len(t, r.Malformed, maxMalformed+1)
	require.EqualValues(t, 2000-maxMalformed, r.Malformed[0].Packets, "the rest is counted together")
	require.False(t, r.Malformed[0].From.IsValid())
	w.wait(ForgetAfter)
	require.Empty(t, w.trk.Report(w.now).Malformed)
}

func TestListsAreBounded(t *testing.T) {
	w := newWire(t)
	d := listing()
	d.Last = 255
	us := make([]Universe, PageSize)
	for i := range us {
		us[i] = Universe(i + 1)
	}
	d.SetList(us)
	for source := range 4 {
		d.CID[0] = byte(source)
		for page := range 256 {
			d.Page = uint8(page)
			w.hear(hostA, AppendDiscovery(nil, d))
		}
	}
	require.Equal(t, maxListed, w.trk.listed)
	require.EqualValues(t, 4*256-maxListed/PageSize, w.trk.Report(w.now).Counts.TurnedAway)
	w.requireBooks()
}

func TestInputsOfOneUniverseAreBounded(t *testing.T) {
	b := newBench(t)
	for id := range byte(maxSources) {
		require.Equal(t, Acted, b.source(id+1, 100).send(id))
	}
	require.Equal(t, TurnedAway, b.source(200, 150).send(99))
	require.Len(t, b.rx.Output(1).Sources, maxSources)
	b.now = b.now.Add(LossTimeout) // no tick: the lost make room by themselves
	require.Equal(t, Acted, b.source(200, 150).send(99))
	b.levels(99)
}

func TestUniversesAreBounded(t *testing.T) {
	b := newBench(t)
	one := b.source(1, 100)
	for u := range Universe(maxTables) {
		one.d.Universe = u + 1
		require.Equal(t, Acted, one.send(1))
	}
	one.d.Universe = 60000
	require.Equal(t, TurnedAway, one.send(1))
	b.wait(LossTimeout)
	require.Equal(t, Acted, one.send(1))
}

func TestSyncAddressesAreBounded(t *testing.T) {
	b := newBench(t)
	one := b.source(1, 100)
	for a := range Universe(maxSyncs) {
		require.True(t, one.syncTo(a+1, 0))
	}
	require.False(t, one.syncTo(60000, 0))
	b.now = b.now.Add(LossTimeout)
	require.True(t, one.syncTo(60000, 0))

	for id := range byte(100) { // sources of one address
		b.source(id+2, 100).syncTo(60000, 0)
	}
	require.Len(t, b.rx.syncs[60000].sources, maxSyncSources)
}

func TestStreamsOfOneSourceAreBounded(t *testing.T) {
	w := newWire(t)
	k := w.talker(1, "bench", hostA, 1, 100)
	for i := range 100 {
		k.d.StartCode = byte(i)
		k.from = netip.AddrPortFrom(hostA.Addr(), uint16(1000+i))
		k.say()
		w.hear(k.from, AppendSync(nil, Sync{CID: k.d.CID, Address: Universe(i + 1)}))
	}
	r := w.trk.Report(w.now)
	require.Len(t, r.Sources[0].Streams[0].StartCodes, maxCodes)
	require.Len(t, r.Sources[0].Streams[0].Addresses, maxFroms)
	require.Len(t, r.Sources[0].Syncs, 100, "bounded by maxSyncs over all sources")
	for i, s := range r.Sources[0].Syncs {
		require.Equal(t, Universe(i+1), s.Address, "ascending")
	}
	for u := range Universe(MaxStreams + 100) {
		k.d.Universe = u + 1
		k.say()
	}
	require.Equal(t, MaxStreams, w.trk.streams)
	w.wait(LossTimeout)
	k.d.Universe = 60000
	k.say()
	require.NotNil(t, w.trk.Report(w.now).Sources[0].Stream(60000))
	w.requireBooks()
}
