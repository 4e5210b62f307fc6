package cli

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/testkit/lateness"
)

// testNet is a test network: a switch and hosts, each in its own network
// namespace. Host i has the interface quay0 with 10.77.0.(i+1)/24.
type testNet struct {
	t     testing.TB
	names []string // the switch first
}

func newTestNet(t testing.TB, hosts int) *testNet {
	t.Helper()
	h := &testNet{t: t}
	id := fmt.Sprintf("rc%d", os.Getpid())
	h.needNamespaces(id + "p")
	t.Cleanup(func() {
		for _, n := range h.names {
			exec.Command("ip", "netns", "del", n).Run()
		}
	})
	h.add(id + "s")
	h.ip("-n " + id + "s link add br0 type bridge")
	h.ip("-n " + id + "s link set br0 up")
	for i := range hosts {
		n := fmt.Sprintf("%sh%d", id, i)
		h.add(n)
		h.ip(fmt.Sprintf("link add quay0 netns %s type veth peer name p%d netns %ss", n, i, id))
		h.ip(fmt.Sprintf("-n %ss link set p%d master br0 up", id, i))
		h.ip(fmt.Sprintf("-n %s addr add 10.77.0.%d/24 dev quay0", n, i+1))
		h.ip("-n " + n + " link set quay0 up")
	}
	return h
}

// needNamespaces skips the test if namespaces are not possible, or fails it if
// outside tools are required.
func (h *testNet) needNamespaces(probe string) {
	h.t.Helper()
	why := ""
	if os.Geteuid() != 0 {
		why = "network namespaces need root"
	} else if _, err := exec.LookPath("ip"); err != nil {
		why = "the tool ip (iproute2) is not here"
	} else if out, err := exec.Command("ip", "netns", "add", probe).CombinedOutput(); err != nil {
		why = "ip netns add: " + string(out)
	} else {
		exec.Command("ip", "netns", "del", probe).Run()
		return
	}
	if os.Getenv("RINGOUT_TOOLS") == "1" {
		require.FailNow(h.t, why)
	}
	h.t.Skip(why)
}

func (h *testNet) add(name string) {
	h.ip("netns add " + name)
	h.names = append(h.names, name)
	h.ip("-n " + name + " link set lo up")
}

func (h *testNet) ip(args string) {
	h.t.Helper()
	out, err := exec.Command("ip", strings.Fields(args)...).CombinedOutput()
	require.NoError(h.t, err, "ip %s: %s", args, out)
}

// on returns a command of the program on host i, with its own CID.
func (h *testNet) on(i int, args ...string) *exec.Cmd {
	h.t.Helper()
	c := exec.Command("ip", append([]string{"netns", "exec", h.names[i+1], program(h.t)}, args...)...)
	c.Env = append(os.Environ(), "RINGOUT_CONFIG="+h.t.TempDir())
	return c
}

// start runs the program on host i; stop asks it to end as a user would, and
// waits.
func (h *testNet) start(i int, out io.Writer, args ...string) (stop func()) {
	h.t.Helper()
	c := h.on(i, args...)
	c.Stdout, c.Stderr = out, os.Stderr
	if out == nil {
		c.Stderr = nil
	}
	require.NoError(h.t, c.Start())
	var once sync.Once
	stop = func() {
		once.Do(func() {
			c.Process.Signal(syscall.SIGTERM)
			c.Wait()
		})
	}
	h.t.Cleanup(stop)
	return stop
}

// multicastProp is a prop file that sends by multicast on quay0.
func multicastProp(t testing.TB) string {
	t.Helper()
	text := strings.Replace(prop.DemoFile("porthole"), `host     = "127.0.0.1"`, "host = \"multicast\"\ninterface = \"quay0\"", 1)
	require.Contains(t, text, "quay0")
	file := filepath.Join(t.TempDir(), "prop.toml")
	require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
	return file
}

// lines keeps the output of a program as whole lines of JSON.
type lines struct {
	mu   sync.Mutex
	text strings.Builder
}

func (l *lines) Write(b []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.Write(b)
}

func (l *lines) all() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.String()
}

func (l *lines) last(t testing.TB) (line heardLine) {
	l.mu.Lock()
	defer l.mu.Unlock()
	all := strings.Split(strings.TrimSpace(l.text.String()), "\n")
	if raw := all[len(all)-1]; raw != "" {
		require.NoError(t, json.Unmarshal([]byte(raw), &line))
	}
	return line
}

// Three hosts: the bench, a rival source of higher priority, and a listener. The
// bench warns on the Light and Traffic screens, the listener reports the source
// in effect, and both report when the rival stops.
func TestRivalOnARealNetwork(t *testing.T) {
	h := newTestNet(t, 3)
	file := multicastProp(t)
	term := startCommand(t, h.on(0, file))
	term.see("Fuse")
	term.press("\r")
	var heard lines
	h.start(2, &heard, "listen", "--universe", "1", "--json", "--every", "200ms")
	require.Eventually(t, func() bool { return wins(heard.last(t), "10.77.0.1") }, 30*time.Second, 50*time.Millisecond, "the bench is followed")

	began, late := time.Now(), lateness.Watch(t)
	stop := h.start(1, nil, "send", "even", "--to", "multicast", "--interface", "quay0", "--pixels", "144", "--priority", "150", "--steady")
	term.see("Stop 10.77.0.2 or send above 150: it lights your prop (universe 1)")
	assert.Less(t, time.Since(began), 4*time.Second+late.Total())
	require.Eventually(t, func() bool { return wins(heard.last(t), "10.77.0.2") && !wins(heard.last(t), "10.77.0.1") }, 30*time.Second, 50*time.Millisecond)
	toTraffic(term)
	term.see("What your prop shows")
	term.see("you send") // in the list beside it: they differ

	stop()
	require.Eventually(t, func() bool { return wins(heard.last(t), "10.77.0.1") }, 30*time.Second, 50*time.Millisecond, "and again when the rival has left")
	term.see("at 10.77.0.2 ended universe 1")
	term.press("q")
	require.NoError(t, term.left())
	require.Eventually(t, func() bool {
		for _, s := range heard.last(t).Streams {
			if s.State != "ended" {
				return false
			}
		}
		return true
	}, 5*time.Second, 50*time.Millisecond, "both ended their streams")
}

func wins(l heardLine, address string) bool {
	for _, s := range l.Streams {
		if s.Address == address && s.State == "live" {
			return s.Wins
		}
	}
	return false
}

// On a machine with nothing but a loopback interface in use, the bench joins
// groups there and nowhere else.
func TestWatchingALocalPropStaysOnTheMachine(t *testing.T) {
	h := newTestNet(t, 1)
	term := startCommand(t, h.on(0, "demo"))
	term.see("Fuse")
	term.press("\r")
	require.Eventually(t, func() bool { return strings.Contains(groupsOf(t, h.names[1], "lo"), "239.255.0.1") }, 30*time.Second, 50*time.Millisecond,
		"universe 1 is 239.255.0.1 (ANSI E1.31-2018 9.3.1)")
	assert.NotContains(t, groupsOf(t, h.names[1], "quay0"), "239.255.")
	term.press("q")
	require.NoError(t, term.left())
}

// The example of its help works: a strip with an interface receives multicast there.
func TestStripOnAnInterfaceHearsMulticast(t *testing.T) {
	h := newTestNet(t, 2)
	file := multicastProp(t)
	var looks lines
	h.start(1, &looks, "strip", file, "--interface", "quay0", "--json")
	require.Eventually(t, func() bool { return strings.Contains(groupsOf(t, h.names[2], "quay0"), "239.255.0.1") }, 30*time.Second, 20*time.Millisecond)
	h.start(0, nil, "send", "even", "--file", file)
	require.Eventually(t, func() bool { return strings.Contains(looks.all(), `"driven":true`) }, 30*time.Second, 20*time.Millisecond)
	code, _, errs := command(t, "", "strip", "--listen", "127.0.0.1:5568", "--interface", "lo")
	assert.Equal(t, 2, code)
	assert.Contains(t, errs, "--listen 127.0.0.1:5568 together with --interface hears no multicast: leave one out, or give 0.0.0.0 as the address")
}

func groupsOf(t testing.TB, ns, dev string) string {
	t.Helper()
	out, err := exec.Command("ip", "-n", ns, "-4", "maddr", "show", "dev", dev).CombinedOutput()
	require.NoError(t, err, string(out))
	return string(out)
}

// If the prop is not connected, good answers give no verdict: the host refuses (RFC
// 792), is not on the network, or is this machine, where only the bench itself
// receives what it sends.
func TestNoVerdictWithoutAProp(t *testing.T) {
	h := newTestNet(t, 2)
	for _, host := range []string{"10.77.0.2", "10.77.0.99", "127.0.0.1"} {
		t.Run(host, func(t *testing.T) {
			t.Parallel() // each waits for an answer that does not come; a host answers one of two only now and then
			for way, answers := range map[string]string{"--plain": strings.Repeat("1\n", 12), "--json": strings.Repeat("{\"answer\":1}\n", 12)} {
				file := filepath.Join(t.TempDir(), "porthole.toml")
				text := strings.Replace(prop.DemoFile("porthole"), `"127.0.0.1"`, `"`+host+`"`, 1)
				require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
				c := h.on(0, "check", file, way)
				c.Stdin = strings.NewReader(answers)
				var errs strings.Builder
				c.Stderr = &errs
				out, err := c.Output()
				assert.Error(t, err, way)
				assert.Regexp(t, "The prop is not there: |No packet reaches the prop: ", string(out), way)
				assert.NotContains(t, string(out), "Nothing is wrong", way)
				assert.Contains(t, errs.String(), "the prop is not there, so there is no finding", way)
				assert.NoFileExists(t, strings.TrimSuffix(file, ".toml")+".bench.jsonl")
			}
		})
	}
}
