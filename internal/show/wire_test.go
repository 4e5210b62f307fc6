package show_test

import (
	"context"
	"encoding/binary"
	"net"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
)

// Octets of a data packet by table 4-1 of ANSI E1.31-2018, on purpose not by
// package protocol: one misreading must not pass at both ends.
const (
	octetPriority = 108
	octetOptions  = 112
	octetUniverse = 113
	octetCount    = 123
	octetStart    = 125
	octetSlot1    = 126
	terminated    = 0x40
)

// listener receives the datagrams of a loopback port.
type listener struct {
	conn *net.UDPConn
	got  chan []byte
}

func listen(t testing.TB) *listener {
	conn, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	e := &listener{conn, make(chan []byte, 10_000)}
	done := make(chan struct{})
	go func() {
		defer close(done)
		var b [1500]byte
		for {
			n, err := conn.Read(b[:])
			if err != nil {
				return
			}
			e.got <- slices.Clone(b[:n])
		}
	}()
	t.Cleanup(func() { conn.Close(); <-done })
	return e
}

// wireShow is a show on a real sender.
type wireShow struct {
	*show.Show
	stop context.CancelFunc
	done chan error
}

func wire(t testing.TB, p *prop.Prop, e *listener) *wireShow {
	p.Address.Priority = 100
	p.Address.Host, p.Address.Port = "127.0.0.1", uint16(e.conn.LocalAddr().(*net.UDPAddr).Port)
	sender, err := show.Open(p, link.Config{CID: protocol.CID{1}, Source: "bench", Unannounced: true})
	require.NoError(t, err)
	s, err := show.New(show.Config{Prop: p, Out: sender})
	require.NoError(t, err)
	w := &wireShow{Show: s, done: make(chan error, 1)}
	var ctx context.Context
	ctx, w.stop = context.WithCancel(t.Context())
	go func() { w.done <- s.Run(ctx) }()
	t.Cleanup(w.stop)
	return w
}

// until waits for a data packet of the universe for which want holds.
func (e *listener) until(t testing.TB, universe int, what string, want func(b []byte) bool) []byte {
	late := time.After(10 * time.Second)
	for {
		select {
		case b := <-e.got:
			if int(binary.BigEndian.Uint16(b[octetUniverse:])) == universe && want(b) {
				return b
			}
		case <-late:
			t.Fatalf("universe %d: no packet with %s", universe, what)
		}
	}
}

func TestOnTheWire(t *testing.T) {
	e := listen(t)
	p := strip(200) // 170 pixels of three slots in the first universe, 30 in the next
	p.Address.Universe = 7
	w := wire(t, p, e)

	first := e.until(t, 7, "slots", func(b []byte) bool { return len(b) > octetSlot1 })
	assert.Equal(t, make([]byte, 510), first[octetSlot1:], "begins dark")
	assert.EqualValues(t, 100, first[octetPriority])
	assert.EqualValues(t, 511, binary.BigEndian.Uint16(first[octetCount:]), "510 slots and the START code")
	assert.Zero(t, first[octetStart])

	// Pixel 172 from 1 is the second of universe 8: slots 4 to 6, green first.
	// 20 % of 255 is 51.
	w.Set(show.Want{Pattern: "single", Step: 171, Level: patterns.StartLevel, Settings: patterns.Settings{Colour: patterns.Colour{R: 255}}})
	b := e.until(t, 8, "a lit slot", func(b []byte) bool { return slices.Max(b[octetSlot1:]) > 0 })
	want := make([]byte, 90)
	want[4] = 51 // slot 5: red of the second pixel in wire order GRB
	assert.Equal(t, want, b[octetSlot1:])

	w.stop()
	require.NoError(t, <-w.done)
	rest := e.ends(t, 2)
	endsDark(t, 7, true, rest) // it was dark all along, so black need not be said again
	endsDark(t, 8, false, rest)
}

// A Want with Ended ends the stream as the standard has it, stays silent while
// it holds, and a Want without it begins the stream again.
func TestEndedOnTheWire(t *testing.T) {
	e := listen(t)
	p := strip(4)
	p.Address.Universe = 7
	w := wire(t, p, e)
	lit := show.Want{Pattern: "single", Level: 1, Settings: patterns.Settings{Colour: patterns.Colour{R: 255}}}
	w.Set(lit)
	e.until(t, 7, "light", func(b []byte) bool { return slices.Max(b[octetSlot1:]) > 0 })
	w.Set(show.Want{Ended: true, Serial: 1})
	e.until(t, 7, "the end", func(b []byte) bool { return b[octetOptions]&terminated != 0 })
	for range 2 { // three in all
		require.NotZero(t, e.next(t)[octetOptions]&terminated)
	}
	w.Set(show.Want{Ended: true, Serial: 2}) // still ended
	time.Sleep(1100 * time.Millisecond)      // past the keep-alive of 6.6.2
	assert.Empty(t, e.rest())
	w.Set(lit)
	b := e.until(t, 7, "light", func(b []byte) bool { return slices.Max(b[octetSlot1:]) > 0 })
	assert.Zero(t, b[octetOptions]&terminated)
	w.stop()
	require.NoError(t, <-w.done)
	endsDark(t, 7, false, e.ends(t, 1))
}

// next waits for one packet.
func (e *listener) next(t testing.TB) []byte {
	t.Helper()
	select {
	case b := <-e.got:
		return b
	case <-time.After(10 * time.Second):
		t.Fatal("no packet")
		return nil
	}
}

// ends collects packets up to the last that ends the given number of universes, three
// each (6.2.6), and any that follow.
func (e *listener) ends(t testing.TB, universes int) (list [][]byte) {
	t.Helper()
	for more := 3 * universes; more > 0; {
		b := e.next(t)
		list = append(list, b)
		if b[octetOptions]&terminated != 0 {
			more--
		}
	}
	return append(list, e.rest()...)
}

// rest collects packets until none arrives for 50 ms.
func (e *listener) rest() (list [][]byte) {
	for {
		select {
		case b := <-e.got:
			list = append(list, b)
		case <-time.After(50 * time.Millisecond):
			return list
		}
	}
}

// endsDark checks that a universe ends with black, unless it is black already, and
// three packets with Stream_Terminated (6.2.6).
func endsDark(t *testing.T, universe int, black bool, packets [][]byte) {
	t.Helper()
	ends := 0
	for _, b := range packets {
		if int(binary.BigEndian.Uint16(b[octetUniverse:])) != universe {
			continue
		}
		if b[octetOptions]&terminated != 0 {
			ends++
			continue
		}
		assert.Zero(t, ends, "nothing after the end")
		black = slices.Max(b[octetSlot1:]) == 0
	}
	assert.True(t, black, "universe %d ends dark", universe)
	assert.Equal(t, 3, ends, "universe %d", universe)
}

// BenchmarkSetToWire times Set to the datagram at the receiver, after a pause, and for
// comparison a bare write to the same receiver in the same run.
func BenchmarkSetToWire(b *testing.B) {
	e := listen(b)
	w := wire(b, strip(144), e)
	bare, err := net.DialUDP("udp4", nil, e.conn.LocalAddr().(*net.UDPAddr))
	require.NoError(b, err)
	defer bare.Close()
	<-e.got
	took := func(do func()) time.Duration {
		time.Sleep(100 * time.Millisecond) // past the repeats of the last change (6.6.2)
		for len(e.got) > 0 {
			<-e.got
		}
		at := time.Now()
		do()
		<-e.got
		return time.Since(at)
	}
	var ours, plain []time.Duration
	for i := range 200 {
		ours = append(ours, took(func() { w.Set(show.Want{Pattern: "single", Step: i % 144, Level: 0.03}) }))
		plain = append(plain, took(func() { bare.Write(make([]byte, 558)) }))
	}
	slices.Sort(ours)
	slices.Sort(plain)
	micro := func(list []time.Duration, share int) float64 {
		return float64(list[len(list)*share/100].Microseconds())
	}
	b.ReportMetric(0, "ns/op") // the pauses say nothing
	b.ReportMetric(micro(ours, 50), "p50-µs")
	b.ReportMetric(micro(ours, 99), "p99-µs")
	b.ReportMetric(micro(plain, 50), "bare-p50-µs")
	b.ReportMetric(micro(plain, 99), "bare-p99-µs")
	w.stop()
	<-w.done
}
