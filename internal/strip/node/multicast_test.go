package node_test

import (
	"context"
	"fmt"
	"net"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/strip/node"
	"example.org/ringout/internal/testkit/striptest"
	"example.org/ringout/patterns"
)

// inside is the variable set for the copy of this test that runs in its own network
// namespace, so that no multicast leaves it.
const inside = "RINGOUT_NAMESPACE"

func TestMulticastInANamespace(t *testing.T) {
	if os.Getenv(inside) != "" {
		t.Skip("already inside")
	}
	needTools(t)
	name := fmt.Sprintf("ringout-strip-%d", os.Getpid())
	ip(t, "netns", "add", name)
	t.Cleanup(func() { ip(t, "netns", "delete", name) })
	for _, words := range []string{"link set lo up", "link add bench0 type veth peer name far0", "link set far0 up", "link set bench0 up",
		"address add 192.0.2.1/24 dev bench0", "link add other0 type veth peer name far1", "link set other0 up"} {
		ip(t, append([]string{"-n", name}, strings.Fields(words)...)...)
	}
	cmd := exec.Command("ip", "netns", "exec", name, os.Args[0], "-test.run=^TestInsideNamespace", "-test.v")
	cmd.Env = append(os.Environ(), inside+"="+name)
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, string(out))
	require.Contains(t, string(out), "PASS: TestInsideNamespaceManyUniverses")
	require.Contains(t, string(out), "PASS: TestInsideNamespaceGroups")
	require.Contains(t, string(out), "PASS: TestInsideNamespaceWrongInterface")
}

// needTools skips the test where a tool is missing, or fails it if RINGOUT_TOOLS is 1.
func needTools(t *testing.T) {
	t.Helper()
	ready := runtime.GOOS == "linux" && os.Getuid() == 0
	if ready {
		_, err := exec.LookPath("ip")
		ready = err == nil && exec.Command("ip", "netns", "list").Run() == nil
	}
	if !ready && os.Getenv("RINGOUT_TOOLS") == "1" {
		t.Fatal("needs Linux, root and the ip command of iproute2, to make a network namespace")
	}
	if !ready {
		t.Skip("needs Linux, root and the ip command of iproute2, to make a network namespace")
	}
}

// ip runs one ip command.
func ip(t *testing.T, args ...string) {
	t.Helper()
	out, err := exec.Command("ip", args...).CombinedOutput()
	require.NoError(t, err, "ip %s: %s", strings.Join(args, " "), out)
}

// onlyInside skips the test outside the namespace.
func onlyInside(t *testing.T) {
	t.Helper()
	if os.Getenv(inside) == "" {
		t.Skip("runs in the namespace that TestMulticastInANamespace makes")
	}
}

// groups are the joined groups of an interface, as the kernel lists them.
func groups(t *testing.T, iface string) string {
	t.Helper()
	out, err := exec.Command("ip", "maddress", "show", "dev", iface).Output()
	require.NoError(t, err)
	return string(out)
}

// shout sends a packet to a group through bench0.
func shout(t *testing.T, group string, b []byte) {
	t.Helper()
	c, err := net.Dial("udp4", group+":5568") // the only route out of the namespace is bench0
	require.NoError(t, err)
	defer c.Close()
	_, err = c.Write(b)
	require.NoError(t, err)
}

func TestInsideNamespaceGroups(t *testing.T) {
	onlyInside(t)
	ip(t, "route", "replace", "239.255.0.0/16", "dev", "bench0")
	p := small(171) // universes 1 and 2
	n := striptest.StartWith(t, p, node.Options{Addr: "0.0.0.0:5568", Interface: "bench0"})
	// Groups by hand from the standard's rule 239.255.high.low (9.3.1).
	require.Contains(t, groups(t, "bench0"), "239.255.0.1")
	require.Contains(t, groups(t, "bench0"), "239.255.0.2")
	require.NotContains(t, groups(t, "bench0"), "239.255.0.3")
	require.NotContains(t, groups(t, "other0"), "239.255", "joined on the named interface only")
	shout(t, "239.255.0.1", with(octets(t, 255, 0, 0), octetSequence, 1))
	shout(t, "239.255.0.2", with(with(octets(t, 0, 0, 255), octetUniverse+1, 2), octetSequence, 1))
	l := striptest.Wait(t, n, "both universes", func(l strip.Look) bool { return l.Light.Lit() == 2 }).Light
	require.Equal(t, red, l[0][0])
	require.Equal(t, blue, l[0][170])
	// Data that names a synchronization address makes the node join its group,
	// where the synchronization packets come (6.3.3).
	synced := with(with(octets(t, 0, 0, 255), octetSync+1, 9), octetSequence, 2)
	shout(t, "239.255.0.1", synced)
	shows1 := func(c patterns.Colour) func(strip.Look) bool {
		return func(l strip.Look) bool { return l.Light[0][0] == c }
	}
	striptest.Wait(t, n, "blue", shows1(blue))
	require.Contains(t, groups(t, "bench0"), "239.255.0.9")
	shout(t, "239.255.0.9", syncOctets(t, 1, 9))
	shout(t, "239.255.0.1", with(with(with(synced, octetSequence, 3), octetSlots, 255), octetSlots+2, 0))
	striptest.Wait(t, n, "four packets", func(strip.Look) bool { return n.History().Total() == 4 })
	require.Equal(t, blue, n.Look().Light[0][0], "held")
	shout(t, "239.255.0.9", syncOctets(t, 2, 9))
	striptest.Wait(t, n, "red", shows1(red))
	// A second node on the same port hears the groups too.
	again := striptest.StartWith(t, p, node.Options{Addr: "0.0.0.0:5568", Interface: "bench0"})
	shout(t, "239.255.0.1", with(octets(t, 0, 255, 0), octetSequence, 4))
	striptest.Wait(t, again, "green", func(l strip.Look) bool { return l.Light[0][0] == green })
	striptest.Wait(t, n, "green", func(l strip.Look) bool { return l.Light[0][0] == green })
}

func TestInsideNamespaceManyUniverses(t *testing.T) {
	onlyInside(t)
	ip(t, "route", "replace", "239.255.0.0/16", "dev", "bench0")
	p := small(170 * 45) // more groups than one socket of Linux holds (20)
	n := striptest.StartWith(t, p, node.Options{Addr: "0.0.0.0:5568", Interface: "bench0"})
	require.Contains(t, groups(t, "bench0"), "239.255.0.45")
	for u := 1; u <= 45; u++ {
		shout(t, fmt.Sprintf("239.255.0.%d", u), with(octets(t, 255, 0, 0), octetUniverse+1, byte(u)))
	}
	striptest.Wait(t, n, "all universes", func(l strip.Look) bool { return l.Light.Lit() == 45 })
	n.Close()
	require.Eventually(t, func() bool { return !strings.Contains(groups(t, "bench0"), "239.255.0.45") },
		5*time.Second, 20*time.Millisecond, "left when closed")
}

func TestInsideNamespaceWrongInterface(t *testing.T) {
	onlyInside(t)
	_, err := node.Start(context.Background(), &prop.Prop{Chip: prop.Chip{Order: "RGB"},
		Runs: []prop.Run{{Pixels: 1}}, Address: prop.Address{Universe: 1}},
		node.Options{Addr: "0.0.0.0:0", Interface: "bench1"})
	require.ErrorContains(t, err, `no network interface "bench1"; this machine has lo, far0, bench0, far1, other0`)
}
