//go:build linux

package link

import (
	"fmt"
	"net/netip"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/protocol"
)

func group(u int) Target { return Target{Universe: universe(u), Interface: "quay0"} }

func listening(us ...protocol.Universe) part {
	return part{Listen: ListenConfig{Universes: us, Interfaces: []string{"quay0"}}}
}

func sending(change bool, targets ...Target) part {
	p := part{Config: config(targets...), Change: change}
	p.Config.DiscoveryPort = 0 // 5568: no other program is on this network
	return p
}

// Multicast from one host to two others over a switch that forwards a group
// only to the ports that joined it: the right groups are joined, and universes
// arrive only where they were asked for.
func TestMulticastReachesWhoAsked(t *testing.T) {
	t.Parallel()
	n := newLAN(t, 3)
	one, _ := n.start(1, "listen", listening(1))
	two, _ := n.start(2, "listen", listening(2, 3))
	_, stop := n.start(0, "send", sending(true, group(1), group(2), group(3)))

	one.until(4*time.Second, "universe 1 arrives", func(v seen) bool { return v.Streams["bench/1"].Packets > 20 })
	two.until(4*time.Second, "universes 2 and 3 arrive", func(v seen) bool {
		return v.Streams["bench/2"].Packets > 20 && v.Streams["bench/3"].Packets > 20
	})
	one.until(4*time.Second, "universe discovery arrives", func(v seen) bool {
		return fmt.Sprint(v.Listed["bench"]) == "[1 2 3]"
	})
	require.Len(t, one.now().Streams, 1)
	require.Len(t, two.now().Streams, 2)
	require.True(t, one.now().Streams["bench/1"].Group)
	require.Equal(t, "quay0", one.now().Streams["bench/1"].Iface)

	// The kernel's own list of memberships, ANSI E1.31-2018 9.3.1: 239.255.high.low;
	// 64214 = 250*256 + 214 is universe discovery.
	groups := n.on(1, "ip -4 maddr show dev quay0")
	require.Contains(t, groups, "239.255.0.1")
	require.Contains(t, groups, "239.255.250.214")
	require.NotContains(t, groups, "239.255.0.2")
	groups = n.on(2, "ip -4 maddr show dev quay0")
	require.Contains(t, groups, "239.255.0.2")
	require.Contains(t, groups, "239.255.0.3")
	require.NotContains(t, groups, "239.255.0.1")

	stop()
	for _, l := range []*player{one, two} {
		l.until(time.Second, "the end is heard", func(v seen) bool {
			for _, st := range v.Streams {
				if st.State != protocol.Finished {
					return false
				}
			}
			return true
		})
	}
}

// More groups than one socket may join (20 on Linux, igmp_max_memberships) are
// spread over several.
func TestMulticastMoreGroupsThanASocketTakes(t *testing.T) {
	t.Parallel()
	for _, unicast := range []bool{false, true} {
		t.Run(fmt.Sprintf("unicast %v", unicast), func(t *testing.T) {
			t.Parallel()
			n := newLAN(t, 2)
			require.Equal(t, "20", strings.TrimSpace(n.on(1, "cat /proc/sys/net/ipv4/igmp_max_memberships")))
			var us []protocol.Universe
			var targets []Target
			for u := 1; u <= 45; u++ {
				us = append(us, universe(u))
				targets = append(targets, group(u))
			}
			p := listening(us...)
			p.Listen.Unicast = unicast
			l, _ := n.start(1, "listen", p)
			n.start(0, "send", sending(true, targets...))
			l.until(6*time.Second, "all 45 arrive", func(v seen) bool {
				return len(v.Streams) == 45 && v.Streams["bench/45"].Packets > 60
			})
			for name, st := range l.now().Streams {
				require.Zero(t, st.Twice, "%s: once, not once a socket", name)
			}
			require.Empty(t, l.now().Events)
		})
	}
}

// What universe discovery announces is joined without being asked for, and
// what no source announces is not.
func TestMulticastFollowsDiscovery(t *testing.T) {
	t.Parallel()
	n := newLAN(t, 2)
	l, _ := n.start(1, "listen", part{Listen: ListenConfig{Discover: true}})
	n.start(0, "send", sending(true, group(700), group(63999)))
	l.until(14*time.Second, "announced universes arrive", func(v seen) bool {
		return v.Streams["bench/700"].Packets > 10 && v.Streams["bench/63999"].Packets > 10
	})
	require.Contains(t, n.on(1, "ip -4 maddr show dev quay0"), "239.255.249.255") // 63999 = 249*256 + 255
}

// A rival on the universe we send shows in the words of the builder.
func TestWatchShowsARival(t *testing.T) {
	t.Parallel()
	n := newLAN(t, 3)
	p := sending(true, group(3))
	p.Watch = true
	ours, _ := n.start(0, "send", p)
	rival := sending(true, group(3))
	rival.Config.CID[0], rival.Config.Source, rival.Config.Priority = 9, "Pier PC", 150
	_, stop := n.start(2, "send", rival)
	ours.until(5*time.Second, "rival is told", func(v seen) bool {
		return anyContains(v.Says, "'Pier PC' at 10.77.0.3 also drives universe 3 at priority 150")
	})
	stop()
	ours.until(8*time.Second, "rival is gone", func(v seen) bool {
		return !anyContains(v.Says, "'Pier PC' at 10.77.0.3 also drives universe 3 at priority 150")
	})
}

// A program that has port 5568 for itself gets named in one sentence, whether
// unicast is wanted or groups alone; two that share it both hear everything.
func TestPortIsTakenOrShared(t *testing.T) {
	t.Parallel()
	n := newLAN(t, 2)
	exclusive, stop := n.start(1, "hog", part{})
	exclusive.until(2*time.Second, "there", func(v seen) bool { return anyContains(v.Says, "here") })
	for _, unicast := range []bool{false, true} {
		p := listening(1)
		p.Listen.Unicast = unicast
		l, _ := n.start(1, "listen", p)
		l.until(2*time.Second, "refused", func(v seen) bool {
			// comm is the name of this test binary, cut to 15 letters (proc(5)).
			return regexp.MustCompile(`^port 5568 is taken by link\.test \(process \d+\) on this machine: close that program, or listen on another port$`).MatchString(v.Error)
		})
	}
	stop()
	one, _ := n.start(1, "listen", listening(1))
	two, _ := n.start(1, "listen", listening(1))
	n.start(0, "send", sending(true, group(1)))
	for _, l := range []*player{one, two} {
		l.until(3*time.Second, "both hear it", func(v seen) bool { return v.Streams["bench/1"].Packets > 10 })
		require.Zero(t, l.now().Streams["bench/1"].Twice)
	}
}

// A simulated strip, a sender that watches and a listener share the port of one
// machine, in any order of start, by unicast to it and by multicast: each hears
// all, once. When the one that has the port ends, the others go on.
func TestOneMachineSharesThePort(t *testing.T) {
	t.Parallel()
	roles := map[string]part{
		"strip":  {},
		"listen": {Listen: ListenConfig{Bind: netip.MustParseAddr("127.0.0.1")}},
		"send":   sending(true, Target{Universe: 1, Host: "127.0.0.1"}, group(2)),
	}
	p := roles["send"]
	p.Watch = true
	roles["send"] = p
	for _, order := range [][]string{{"strip", "listen", "send"}, {"listen", "strip", "send"}, {"send", "listen", "strip"}} {
		t.Run(strings.Join(order, " "), func(t *testing.T) {
			t.Parallel()
			n := newLAN(t, 1)
			run, stop := map[string]*player{}, map[string]func(){}
			for _, role := range order {
				run[role], stop[role] = n.start(0, role, roles[role])
			}
			hears := func(role string, before uint64) uint64 {
				run[role].until(6*time.Second, "it hears universe 1", func(v seen) bool { return v.Streams["bench/1"].Packets > before+40 })
				require.Zero(t, run[role].now().Streams["bench/1"].Twice, "%s: once", role)
				return run[role].now().Streams["bench/1"].Packets
			}
			for _, role := range order {
				hears(role, 0)
			}
			first, second := order[0], order[1]
			if first == "send" {
				first, second = second, order[2]
			}
			before := run[second].now().Streams["bench/1"].Packets
			stop[first]()
			before = hears(second, before)
			hears("send", before)
		})
	}
}
