package protocol

import (
	"encoding/binary"
	"net/netip"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// fullPackets is one full packet for each of n universes, from one source.
func fullPackets(n int) [][]byte {
	packets := make([][]byte, n)
	for i := range packets {
		d := six(0, 0, 0)
		d.Universe = Universe(i + 1)
		d.SetLevels(ramp(512))
		packets[i] = AppendData(nil, d)
	}
	return packets
}

// A known source costs no allocation, whatever it sends.
func TestTrackerFoldsWithoutAllocating(t *testing.T) {
	trk, now := NewTracker(), start
	packets := fullPackets(50)
	lap := func() {
		now = now.Add(MinPeriod)
		for _, b := range packets {
			b[111]++
			trk.Hear(Datagram{At: now, From: hostA, Octets: b})
		}
	}
	lap()
	require.Zero(t, testing.AllocsPerRun(100, lap))
}

// Ten thousand sources come and go, and what is kept stays small: under the
// limits of a Tracker no more than a few megabytes.
func TestTrackerMemoryAfterTenThousandSources(t *testing.T) {
	require.Less(t, heapAfterSources(10000), uint64(16<<20))
}

// heapAfterSources plays sources one after another, each on four universes for
// a moment, and returns the heap that their tracker holds at the end.
func heapAfterSources(n int) uint64 {
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	trk, now := NewTracker(), start
	d := six(0, 0, 0)
	for i := range n {
		binary.BigEndian.PutUint32(d.CID[8:], uint32(i))
		for u := range 4 {
			d.Universe = Universe((i*4+u)%2000 + 1)
			d.Sequence = 0
			from := netip.AddrPortFrom(netip.AddrFrom4([4]byte{10, 0, byte(i >> 8), byte(i)}), 5568)
			trk.Hear(Datagram{At: now, From: from, Octets: AppendData(nil, d)})
		}
		now = now.Add(20 * time.Millisecond)
		if i%10 == 0 {
			trk.Tick(now)
		}
	}
	runtime.GC()
	runtime.ReadMemStats(&after)
	runtime.KeepAlive(trk)
	return max(after.HeapAlloc, before.HeapAlloc) - before.HeapAlloc
}

func BenchmarkTrackerMemoryAfterTenThousandSources(b *testing.B) {
	for b.Loop() {
		b.ReportMetric(float64(heapAfterSources(10000))/(1<<20), "MB")
	}
}

// BenchmarkTrackerFold folds 500 universes of 512 slots; an op is one packet.
// 500 universes at 44 Hz are 22,000 packets a second.
func BenchmarkTrackerFold(b *testing.B) {
	trk, now := NewTracker(), start
	packets := fullPackets(500)
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		p := packets[i]
		p[111]++
		trk.Hear(Datagram{At: now, From: hostA, Octets: p})
		if i++; i == len(packets) {
			i, now = 0, now.Add(MinPeriod)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)*22000/1e7, "%core@500")
}

// BenchmarkParseOnly is the yardstick for it: the same packets, only parsed.
func BenchmarkParseOnly(b *testing.B) {
	packets := fullPackets(500)
	var d Data
	i := 0
	for b.Loop() {
		if err := ParseData(packets[i], &d); err != nil {
			b.Fatal(err)
		}
		i = (i + 1) % len(packets)
	}
}

func BenchmarkTrackerReport(b *testing.B) {
	trk := NewTracker()
	for _, p := range fullPackets(500) {
		trk.Hear(Datagram{At: start, From: hostA, Octets: p})
	}
	b.ReportAllocs()
	for b.Loop() {
		trk.Report(start)
	}
}

func BenchmarkTrackerTick(b *testing.B) {
	trk := NewTracker()
	for _, p := range fullPackets(500) {
		trk.Hear(Datagram{At: start, From: hostA, Octets: p})
	}
	for b.Loop() {
		trk.Tick(start)
	}
}

func BenchmarkMalformed(b *testing.B) {
	bad := AppendData(nil, six(0, 0, 0))
	bad[108] = 201
	trk := NewTracker()
	b.ReportAllocs()
	for b.Loop() {
		trk.Hear(Datagram{At: start, From: hostA, Octets: bad})
	}
}
