package link

import (
	"fmt"
	"net"
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/testkit/lateness"
)

// freePort is a UDP port of an address that nothing listens on now.
func freePort(t testing.TB, host string) uint16 {
	t.Helper()
	conn, err := net.ListenUDP("udp", net.UDPAddrFromAddrPort(netip.AddrPortFrom(netip.MustParseAddr(host), 0)))
	require.NoError(t, err)
	defer conn.Close()
	return uint16(conn.LocalAddr().(*net.UDPAddr).Port)
}

// eventually asks a question every few milliseconds.
func eventually(t testing.TB, within time.Duration, what string, ok func() bool) {
	t.Helper()
	end := time.Now().Add(within)
	for !ok() {
		require.True(t, time.Now().Before(end), "%s: not within %v", what, within)
		time.Sleep(5 * time.Millisecond)
	}
}

// A host that answers port unreachable (RFC 792, type 3 code 3) is Refused
// within a second, steadily and not only every other packet; when a program
// listens again nothing more is lost and the state clears by itself.
func TestRefusedHoldsAndClears(t *testing.T) {
	t.Parallel()
	for _, host := range []string{"127.0.0.1", "::1"} {
		t.Run(host, func(t *testing.T) {
			t.Parallel()
			refusedHoldsAndClears(t, host)
		})
	}
}

func refusedHoldsAndClears(t *testing.T, host string) {
	port := freePort(t, host)
	late := lateness.Watch(t)
	s := open(t, config(Target{Universe: 1, Host: host, Port: port}))
	began := time.Now()
	s.Put([][]byte{{1}})
	eventually(t, patience, "refused", func() bool { return s.Status()[0].State == Refused })
	require.Less(t, time.Since(began), time.Second+late.Total())
	require.Contains(t, s.Status()[0].Sentence(), "no program listens at "+host)
	var n byte
	for end := time.Now().Add(500 * time.Millisecond); time.Now().Before(end); n++ {
		s.Put([][]byte{{n}})
		time.Sleep(7 * time.Millisecond)
		require.Equal(t, Refused, s.Status()[0].State, "no flapping")
	}
	require.NotZero(t, s.Status()[0].Refused)

	quiet(t, s)
	r := receive(t, netip.AddrPortFrom(netip.MustParseAddr(host), port).String())
	before := s.Status()[0].Packets
	s.Put([][]byte{{200}}) // its write returns the refusal of the one before
	first := r.next(t)
	require.Equal(t, byte(before), first.seq(), "nothing is lost")
	if first.b[octetSlots] == n-1 {
		first = r.next(t) // that was a keep-alive, when the machine is busy
		require.Equal(t, byte(before)+1, first.seq())
	}
	require.Equal(t, byte(200), first.b[octetSlots], "the write that returned the refusal was done again")
	seq := first.seq()
	for range 4 {
		p := r.next(t)
		require.Equal(t, seq+1, p.seq(), "nothing is lost")
		seq = p.seq()
	}
	began = time.Now()
	eventually(t, patience, "clears", func() bool { return s.Status()[0].State == Sending })
	require.Less(t, time.Since(began), refusedHold+1500*time.Millisecond+late.Total())
	require.Len(t, s.Events(), 2, "%v", s.Events())
}

// Several hosts at once, one bulb each: each has its own state, and sixteen
// universes in one call lose nothing to the refusals of the neighbour.
func TestEachHostHasItsOwnState(t *testing.T) {
	t.Parallel()
	r := receive(t, "127.0.0.2:0")
	closed := freePort(t, "127.0.0.3")
	var targets []Target
	for u := 1; u <= 16; u++ {
		targets = append(targets, universeAt(u, "127.0.0.3", closed), universeAt(u, "127.0.0.2", r.port()))
	}
	s := open(t, config(targets...))
	slots := make([][]byte, len(targets))
	got := map[int][]byte{}
	for n := range 20 {
		for i := range slots {
			slots[i] = []byte{byte(n)}
		}
		s.Put(slots)
		for came := map[int]bool{}; len(came) < 16; { // repeats may come before it
			p := r.next(t)
			got[p.universe()] = append(got[p.universe()], p.seq())
			if p.b[octetSlots] == byte(n) {
				came[p.universe()] = true
			}
		}
	}
	require.Len(t, got, 16)
	for u, list := range got {
		for i := range list {
			require.Equal(t, byte(i), list[i], "universe %d counts up", u)
		}
	}
	for i, st := range s.Status() {
		want := []State{Refused, Sending}[i%2]
		require.Equal(t, want, st.State, "%s", st.Sentence())
		require.GreaterOrEqual(t, st.Packets, uint64(19), "%s: also a refused host gets every packet", st.Target)
	}
}

func universeAt(u int, host string, port uint16) Target {
	return Target{Universe: universe(u), Host: host, Port: port}
}

// A refusal hides in a batch: the call stops short and says nothing. The
// packets behind it still go out.
func TestRefusalInsideABatch(t *testing.T) {
	t.Parallel()
	port := freePort(t, "127.0.0.1")
	var targets []Target
	slots := make([][]byte, 40)
	for u := range slots {
		targets = append(targets, universeAt(u+1, "127.0.0.1", port))
		slots[u] = []byte{1}
	}
	s := open(t, config(targets...))
	s.Put(slots)
	eventually(t, patience, "all were sent", func() bool {
		for _, st := range s.Status() {
			if st.Packets < 3 {
				return false
			}
		}
		return true
	})
	for _, st := range s.Status() {
		require.Equal(t, Refused, st.State)
	}
	require.Contains(t, fmt.Sprint(s.Events()), "no program listens at 127.0.0.1")
}
