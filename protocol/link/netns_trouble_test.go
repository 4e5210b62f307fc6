//go:build linux

package link

import (
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/protocol"
)

const recovery = 2 * time.Second // from the cause going away to a packet at the receiver

// both listens to a group and to unicast, and sends both.
func both(t *testing.T, n *lan, p part) (s, l *player, stop func()) {
	hear := listening(1)
	hear.Listen.Unicast = true
	l, _ = n.start(1, "listen", hear)
	p.Config.Targets = []Target{group(1), {Universe: 2, Host: "10.77.0.2"}}
	s, stop = n.start(0, "send", p)
	l.until(4*time.Second, "both arrive", func(v seen) bool {
		return v.Streams["bench/1"].Packets > 3 && v.Streams["bench/2"].Packets > 3
	})
	return s, l, stop
}

// flows waits until packets of a stream arrive that were sent from now on.
func flows(l *player, within time.Duration, streams ...string) time.Duration {
	l.t.Helper()
	time.Sleep(60 * time.Millisecond) // what was under way has been told of
	before := l.now()
	return l.until(within, "packets arrive again", func(v seen) bool {
		for _, s := range streams {
			if v.Streams[s].Packets <= before.Streams[s].Packets {
				return false
			}
		}
		return true
	})
}

func requireGood(t *testing.T, s *player, within time.Duration) {
	t.Helper()
	s.until(within, "the sender says all is well", func(v seen) bool {
		for _, l := range v.Links {
			if l.State != Sending {
				return false
			}
		}
		return len(v.Links) > 0
	})
}

// The interface is switched off and on, and its cable is pulled and put back:
// the sender says so, and the stream comes back by itself, at the full rate as
// well as when only kept alive.
func TestLinkDownAndUp(t *testing.T) {
	t.Parallel()
	long(t)
	for name, change := range map[string]bool{"changing": true, "kept alive": false} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			n := newLAN(t, 2)
			wire, _ := n.capture(1, "quay0")
			s, l, stop := both(t, n, sending(change))
			cut := []struct{ down, up, words string }{
				{"ip link set quay0 down", "ip link set quay0 up", "interface quay0 is switched off"},
				{"", "", "interface quay0 has no link"},
			}
			for _, c := range cut {
				if c.down != "" {
					n.on(0, c.down)
				} else {
					n.sw("ip link set p0 down")
				}
				s.until(2*time.Second, c.words, func(v seen) bool {
					return anyContains([]string{v.Links[0].Sentence}, c.words) && !v.Links[1].State.OK()
				})
				time.Sleep(3 * time.Second)
				if c.up != "" {
					n.on(0, c.up)
				} else {
					n.sw("ip link set p0 up")
				}
				took := flows(l, recovery, "bench/1", "bench/2")
				t.Logf("%s: packets again after %v", c.words, took)
				requireGood(t, s, recovery)
			}
			require.True(t, anyContains(s.now().Events, "again"), "%q", s.now().Events)
			stop()
			l.until(time.Second, "the end is heard", func(v seen) bool {
				return v.Streams["bench/1"].State == protocol.Finished && v.Streams["bench/2"].State == protocol.Finished
			})
			time.Sleep(500 * time.Millisecond) // dumpcap writes now and then
			last := map[int]byte{}
			for _, p := range wire() {
				if p := (packet{b: p.Octets}); p.ended() {
					last[p.universe()] = p.seq()
				}
			}
			for i, link := range s.now().Links {
				require.Equal(t, byte(link.Packets-1), last[i+1], "universe %d: the numbers went on", i+1)
			}
		})
	}
}

// The receiver's own interface goes away, is made again with another index, and
// its groups are joined again.
func TestReceiverPluggedInAnew(t *testing.T) {
	t.Parallel()
	n := newLAN(t, 2)
	_, l, _ := both(t, n, sending(true))
	n.on(1, "ip link del quay0")
	time.Sleep(time.Second)
	n.plug(1)
	took := flows(l, recovery+time.Second, "bench/1", "bench/2") // a switch may take a moment to learn
	t.Logf("packets again after %v", took)
}

// The sender's interface is taken out and put in again, with another index:
// the group goes by name, the host by whatever way there is.
func TestSenderPluggedInAnew(t *testing.T) {
	t.Parallel()
	n := newLAN(t, 2)
	s, l, _ := both(t, n, sending(true))
	n.on(0, "ip link del quay0")
	s.until(2*time.Second, "it says so", func(v seen) bool {
		return v.Links[0].Sentence == `interface "quay0" does not exist: this machine has lo` && v.Links[1].State == Unreachable
	})
	n.plug(0)
	took := flows(l, recovery, "bench/1", "bench/2")
	t.Logf("packets again after %v", took)
	requireGood(t, s, recovery)
}

// This machine gets another address, as from another DHCP server.
func TestOwnAddressChanges(t *testing.T) {
	t.Parallel()
	n := newLAN(t, 2)
	s, l, _ := both(t, n, sending(true))
	n.on(0, "ip addr del 10.77.0.1/24 dev quay0")
	time.Sleep(700 * time.Millisecond)
	n.on(0, "ip addr add 10.77.0.51/24 dev quay0")
	took := flows(l, recovery, "bench/1", "bench/2")
	t.Logf("packets again after %v", took)
	l.until(recovery, "from the new address", func(v seen) bool { return v.Streams["bench/2"].From == "10.77.0.51" })
	requireGood(t, s, recovery)
	require.Equal(t, "10.77.0.51", s.now().Links[1].Local)
	require.True(t, anyContains(s.now().Events, "from 10.77.0.51 now"), "%q", s.now().Events)
}

// The default route vanishes and comes back.
func TestDefaultRouteVanishes(t *testing.T) {
	t.Parallel()
	n := newLAN(t, 2)
	n.on(1, "ip addr add 10.99.0.2/32 dev lo")
	n.on(0, "ip route add default via 10.77.0.2")
	l, _ := n.start(1, "listen", part{Listen: ListenConfig{Unicast: true}})
	s, stop := n.start(0, "send", sending(true, Target{Universe: 5, Host: "10.99.0.2"}))
	l.until(3*time.Second, "arrives", func(v seen) bool { return v.Streams["bench/5"].Packets > 3 })
	n.on(0, "ip route del default")
	s.until(time.Second, "unreachable", func(v seen) bool { return v.Links[0].State == Unreachable })
	require.Contains(t, s.now().Links[0].Sentence, "this machine has no way to 10.99.0.2 (network is unreachable)")
	time.Sleep(1500 * time.Millisecond)
	n.on(0, "ip route add default via 10.77.0.2")
	took := flows(l, recovery, "bench/5")
	t.Logf("packets again after %v", took)
	requireGood(t, s, recovery)

	// Leaving when there is no way to the host does not hang, and says so.
	n.on(0, "ip route del default")
	s.until(time.Second, "unreachable", func(v seen) bool { return v.Links[0].State == Unreachable })
	began, before := time.Now(), n.late.Total()
	stop()
	require.Less(t, time.Since(began), time.Second+n.late.Total()-before)
	require.Contains(t, s.now().Error, "black and the end of the stream did not reach universe 5 to 10.99.0.2")
}

// Refused, not there at all, and there but mute are told apart; so is a router
// that says no. Over a link the kernel answers at most once a second or so,
// however much is sent: the state holds all the same.
func TestHostsThatDoNotListen(t *testing.T) {
	t.Parallel()
	long(t)
	if !fast {
		t.Skip("only Linux's own way tells hosts apart that do not answer")
	}
	for name, change := range map[string]bool{"changing": true, "kept alive": false} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			hostsThatDoNotListen(t, change)
		})
	}
}

func hostsThatDoNotListen(t *testing.T, change bool) {
	n := newLAN(t, 4)
	n.on(2, "ip route add blackhole 10.77.0.1") // hears us, and answers nothing
	n.on(0, "ip route add 10.99.0.0/16 via 10.77.0.4")
	n.on(3, "sysctl -qw net.ipv4.ip_forward=1")
	n.on(3, "ip route add unreachable 10.99.0.0/16")
	s, _ := n.start(0, "send", sending(change,
		Target{Universe: 1, Host: "10.77.0.2"},  // refuses
		Target{Universe: 1, Host: "10.77.0.99"}, // is not there
		Target{Universe: 1, Host: "10.77.0.3"},  // mute
		Target{Universe: 1, Host: "10.99.0.1"},  // behind a router that knows no way
		Target{Universe: 1, Host: "fd77::2"},    // refuses over IPv6
	))
	s.until(time.Second, "refused", func(v seen) bool {
		return len(v.Links) == 5 && v.Links[0].State == Refused && v.Links[4].State == Refused
	})
	s.until(6*time.Second, "silent and behind a router", func(v seen) bool {
		return v.Links[1].State == Unreachable && v.Links[3].State == Unreachable
	})
	require.Equal(t, "the router at 10.77.0.4 finds no way to 10.99.0.1: check the address", s.now().Links[3].Sentence)
	at := len(s.history())
	time.Sleep(8 * time.Second)
	for _, v := range s.history()[at:] {
		require.Equal(t, "no program listens at 10.77.0.2: the host answered port unreachable on port 5568", v.Links[0].Sentence)
		require.Equal(t, "no answer from 10.77.0.99 at all: it is off, not on this network, or has another address", v.Links[1].Sentence)
		require.Equal(t, Sending, v.Links[2].State, "silence proves nothing")
		require.Equal(t, "no program listens at fd77::2: the host answered port unreachable on port 5568", v.Links[4].Sentence)
	}
	l, _ := n.start(1, "listen", part{Listen: ListenConfig{Unicast: true}})
	l.until(2*time.Second, "now a program listens", func(v seen) bool { return v.Streams["bench/1"].Packets > 0 })
	s.until(refusedHold+2*time.Second, "and the state clears", func(v seen) bool { return v.Links[0].State == Sending })
}

// The machine sleeps and wakes: here the process is stopped for four seconds.
// Its stream is lost to receivers (6.7.1) and then goes on with the next
// number, without a burst.
func TestSleepAndWake(t *testing.T) {
	t.Parallel()
	long(t)
	n := newLAN(t, 2)
	s, l, _ := both(t, n, sending(true))
	require.NoError(t, s.proc.Signal(syscall.SIGSTOP))
	l.until(5*time.Second, "lost", func(v seen) bool { return v.Streams["bench/2"].State == protocol.Lost })
	time.Sleep(time.Second)
	before := l.now().Streams["bench/2"]
	require.NoError(t, s.proc.Signal(syscall.SIGCONT))
	began := time.Now()
	took := l.until(recovery, "live again", func(v seen) bool { return v.Streams["bench/2"].Packets > before.Packets })
	time.Sleep(time.Second)
	t.Logf("packets again after %v", took)
	after := l.now().Streams["bench/2"]
	require.LessOrEqual(t, float64(after.Packets-before.Packets), 44*time.Since(began).Seconds()+2, "no burst")
	require.Zero(t, after.Missing+after.Jumps, "the numbers went on")
	require.True(t, anyContains(s.now().Events, "while nothing ran"), "%q", s.now().Events)
	requireGood(t, s, recovery)
}

// IPv6 by unicast, to a global and to a link-local address.
func TestIPv6Unicast(t *testing.T) {
	t.Parallel()
	n := newLAN(t, 2)
	n.on(1, "ip -6 addr add fe80::77/64 dev quay0 nodad")
	l, _ := n.start(1, "listen", part{Listen: ListenConfig{Unicast: true}})
	s, _ := n.start(0, "send", sending(true,
		Target{Universe: 1, Host: "fd77::2"},
		Target{Universe: 2, Host: "fe80::77%quay0"},
		Target{Universe: 3, Host: "fd77::2", Interface: "quay0"},
		Target{Universe: 4, Host: "10.77.0.2", Interface: "quay0"},
	))
	l.until(4*time.Second, "all arrive", func(v seen) bool { return len(v.Streams) == 4 && v.Streams["bench/4"].Packets > 5 })
	requireGood(t, s, refusedHold+time.Second)
}

// While the interface has no address nothing leaves from 0.0.0.0, neither data
// nor universe discovery; the address comes back, and so do the packets.
func TestNothingLeavesFromNoAddress(t *testing.T) {
	t.Parallel()
	n := newLAN(t, 2)
	stop, _ := n.capture(1, "quay0")
	s, l, _ := both(t, n, sending(true))
	n.on(0, "ip addr flush dev quay0 scope global")
	s.until(recovery, "it says so", func(v seen) bool { return anyContains([]string{v.Links[0].Sentence}, "has no IPv4 address") })
	time.Sleep(2 * time.Second)
	n.on(0, "ip addr add 10.77.0.1/24 dev quay0")
	n.on(0, "ip route replace default via 10.77.0.254")
	took := flows(l, recovery, "bench/1", "bench/2")
	t.Logf("packets again after %v", took)
	time.Sleep(500 * time.Millisecond) // dumpcap writes now and then
	list := stop()
	require.NotEmpty(t, list)
	for _, p := range list {
		require.Equal(t, "10.77.0.1", p.From.Addr().String())
	}
}
