package link

import (
	"context"
	"encoding/binary"
	"flag"
	"net"
	"net/netip"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"example.org/ringout/internal/testkit/lateness"
	"example.org/ringout/protocol"
)

func TestMain(m *testing.M) {
	if role := os.Getenv("RINGOUT_TEST_ROLE"); role != "" {
		os.Exit(play(role)) // this process stands on another host of a test network
	}
	flag.Parse()
	flag.Set("test.parallel", "16") // they mostly wait
	goleak.VerifyTestMain(m)
}

// Octets of a data packet by the standard's table 4-1, not by our own parser:
// one misreading must not pass at both ends.
const (
	octetCID      = 22
	octetSource   = 44
	octetPriority = 108
	octetSync     = 109
	octetSequence = 111
	octetOptions  = 112
	octetUniverse = 113
	octetStart    = 125
	octetSlots    = 126
)

var local4 = netip.AddrFrom4([4]byte{127, 0, 0, 1})

// patience is for what must happen, where the test is not about how soon.
const patience = 10 * time.Second

var testCID = protocol.CID{0x5a, 1, 2, 3, 4, 5, 0x46, 7, 0x88, 9, 10, 11, 12, 13, 14, 15}

// A packet is what arrived and when.
type packet struct {
	at time.Time
	b  []byte
}

func (p packet) universe() int { return int(binary.BigEndian.Uint16(p.b[octetUniverse:])) }
func (p packet) seq() byte     { return p.b[octetSequence] }

// ended is true of data that ends its stream; synchronization is shorter.
func (p packet) ended() bool { return len(p.b) > octetOptions && p.b[octetOptions]&0x40 != 0 }

// A receiver keeps what arrives on a loopback port.
type receiver struct {
	conn *net.UDPConn
	ch   chan packet
}

func receive(t testing.TB, addr string) *receiver {
	t.Helper()
	conn, err := net.ListenUDP("udp", net.UDPAddrFromAddrPort(netip.MustParseAddrPort(addr)))
	require.NoError(t, err)
	conn.SetReadBuffer(4 << 20)
	r := &receiver{conn, make(chan packet, 100000)}
	done := make(chan struct{})
	go func() {
		defer close(done)
		var buf [2048]byte
		for {
			n, err := conn.Read(buf[:])
			if err != nil {
				return
			}
			r.ch <- packet{time.Now(), append([]byte(nil), buf[:n]...)}
		}
	}()
	t.Cleanup(func() { conn.Close(); <-done })
	return r
}

func (r *receiver) port() uint16 { return uint16(r.conn.LocalAddr().(*net.UDPAddr).Port) }

// next waits for one packet.
func (r *receiver) next(t testing.TB) packet {
	t.Helper()
	select {
	case p := <-r.ch:
		return p
	case <-time.After(patience):
		require.FailNow(t, "no packet within "+patience.String())
		return packet{}
	}
}

// termination collects what arrives up to the last of the packets that end so
// many universes, three each (6.2.6), then so many packets that belong behind
// it, and whatever else may come, which nothing should.
func (r *receiver) termination(t testing.TB, universes, behind int) []packet {
	t.Helper()
	var list []packet
	for ends := 3 * universes; ends > 0; {
		p := r.next(t)
		list = append(list, p)
		if p.ended() {
			ends--
		}
	}
	for range behind {
		list = append(list, r.next(t))
	}
	return append(list, r.during(50*time.Millisecond)...)
}

// settle waits until the repeats of the last change are over, and forgets what
// has arrived.
func (r *receiver) settle(t testing.TB, s *Sender) {
	t.Helper()
	quiet(t, s)
	for len(r.ch) > 0 {
		<-r.ch
	}
}

// quiet waits until three looks in a row, each three periods after the other,
// find that nothing was sent: only keep-alives are left to come.
func quiet(t testing.TB, s *Sender) {
	t.Helper()
	sent := func() (n uint64) {
		for _, st := range s.Status() {
			n += st.Packets
		}
		return n
	}
	last, still := sent(), 0
	eventually(t, patience, "nothing is sent", func() bool {
		time.Sleep(3 * protocol.MinPeriod)
		now := sent()
		still++
		if now != last || now == 0 {
			still = 0
		}
		last = now
		return still == 3
	})
}

// during collects what arrives in a span of time.
func (r *receiver) during(d time.Duration) []packet {
	var list []packet
	end := time.After(d)
	for {
		select {
		case p := <-r.ch:
			list = append(list, p)
		case <-end:
			return list
		}
	}
}

func config(targets ...Target) Config {
	return Config{CID: testCID, Source: "bench", Priority: 100, Targets: targets, DiscoveryPort: 55680}
}

func to(r *receiver, u protocol.Universe) Target {
	return Target{Universe: u, Host: "127.0.0.1", Port: r.port()}
}

func open(t testing.TB, cfg Config) *Sender {
	t.Helper()
	s, err := Open(cfg)
	require.NoError(t, err)
	t.Cleanup(func() { shut(t, s) })
	return s
}

func shut(t testing.TB, s *Sender) error {
	ctx, cancel := context.WithTimeout(context.Background(), 3*time.Second)
	defer cancel()
	return s.Close(ctx)
}

// A change goes out at once, three times at the full rate, and is then kept
// alive every 800 to 1000 ms (ANSI E1.31-2018 6.6.1, 6.6.2).
func TestChangeThenKeepAlive(t *testing.T) {
	t.Parallel()
	r := receive(t, "127.0.0.1:0")
	late := lateness.Watch(t)
	s := open(t, config(to(r, 7)))
	s.Put([][]byte{{1, 2, 3}})
	first := r.next(t)
	require.Equal(t, []byte{1, 2, 3}, first.b[octetSlots:])
	require.Equal(t, 7, first.universe())
	require.Equal(t, byte(100), first.b[octetPriority])
	require.Equal(t, testCID[:], first.b[octetCID:octetCID+16])
	second, third := r.next(t), r.next(t)
	require.Equal(t, []byte{0, 1, 2}, []byte{first.seq(), second.seq(), third.seq()})
	require.Less(t, third.at.Sub(first.at), 200*time.Millisecond+late.Total())
	fourth, fifth := r.next(t), r.next(t)
	for _, gap := range []time.Duration{fourth.at.Sub(third.at), fifth.at.Sub(fourth.at)} {
		require.InDelta(t, 900, gap.Milliseconds(), float64((100*time.Millisecond + late.Total()).Milliseconds()))
	}
}

// Leaving sends black and then three packets with Stream_Terminated for every
// universe (ANSI E1.31-2018 6.2.6).
func TestCloseEndsEveryUniverse(t *testing.T) {
	t.Parallel()
	r := receive(t, "127.0.0.1:0")
	s := open(t, config(to(r, 1), to(r, 2)))
	s.Put([][]byte{{9, 9, 9}, {8}})
	r.settle(t, s)
	began, late := time.Now(), lateness.Watch(t)
	require.NoError(t, shut(t, s))
	require.Less(t, time.Since(began), 400*time.Millisecond+late.Total())
	last := map[int][]packet{}
	for _, p := range r.termination(t, 2, 0) {
		last[p.universe()] = append(last[p.universe()], p)
	}
	for u, want := range map[int][]byte{1: {0, 0, 0}, 2: {0}} {
		list := last[u]
		require.GreaterOrEqual(t, len(list), 4, "universe %d", u)
		list = list[len(list)-4:] // before it a keep-alive, when the machine is busy
		require.Equal(t, want, list[0].b[octetSlots:], "black first")
		require.False(t, list[0].ended())
		for i, p := range list[1:] {
			require.True(t, p.ended())
			require.Equal(t, list[i].seq()+1, p.seq())
		}
	}
}

func universe(n int) protocol.Universe { return protocol.Universe(n) }
