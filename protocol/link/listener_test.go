package link

import (
	"encoding/binary"
	"math/rand/v2"
	"net"
	"net/netip"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/testkit/lateness"
	"example.org/ringout/protocol"
)

func hearAt(t testing.TB, host string) (*Listener, uint16) {
	t.Helper()
	port := freePort(t, host)
	l, err := Listen(t.Context(), ListenConfig{Bind: netip.MustParseAddr(host), Port: port, Every: 20 * time.Millisecond})
	require.NoError(t, err)
	t.Cleanup(func() { l.Close() })
	return l, port
}

// What is sent to an address of this machine is in the report, over both
// families.
func TestListenerHearsUnicast(t *testing.T) {
	for _, host := range []string{"127.0.0.1", "::1"} {
		t.Run(host, func(t *testing.T) {
			l, port := hearAt(t, host)
			cfg := config(universeAt(3, host, port))
			cfg.Priority, cfg.Source = 150, "Pier PC"
			s := open(t, cfg)
			s.Put([][]byte{{1, 2, 3}})
			var st *protocol.StreamReport
			var src *protocol.SourceReport
			eventually(t, patience, "heard", func() bool {
				r := <-l.Reports()
				if src = r.Source(testCID); src != nil {
					st = src.Stream(3)
				}
				return st != nil
			})
			require.Equal(t, "Pier PC", src.Name)
			require.Equal(t, netip.MustParseAddr(host), src.From.Addr())
			require.Equal(t, uint8(150), st.Priority)
			require.Equal(t, 3, st.Slots)
			require.False(t, st.Multicast)
			if fast {
				require.Equal(t, "lo", st.Interface)
			}
			require.NoError(t, shut(t, s))
			eventually(t, patience, "its end is heard", func() bool {
				return l.Report().Source(testCID).Stream(3).State == protocol.Finished
			})
		})
	}
}

// A port that another program has for itself gets one clear sentence.
func TestListenerPortTaken(t *testing.T) {
	taken, err := net.ListenUDP("udp", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	defer taken.Close()
	port := uint16(taken.LocalAddr().(*net.UDPAddr).Port)
	for _, cfg := range []ListenConfig{
		{Bind: netip.MustParseAddr("127.0.0.1"), Port: port},
		{Unicast: true, Port: port},
	} {
		_, err = Listen(t.Context(), cfg)
		var pe *PortError
		require.ErrorAs(t, err, &pe)
		require.Contains(t, err.Error(), "is taken by another program on this machine: close that program, or listen on another port")
	}
}

func TestListenerRefuses(t *testing.T) {
	var ce *ConfigError
	_, err := Listen(t.Context(), ListenConfig{Universes: []protocol.Universe{64000}})
	require.ErrorAs(t, err, &ce)
	require.Equal(t, "universe 64000 cannot be listened to: choose 1 to 63999", err.Error())
	_, err = Listen(t.Context(), ListenConfig{Interfaces: []string{"quay9"}})
	require.ErrorAs(t, err, &ce)
	require.Contains(t, err.Error(), `interface "quay9" does not exist: this machine has `)
	_, err = Listen(t.Context(), ListenConfig{Bind: netip.MustParseAddr("192.0.2.1"), Port: 45568}) // RFC 5737: no host has it
	require.ErrorAs(t, err, &ce)
	require.Equal(t, "192.0.2.1 is not an address of this machine: give one of its own, such as 127.0.0.1", err.Error())
}

// A listener whose reports are not read stops all the same, and its last
// report is the newest one.
func TestListenerNewestReportWins(t *testing.T) {
	l, _ := hearAt(t, "127.0.0.1")
	late := lateness.Watch(t)
	time.Sleep(100 * time.Millisecond)
	r := <-l.Reports()
	require.Less(t, time.Since(r.At), 60*time.Millisecond+late.Total())
	require.NoError(t, l.Close())
	require.NoError(t, l.Close())
	_, open := <-l.Reports()
	for open {
		_, open = <-l.Reports()
	}
}

// 100,000 packets that mean harm: no panic, bounded memory, and the good
// stream beside them is tracked whole.
func TestListenerUnderMalformedPackets(t *testing.T) {
	l, port := hearAt(t, "127.0.0.1")
	cfg := config(universeAt(1, "127.0.0.1", port))
	cfg.Steady = true
	s := open(t, cfg)
	s.Put([][]byte{make([]byte, 512)})
	eventually(t, patience, "heard", func() bool { return l.Report().Source(testCID) != nil })

	heap := heapNow()
	conn, err := net.Dial("udp", netip.AddrPortFrom(netip.MustParseAddr("127.0.0.1"), port).String())
	require.NoError(t, err)
	defer conn.Close()
	good := protocol.AppendData(nil, &protocol.Data{CID: testCID, Priority: 100, Universe: 1, Count: 512})
	rng := rand.New(rand.NewPCG(1, 2))
	for i := range 100_000 {
		conn.Write(spoil(rng, good))
		if i%200 == 0 {
			takenIn(t, l, i) // what is lost in the socket proves nothing
		}
	}
	takenIn(t, l, 100_000)
	r := l.Report()
	require.Greater(t, r.Counts.Malformed, uint64(50_000))
	t.Logf("%d datagrams, %d malformed, %d turned away, %d lost in the socket", r.Counts.Datagrams, r.Counts.Malformed, r.Counts.TurnedAway, l.Dropped())
	require.Less(t, heapNow()-heap, int64(32<<20))
	st := r.Source(testCID).Stream(1)
	require.Equal(t, protocol.Live, st.State)
	require.Greater(t, st.Rate, 3.0, "44, less when the machine is busy")
	if l.Dropped() == 0 {
		require.Zero(t, st.Missing)
	}
}

// Ten thousand sources that come once and go: memory stays bounded, and what
// there is no room for is counted.
func TestListenerUnderManySources(t *testing.T) {
	l, port := hearAt(t, "127.0.0.1")
	conn, err := net.Dial("udp", netip.AddrPortFrom(local4, port).String())
	require.NoError(t, err)
	defer conn.Close()
	heap := heapNow()
	d := protocol.Data{CID: testCID, Priority: 100, Universe: 1, Count: 512}
	for n := range 10_000 {
		binary.BigEndian.PutUint32(d.CID[4:], uint32(n))
		conn.Write(protocol.AppendData(nil, &d))
		if n%100 == 0 {
			takenIn(t, l, n)
		}
	}
	takenIn(t, l, 10_000)
	r := l.Report()
	require.LessOrEqual(t, len(r.Sources), protocol.MaxSources)
	require.Equal(t, uint64(10_000), r.Counts.Datagrams+l.Dropped())
	require.NotZero(t, r.Counts.TurnedAway)
	grown := heapNow() - heap
	t.Logf("%d sources kept, %d turned away, heap grown by %d kB", len(r.Sources), r.Counts.TurnedAway, grown>>10)
	require.Less(t, grown, int64(32<<20))
}

// takenIn waits until a listener has had so many datagrams, or the system has
// lost them.
func takenIn(t testing.TB, l *Listener, n int) {
	t.Helper()
	eventually(t, patience, "taken in", func() bool { return l.Report().Counts.Datagrams+l.Dropped() >= uint64(n) })
}

func heapNow() int64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int64(m.HeapAlloc)
}

// spoil makes a bad packet of a good one: cut, stretched, with wrong lengths,
// random octets, or a new CID.
func spoil(rng *rand.Rand, good []byte) []byte {
	b := append([]byte(nil), good...)
	switch rng.IntN(6) {
	case 0:
		return b[:rng.IntN(len(b))]
	case 1:
		for range 1 + rng.IntN(8) {
			b[rng.IntN(126)] ^= byte(1 + rng.IntN(255))
		}
		copy(b[22:38], "not the good one")
	case 2:
		binary.BigEndian.PutUint16(b[[]int{16, 38, 115, 123}[rng.IntN(4)]:], uint16(rng.Uint32()))
	case 3:
		for i := range b {
			b[i] = byte(rng.Uint32())
		}
	case 4:
		b[108] = byte(201 + rng.IntN(55))
	case 5:
		b[118] = byte(rng.Uint32()) | 1
		b[117] = 7
	}
	return b
}
