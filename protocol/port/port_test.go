package port

import (
	"errors"
	"net"
	"net/netip"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

var (
	at     = netip.MustParseAddrPort("127.0.0.1:5568")
	sender = netip.MustParseAddrPort("10.0.0.7:4711")
)

// read waits up to 5 s for each frame and returns the next copy.
func read(t *testing.T, c *Copies) (netip.AddrPort, string) {
	t.Helper()
	var buf [2048]byte
	for {
		c.UDP.SetReadDeadline(time.Now().Add(5 * time.Second))
		n, err := c.UDP.Read(buf[:])
		require.NoError(t, err)
		if from, octets, ok := c.Unwrap(buf[:n]); ok {
			return from, string(octets)
		}
	}
}

func TestSubscribersGetCopies(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	h := Open(at)
	require.NotNil(t, h)
	offers := Offers(5568)
	require.Len(t, offers, 1)
	require.True(t, h.IsOwn(offers[0]))
	require.Empty(t, Offers(5569))
	h.Pass(sender, []byte("no one listens"))
	one, err := Subscribe(offers[0])
	require.NoError(t, err)
	two, err := Subscribe(offers[0])
	require.NoError(t, err)
	for _, text := range []string{"first", "", "third"} {
		h.Pass(sender, []byte(text))
		for _, c := range []*Copies{one, two} {
			from, got := read(t, c)
			require.Equal(t, sender, from)
			require.Equal(t, text, got)
		}
	}
	two.Close()
	require.True(t, two.Ended())
	h.Close()
	for !one.Ended() {
		var buf [64]byte
		one.UDP.SetReadDeadline(time.Now().Add(5 * time.Second))
		n, err := one.UDP.Read(buf[:])
		one.Failed(err)
		one.Unwrap(buf[:n])
	}
	one.Close()
	require.Empty(t, Offers(5568), "the offer is withdrawn")
}

// A subscriber without the right token gets nothing.
func TestAStrangerGetsNoCopies(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	h := Open(at)
	defer h.Close()
	o := Offers(5568)[0]
	info, err := os.Stat(filepath.Dir(o.path))
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o700), info.Mode().Perm())
	o.Token = "0" + o.Token[1:] + "0"
	_, err = Subscribe(o)
	require.ErrorContains(t, err, "does not answer")
	require.Zero(t, h.n.Load())
}

// A hub that was killed leaves its offer file. Subscribe fails, and the file is removed
// after staleAfter.
func TestAnOfferThatNoLongerHolds(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	h := Open(at)
	o := Offers(5568)[0]
	h.Close()
	require.NoError(t, o.write())
	_, err := Subscribe(Offers(5568)[0])
	require.Error(t, err)
	old := time.Now().Add(-staleAfter - time.Second)
	require.NoError(t, os.Chtimes(o.path, old, old))
	require.Empty(t, Offers(5568))
	_, err = os.Stat(o.path)
	require.ErrorIs(t, err, os.ErrNotExist)
}

// A subscription ends by itself when its hub no longer answers.
func TestSubscriptionEndsWithItsHub(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	h := Open(at)
	c, err := Subscribe(Offers(5568)[0])
	require.NoError(t, err)
	h.mu.Lock()
	clear(h.subs) // as if killed: it sends no wordEnd
	h.mu.Unlock()
	h.Close()
	for !c.Ended() {
		var buf [64]byte
		_, err := c.UDP.Read(buf[:])
		c.Failed(err)
	}
	c.Close()
}

func TestNilHub(t *testing.T) {
	var h *Hub
	h.Pass(sender, []byte("x"))
	require.False(t, h.IsOwn(Offer{}))
	h.Close()
}

func FuzzUnwrap(f *testing.F) {
	f.Add([]byte{wordCopy})
	f.Add(append([]byte{wordCopy}, make([]byte, headLen)...))
	f.Fuzz(func(t *testing.T, frame []byte) {
		from, octets, ok := unwrap(frame)
		if ok && (len(octets) != len(frame)-headLen || !from.IsValid()) {
			t.Fatalf("%v %d", from, len(octets))
		}
	})
}

func TestHolder(t *testing.T) {
	udp, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	defer udp.Close()
	require.Empty(t, Holder(uint16(udp.LocalAddr().(*net.UDPAddr).Port)), "it is this program itself")
	require.False(t, isClosed(errors.New("other")))
}
