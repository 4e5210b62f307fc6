package node_test

import (
	"context"
	"net"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/strip/node"
	"example.org/ringout/internal/testkit/lateness"
	"example.org/ringout/internal/testkit/striptest"
	"example.org/ringout/patterns"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

var (
	dark  = patterns.Colour{}
	red   = patterns.Colour{R: 255}
	green = patterns.Colour{G: 255}
	blue  = patterns.Colour{B: 255}
)

func TestNodeLightsTheWorkedPacket(t *testing.T) {
	n := striptest.Start(t, small(3))
	shows(t, n, dark, dark, dark)
	newPacketSender(t, n).send(octets(t, 255, 0, 0, 0, 255, 0))
	shows(t, n, red, green, dark)
	require.EqualValues(t, 1, n.History().Packets[1])
	require.False(t, n.History().Dark)
}

func TestNodeFaultIsHiddenInTheLight(t *testing.T) {
	n := striptest.Start(t, small(3), strip.Fault{Kind: strip.OpenJoint, Pixel: 1})
	newPacketSender(t, n).send(octets(t, 255, 0, 0, 0, 255, 0, 0, 0, 255))
	shows(t, n, red, dark, dark)
}

func TestNodeOnWrongUniverseListensThere(t *testing.T) {
	p := small(1)
	p.Address.Universe = 2
	n := striptest.Start(t, p, strip.Fault{Kind: strip.WrongAddress, N: -1})
	require.EqualValues(t, 2, n.Prop().Address.Universe)
	h := newPacketSender(t, n)
	h.send(with(octets(t, 0, 255, 0), octetUniverse+1, 2))
	h.send(octets(t, 255, 0, 0)) // universe 1
	shows(t, n, red)
	require.EqualValues(t, 1, n.History().Elsewhere)
}

func TestNodeAcrossUniverses(t *testing.T) {
	n := striptest.Start(t, small(171)) // the last one starts universe 2 (170 RGB pixels a universe, common practice)
	h := newPacketSender(t, n)
	h.send(octets(t, 0, 0, 255))
	h.send(with(octets(t, 255, 0, 0), octetUniverse+1, 2))
	l := striptest.Wait(t, n, "both universes", func(l strip.Look) bool { return l.Light.Lit() == 2 }).Light
	require.Equal(t, blue, l[0][0])
	require.Equal(t, red, l[0][170])
}

func TestNodeDropsWhatIsOutOfTurn(t *testing.T) {
	n := striptest.Start(t, small(1))
	h := newPacketSender(t, n)
	h.seq = 99
	h.send(octets(t, 255, 0, 0))
	shows(t, n, red)
	h.seq = 94 // then 95: five behind 100, inside the window of 20 (6.7.2)
	h.send(octets(t, 0, 255, 0))
	h.seq = 100
	h.send(octets(t, 0, 0, 255))
	shows(t, n, blue)
	require.EqualValues(t, 1, n.History().OutOfTurn)
}

func TestNodeHigherPriorityWinsUntilItEnds(t *testing.T) {
	n := striptest.Start(t, small(1))
	a, b := newPacketSender(t, n), newPacketSender(t, n)
	strong := with(with(octets(t, 0, 255, 0), octetCID, 0x99), octetPriority, 150)
	a.send(octets(t, 255, 0, 0))
	shows(t, n, red)
	b.send(strong)
	shows(t, n, green)
	a.send(octets(t, 0, 0, 255))
	b.send(with(strong, octetOptions, 0x40)) // Stream_Terminated
	shows(t, n, blue)
	require.EqualValues(t, 1, n.History().Terminated[1])
}

func TestNodeKeepsPreviewDark(t *testing.T) {
	n := striptest.Start(t, small(1))
	h := newPacketSender(t, n)
	h.send(with(octets(t, 255, 0, 0), octetOptions, 0x80))
	striptest.Wait(t, n, "a preview packet heard", func(strip.Look) bool { return n.History().Preview == 1 })
	require.Equal(t, dark, n.Look().Light[0][0])
}

func TestNodeWaitsForSynchronization(t *testing.T) {
	n := striptest.Start(t, small(1))
	h := newPacketSender(t, n)
	synced := with(octets(t, 255, 0, 0), octetSync+1, 9)
	h.send(synced) // acts at once until the first synchronization packet (6.2.4.1)
	shows(t, n, red)
	h.sync(1, 9)
	h.send(with(with(synced, octetSlots, 0), octetSlots+1, 255))
	striptest.Wait(t, n, "two data packets heard", func(strip.Look) bool { return n.History().Packets[1] == 2 })
	time.Sleep(20 * time.Millisecond)
	require.Equal(t, red, n.Look().Light[0][0], "held")
	h.sync(2, 9)
	shows(t, n, green)
	require.EqualValues(t, 2, n.History().Syncs)
}

func TestNodeHoldsItsLastLookOrGoesDark(t *testing.T) {
	for _, goDark := range []bool{false, true} {
		n := striptest.StartWith(t, small(1), node.Options{Dark: goDark})
		h := newPacketSender(t, n)
		h.send(octets(t, 255, 0, 0))
		shows(t, n, red)
		for range 3 {
			h.send(with(octets(t, 0, 255, 0), octetOptions, 0x40)) // the slots of a terminated packet are ignored
		}
		if goDark {
			striptest.WaitEnded(t, n)
			require.False(t, n.Look().Driven)
			continue
		}
		striptest.Wait(t, n, "the end", func(strip.Look) bool { return n.History().EndedAll(3) })
		shows(t, n, red)
	}
}

// Ended is false while another source drives, and after the same source has started
// again.
func TestNodeHasEndedWhenNobodyDrives(t *testing.T) {
	n := striptest.Start(t, small(1))
	a, b := newPacketSender(t, n), newPacketSender(t, n)
	other := with(octets(t, 0, 255, 0), octetCID, 0x99)
	end := func(h *packetSender, packet []byte) {
		for range 3 {
			h.send(with(packet, octetOptions, 0x40))
		}
	}
	ended := func(want bool, what string, terminated uint64) {
		t.Helper()
		striptest.Wait(t, n, what, func(strip.Look) bool { return n.History().Terminated[1] == terminated })
		striptest.Wait(t, n, what, func(l strip.Look) bool { return n.History().Ended() == want && l.Driven != want })
	}
	a.send(octets(t, 255, 0, 0))
	b.send(other)
	end(a, octets(t, 0, 0, 0))
	ended(false, "one of two ended", 3)
	end(b, other)
	ended(true, "both ended", 6)
	a.send(octets(t, 255, 0, 0))
	ended(false, "one is back", 6)
}

func TestNodeLosesASilentSource(t *testing.T) {
	late := lateness.Watch(t)
	n := striptest.StartWith(t, small(1), node.Options{Dark: true})
	newPacketSender(t, n).send(octets(t, 255, 0, 0))
	lit := striptest.Wait(t, n, "red", func(l strip.Look) bool { return l.Light[0][0] == red })
	gone := striptest.Wait(t, n, "darkness", func(l strip.Look) bool { return l.Light[0][0] == dark })
	silent := gone.At.Sub(lit.At)
	require.GreaterOrEqual(t, silent, 2400*time.Millisecond-late.Worst(), "6.7.1: 2.5 s")
	require.Less(t, silent, 3*time.Second+late.Total())
}

// Two nodes on one port show the same light, and the second binds the port when the
// first has ended.
func TestNodesShareAPort(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	first := striptest.Start(t, small(1))
	second := striptest.StartWith(t, small(1), node.Options{Addr: first.Addr().String()})
	require.Equal(t, first.Addr(), second.Addr())
	h := newPacketSender(t, first)
	h.send(octets(t, 255, 0, 0))
	shows(t, first, red)
	shows(t, second, red)
	require.EqualValues(t, 1, second.History().Packets[1])
	first.Close()
	for v := byte(1); ; v++ { // packets sent while no node has the port are lost
		h.seq = v
		if _, err := h.conn.Write(with(octets(t, 0, 255, 0), octetSequence, v)); err == nil && second.Look().Light[0][0] == green {
			break
		}
		time.Sleep(5 * time.Millisecond)
	}
	third := striptest.StartWith(t, small(1), node.Options{Addr: second.Addr().String()})
	h.seq++
	h.send(octets(t, 0, 0, 255))
	shows(t, second, blue)
	shows(t, third, blue)
}

func TestNodeUpdatesHoldTheNewest(t *testing.T) {
	n := striptest.Start(t, small(1))
	h := newPacketSender(t, n)
	for v := range byte(50) {
		h.send(octets(t, v, 0, 1))
	}
	shows(t, n, patterns.Colour{R: 49, B: 1})
	look := <-n.Updates()
	for look.Light[0][0].R != 49 { // the newest may still be on its way
		look = <-n.Updates()
	}
	require.True(t, look.Driven)
}

func TestNodeFlickers(t *testing.T) {
	n := striptest.Start(t, small(2), strip.Fault{Kind: strip.Flicker, Pixel: 1})
	h := newPacketSender(t, n)
	h.send(octets(t, 255, 0, 0, 255, 0, 0))
	shows(t, n, red, red)
	shows(t, n, red, dark)
	shows(t, n, red, red)
}

func TestNodeBearsRubbish(t *testing.T) {
	n := striptest.Start(t, small(1))
	h := newPacketSender(t, n)
	for _, b := range [][]byte{{1}, []byte(strings.Repeat("x", 1400)), octets(t, 1, 2, 3)[:100], {}} {
		_, err := h.conn.Write(b)
		require.NoError(t, err)
	}
	h.send(octets(t, 255, 0, 0))
	shows(t, n, red)
	require.EqualValues(t, 4, n.History().Malformed)
}

func TestNodeEndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	n, err := node.Start(ctx, small(1), node.Options{Addr: "127.0.0.1:0"})
	require.NoError(t, err)
	cancel()
	<-n.Done()
	n.Close() // twice does no harm
	for range n.Updates() {
	}
	again, err := node.Start(context.Background(), small(1), node.Options{Addr: n.Addr().String()})
	require.NoError(t, err, "the port is free again")
	again.Close()
}

func TestNodeRefusesInOneSentence(t *testing.T) {
	taken, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)}) // of another program
	require.NoError(t, err)
	defer taken.Close()
	rows := []struct {
		options node.Options
		says    string
	}{
		{node.Options{Addr: taken.LocalAddr().String()}, "is taken by another program: stop that one or choose another port"},
		{node.Options{Addr: "192.0.2.1:0"}, "is not an address of this machine"},
		{node.Options{Addr: "127.0.0.1"}, "write an address and a port"},
		{node.Options{Addr: "127.0.0.1:99999"}, "write an address and a port"},
		{node.Options{Addr: "0.0.0.0:0", Interface: "nosuch0"}, `no network interface "nosuch0"`},
		{node.Options{Addr: "127.0.0.1:0", Faults: []strip.Fault{{Kind: "burnt"}}}, `no fault "burnt"`},
	}
	for _, r := range rows {
		_, err := node.Start(context.Background(), small(1), r.options)
		require.Error(t, err)
		require.Contains(t, err.Error(), r.says)
		require.NotContains(t, err.Error(), "\n")
	}
}

// Only packets of START code 0 set a source's priority and options. Its other packets
// (here 0xCF, E1.11's text packet 0x17 and slot priorities 0xDD) neither light a
// preview nor raise its priority.
func TestNodeAlternateStartCodes(t *testing.T) {
	t.Run("preview stays preview", func(t *testing.T) {
		n := striptest.Start(t, small(1))
		h := newPacketSender(t, n)
		h.send(with(octets(t, 1, 2, 3), octetStart, 0xcf)) // no preview in its options
		h.send(with(octets(t, 255, 0, 0), octetOptions, 0x80))
		h.send(with(octets(t, 1, 2, 3), octetStart, 0x17))
		striptest.Wait(t, n, "a preview packet heard", func(strip.Look) bool { return n.History().Preview == 1 })
		h.send(with(octets(t, 1, 2, 3), octetStart, 0xcf))
		striptest.Wait(t, n, "all packets", func(strip.Look) bool { return n.History().Total() == 4 })
		require.Equal(t, dark, n.Look().Light[0][0])
	})
	t.Run("light stays light", func(t *testing.T) {
		n := striptest.Start(t, small(1))
		h := newPacketSender(t, n)
		h.send(octets(t, 255, 0, 0))
		shows(t, n, red)
		h.send(with(with(octets(t, 1, 2, 3), octetStart, 0xcf), octetOptions, 0x80)) // a preview of something else
		h.send(octets(t, 0, 0, 255))
		shows(t, n, blue)
	})
	t.Run("priority", func(t *testing.T) {
		n := striptest.Start(t, small(1))
		a, b := newPacketSender(t, n), newPacketSender(t, n)
		other := with(octets(t, 0, 255, 0), octetCID, 0x99)
		b.send(with(with(other, octetStart, 0x17), octetPriority, 200))
		b.send(with(other, octetPriority, 50))
		a.send(octets(t, 255, 0, 0)) // priority 100
		shows(t, n, red)
		b.send(with(with(other, octetStart, 0x17), octetPriority, 200))
		striptest.Wait(t, n, "all packets", func(strip.Look) bool { return n.History().Total() == 4 })
		require.Equal(t, red, n.Look().Light[0][0])
	})
	t.Run("slot priorities of a preview", func(t *testing.T) {
		n := striptest.Start(t, small(1))
		a, b := newPacketSender(t, n), newPacketSender(t, n)
		other := with(octets(t, 0, 255, 0), octetCID, 0x99)
		b.send(with(with(with(octets(t, 200, 200, 200), octetCID, 0x99), octetStart, 0xdd), octetOptions, 0x80))
		b.send(with(other, octetPriority, 50))
		a.send(octets(t, 255, 0, 0))
		shows(t, n, red)
		require.Equal(t, red, n.Look().Light[0][0], "slot priorities of a preview packet do not rule later")
	})
}

// Become replaces the prop by one run of it on the same controller, and back.
func TestNodeBecomesARun(t *testing.T) {
	p := prop.Porthole()
	n, err := node.Start(t.Context(), p, node.Options{Addr: "127.0.0.1:0"})
	require.NoError(t, err)
	defer n.Close()
	run := *p
	run.Runs, run.Parts, run.Feeds = p.Runs[1:2], nil, nil
	require.NoError(t, n.Become(&run, strip.Fault{Kind: strip.DeadPixel, Pixel: 3}))
	require.Eventually(t, func() bool { return len(n.Look().Light) == 1 }, 10*time.Second, 10*time.Millisecond)
	require.Len(t, n.Look().Light[0], 48)
	other := run
	other.Address.Universe = 9
	require.ErrorContains(t, n.Become(&other), "other universes")
	require.NoError(t, n.Become(p))
	require.Eventually(t, func() bool { return len(n.Look().Light) == 3 }, 10*time.Second, 10*time.Millisecond)
}
