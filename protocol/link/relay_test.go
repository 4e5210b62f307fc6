package link

import (
	"encoding/binary"
	"math"
	"math/rand/v2"
	"net"
	"net/netip"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/protocol"
)

// A relay is a bad network: it passes datagrams on and loses, doubles and
// delays some, by a seed, and knows what it did.
type relay struct {
	in              *net.UDPConn
	out             *net.UDPConn
	rng             *rand.Rand
	lose, dbl, hold float64 // shares
	late            time.Duration

	mu    sync.Mutex
	truth map[int]*streamTruth
	wg    sync.WaitGroup
}

// A streamTruth is what happened to one universe.
type streamTruth struct {
	came, lost, doubled int
	order               []int // numbers as they went out, from the relay's own count
}

func newRelay(t *testing.T, to netip.AddrPort, seed uint64, lose, dbl, hold float64, late time.Duration) *relay {
	t.Helper()
	in, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	out, err := net.DialUDP("udp4", nil, net.UDPAddrFromAddrPort(to))
	require.NoError(t, err)
	r := &relay{in: in, out: out, rng: rand.New(rand.NewPCG(seed, 0)), lose: lose, dbl: dbl, hold: hold, late: late, truth: map[int]*streamTruth{}}
	r.wg.Go(r.run)
	t.Cleanup(func() { in.Close(); r.wg.Wait(); out.Close() })
	return r
}

func (r *relay) port() uint16 { return uint16(r.in.LocalAddr().(*net.UDPAddr).Port) }

func (r *relay) run() {
	var buf [2048]byte
	for {
		n, err := r.in.Read(buf[:])
		if err != nil {
			return
		}
		r.pass(append([]byte(nil), buf[:n]...))
	}
}

// pass decides on one datagram, by octets 113-114 of table 4-1.
func (r *relay) pass(b []byte) {
	r.mu.Lock()
	defer r.mu.Unlock()
	u := int(binary.BigEndian.Uint16(b[octetUniverse:]))
	d := r.truth[u]
	if d == nil {
		d = &streamTruth{}
		r.truth[u] = d
	}
	number := d.came
	d.came++
	switch x := r.rng.Float64(); {
	case x < r.lose:
		d.lost++
	case x < r.lose+r.dbl:
		d.doubled++
		r.send(d, number, b)
		r.send(d, number, b)
	case x < r.lose+r.dbl+r.hold:
		r.wg.Go(func() {
			time.Sleep(r.late)
			r.mu.Lock()
			defer r.mu.Unlock()
			r.send(d, number, b)
		})
	default:
		r.send(d, number, b)
	}
}

func (r *relay) send(d *streamTruth, number int, b []byte) {
	d.order = append(d.order, number)
	r.out.Write(b)
}

// overtaken counts the packets that went out after one with a higher number.
func (d *streamTruth) overtaken() (n int) {
	highest := -1
	for _, number := range d.order {
		if number < highest {
			n++
		}
		highest = max(highest, number)
	}
	return n
}

// What the listener reports about a bad network agrees with what the network
// did: numbers that never came, that came twice and that came late exactly,
// and the share lost recently within the error of its sample.
func TestReportAgreesWithABadNetwork(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name            string
		lose, dbl, hold float64
	}{
		{"lossy", 0.17, 0, 0},
		{"doubling", 0, 0.2, 0},
		{"out of order", 0, 0, 0.1},
		{"all at once", 0.05, 0.05, 0.05},
	}
	for i, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			if tt.name != "all at once" {
				long(t)
			}
			l, port := hearAt(t, "127.0.0.1")
			r := newRelay(t, netip.AddrPortFrom(local4, port), uint64(i)+1, tt.lose, tt.dbl, tt.hold, 60*time.Millisecond)
			var targets []Target
			for u := 1; u <= 8; u++ {
				targets = append(targets, universeAt(u, "127.0.0.1", r.port()))
			}
			cfg := config(targets...)
			cfg.Steady = true
			s := open(t, cfg)
			s.Put([][]byte{{1}, {2}, {3}, {4}, {5}, {6}, {7}, {8}})
			time.Sleep(6 * time.Second)
			r.mu.Lock() // nothing more goes through
			passed := 0
			for _, d := range r.truth {
				passed += len(d.order)
			}
			takenIn(t, l, passed)
			report := l.Report()
			defer r.mu.Unlock()
			require.Zero(t, l.Dropped())
			var packets, lost float64
			for u := 1; u <= 8; u++ {
				requireAgree(t, u, report.Source(testCID).Stream(universe(u)), r.truth[u])
				packets += float64(r.truth[u].came)
				lost += report.Source(testCID).Stream(universe(u)).Loss * float64(r.truth[u].came)
			}
			// Three standard errors of a share p of n packets: sqrt(p(1-p)/n).
			n := packets * 5 / 6 // the share is of the last five seconds
			require.InDelta(t, tt.lose, lost/packets, 3*math.Sqrt(tt.lose*(1-tt.lose)/n)+0.004)
		})
	}
}

func requireAgree(t *testing.T, u int, st *protocol.StreamReport, d *streamTruth) {
	t.Helper()
	highest, first := 0, d.order[0]
	came := map[int]bool{}
	for _, n := range d.order {
		highest = max(highest, n)
		came[n] = true
	}
	missing := highest - first + 1
	for n := range came {
		if n >= first {
			missing--
		}
	}
	require.Equal(t, missing, int(st.Missing), "universe %d: numbers that never came", u)
	require.Equal(t, d.doubled, int(st.Twice), "universe %d: numbers that came twice", u)
	require.Equal(t, d.overtaken(), int(st.Late), "universe %d: packets that came late", u)
}
