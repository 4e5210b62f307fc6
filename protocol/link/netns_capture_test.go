//go:build linux

package link

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/testkit/wirecheck"
)

// capture records what passes an interface of a host until stop is called.
func (n *lan) capture(i int, iface string) (stop func() []wirecheck.Packet, path string) {
	n.t.Helper()
	dumpcap := needTool(n.t, "dumpcap", "wire_test.go checks what arrives by unicast")
	path = n.t.TempDir() + "/wire.pcap"
	cmd := exec.Command("ip", "netns", "exec", n.names[i+1], dumpcap, "-q", "-P", "-i", iface, "-f", "udp dst port 5568", "-w", path)
	var out bytes.Buffer
	cmd.Stderr = &out
	require.NoError(n.t, cmd.Start())
	time.Sleep(1500 * time.Millisecond)
	ended := false
	end := func() {
		if !ended {
			ended = true
			cmd.Process.Signal(os.Interrupt)
			cmd.Wait()
		}
	}
	n.t.Cleanup(end)
	return func() []wirecheck.Packet {
		n.t.Helper()
		end()
		file, err := os.Open(path)
		require.NoError(n.t, err, out.String())
		defer file.Close()
		list, err := wirecheck.ReadPcap(file)
		require.NoError(n.t, err)
		return list
	}, path
}

// tolerance is what wirecheck allows by itself, and what the machine was late.
func tolerance(n *lan) time.Duration { return 10*time.Millisecond + n.late.Worst() }

// Captured on the wire of the test network by dumpcap: the groups, the
// discovery every 10 s, the synchronization to its own group, and every other
// rule for a source, with the stamps of the capture.
func TestCapturedMulticastKeepsTheRules(t *testing.T) {
	t.Parallel()
	long(t)
	n := newLAN(t, 2)
	stop, path := n.capture(0, "quay0")
	p := sending(true, group(1), group(300), group(63999))
	p.Config.Sync = 7962
	_, leave := n.start(0, "send", p)
	time.Sleep(21 * time.Second)
	leave()
	time.Sleep(500 * time.Millisecond) // dumpcap writes now and then
	list := stop()
	require.Greater(t, len(list), 1500)
	for _, f := range wirecheck.Check(list, wirecheck.Want{Discovery: true, Black: true, Tolerance: tolerance(n)}) {
		t.Error(f)
	}
	groups := map[string]int{}
	for _, p := range list {
		groups[p.To.Addr().String()]++
	}
	// 9.3.1: 239.255.high.low; 7962 = 31*256+26, 63999 = 249*256+255, 64214 = 250*256+214.
	for _, g := range []string{"239.255.0.1", "239.255.1.44", "239.255.249.255", "239.255.31.26", "239.255.250.214"} {
		require.NotZero(t, groups[g], g)
	}
	require.Len(t, groups, 5)
	require.GreaterOrEqual(t, groups["239.255.250.214"], 2)

	// The IP layer: time to live 1 (ip(7)) keeps it on this network.
	out, err := exec.Command(needTool(t, "tshark", ""), "-r", path, "-T", "fields", "-e", "ip.ttl", "-e", "eth.dst").Output()
	require.NoError(t, err)
	seen := strings.Fields(string(out))
	slices.Sort(seen)
	// RFC 1112 6.4: the low 23 bits of the group in the Ethernet address.
	require.Equal(t, "[01:00:5e:7f:00:01 01:00:5e:7f:01:2c 01:00:5e:7f:1f:1a 01:00:5e:7f:f9:ff 01:00:5e:7f:fa:d6 1]",
		fmt.Sprint(slices.Compact(seen)))
}

// With hosts on this machine alone, discovery stays on the loopback interface:
// nothing leaves by any other.
func TestLoopbackSendsNothingOutside(t *testing.T) {
	long(t)
	t.Parallel()
	n := newLAN(t, 2)
	n.on(0, "ip route add default via 10.77.0.2") // multicast would go this way
	outside, _ := n.capture(0, "quay0")
	inside, _ := n.capture(0, "lo")
	l, _ := n.start(0, "listen", part{Listen: ListenConfig{Unicast: true}})
	_, leave := n.start(0, "send", sending(true, Target{Universe: 1, Host: "127.0.0.1"}))
	l.until(3*time.Second, "data and discovery arrive", func(v seen) bool {
		return v.Streams["bench/1"].Packets >= 3 && fmt.Sprint(v.Listed["bench"]) == "[1]"
	})
	time.Sleep(1500 * time.Millisecond)
	leave()
	time.Sleep(500 * time.Millisecond) // dumpcap writes now and then
	require.Empty(t, outside())
	in := inside()
	for _, f := range wirecheck.Check(in, wirecheck.Want{Black: true, Tolerance: tolerance(n)}) {
		t.Error(f)
	}
	require.True(t, slices.ContainsFunc(in, func(p wirecheck.Packet) bool { return p.To.String() == "239.255.250.214:5568" }),
		"discovery is on the loopback interface")
}
