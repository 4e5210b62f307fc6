//go:build linux

package link

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/testkit/lateness"
)

// A lan is a test network: a switch and hosts on it, each in a network
// namespace of its own, so that nothing of it touches the real network. Host i
// has the interface "quay0" with 10.77.0.(i+1)/24 and fd77::(i+1)/64.
type lan struct {
	t     *testing.T
	late  *lateness.Meter
	names []string // the switch first
	temp  []string // the temporary folder of each host
}

var lanCount atomic.Int32

// needNamespaces skips where namespaces cannot be made, or fails where the
// outside tools are demanded.
func needNamespaces(t *testing.T) {
	t.Helper()
	why := ""
	if os.Geteuid() != 0 {
		why = "network namespaces need root"
	} else if _, err := exec.LookPath("ip"); err != nil {
		why = "the tool ip (iproute2) is not here"
	} else {
		probe := fmt.Sprintf("rop%d-%d", os.Getpid(), lanCount.Add(1))
		if out, err := exec.Command("ip", "netns", "add", probe).CombinedOutput(); err != nil {
			why = "ip netns add: " + string(out)
		} else {
			exec.Command("ip", "netns", "del", probe).Run()
		}
	}
	if why == "" {
		return
	}
	if os.Getenv("RINGOUT_TOOLS") == "1" {
		require.FailNow(t, why)
	}
	t.Skip(why)
}

func newLAN(t *testing.T, hosts int) *lan {
	t.Helper()
	needNamespaces(t)
	n := &lan{t: t, late: lateness.Watch(t)}
	id := fmt.Sprintf("ro%d-%d", os.Getpid(), lanCount.Add(1))
	t.Cleanup(func() {
		for _, name := range n.names {
			exec.Command("ip", "netns", "del", name).Run()
		}
	})
	n.add(id + "s")
	// A switch that looks into IGMP and asks who listens, as good ones do.
	n.sw("ip link add br0 type bridge mcast_snooping 1 mcast_querier 1 mcast_startup_query_interval 10 mcast_query_interval 500")
	n.sw("ip link set br0 up")
	n.sw("ip addr add 10.77.0.254/24 dev br0")
	for i := range hosts {
		n.add(fmt.Sprintf("%sh%d", id, i))
		n.temp = append(n.temp, t.TempDir())
		n.plug(i)
	}
	n.run("ip", "netns", "exec", n.names[0], "ip", "link", "show") // it is there
	return n
}

func (n *lan) add(name string) {
	n.run("ip", "netns", "add", name)
	n.names = append(n.names, name)
	n.run("ip", "-n", name, "link", "set", "lo", "up")
	exec.Command("ip", "netns", "exec", name, "sysctl", "-qw", "net.ipv6.conf.all.accept_dad=0", "net.ipv6.conf.default.accept_dad=0").Run()
}

// plug makes host i's interface.
func (n *lan) plug(i int) {
	n.run("ip", "link", "add", "quay0", "netns", n.names[i+1], "address", fmt.Sprintf("02:77:00:00:00:%02x", i+1), "type", "veth", "peer", "name", fmt.Sprintf("p%d", i), "netns", n.names[0])
	n.sw(fmt.Sprintf("ip link set p%d master br0", i))
	n.sw(fmt.Sprintf("ip link set p%d up", i))
	n.on(i, fmt.Sprintf("ip addr add 10.77.0.%d/24 dev quay0", i+1))
	n.on(i, fmt.Sprintf("ip addr add fd77::%d/64 dev quay0 nodad", i+1))
	n.on(i, "ip link set quay0 up")
}

func (n *lan) sw(command string) string        { return n.in(n.names[0], command) }
func (n *lan) on(i int, command string) string { return n.in(n.names[i+1], command) }

func (n *lan) in(name, command string) string {
	return n.run("ip", append([]string{"netns", "exec", name}, strings.Fields(command)...)...)
}

func (n *lan) run(name string, args ...string) string {
	n.t.Helper()
	out, err := exec.Command(name, args...).CombinedOutput()
	require.NoError(n.t, err, "%s %v: %s", name, args, out)
	return string(out)
}

// A player is a process of this test binary on one host.
type player struct {
	t    *testing.T
	late *lateness.Meter
	name string
	proc *os.Process
	mu   sync.Mutex
	last seen
	all  []seen
}

// start has host i play a part until the test ends; stop ends it sooner. It
// returns once the process has told something.
func (n *lan) start(i int, role string, p part) (pl *player, stop func()) {
	n.t.Helper()
	self, err := os.Executable()
	require.NoError(n.t, err)
	cmd := exec.Command("ip", "netns", "exec", n.names[i+1], self, "-test.run=^$")
	cmd.Env = append(os.Environ(), "RINGOUT_TEST_ROLE="+role, "TMPDIR="+n.temp[i])
	cmd.Stderr = os.Stderr
	in, err := cmd.StdinPipe()
	require.NoError(n.t, err)
	out, err := cmd.StdoutPipe()
	require.NoError(n.t, err)
	require.NoError(n.t, cmd.Start())
	line, err := json.Marshal(p)
	require.NoError(n.t, err)
	io.WriteString(in, string(line)+"\n")
	pl = &player{t: n.t, late: n.late, proc: cmd.Process, name: fmt.Sprintf("host %d (%s)", i, role)}
	read := make(chan struct{})
	go func() {
		defer close(read)
		pl.read(out)
	}()
	var once sync.Once
	stop = func() {
		once.Do(func() {
			in.Close()
			<-read
			cmd.Wait()
		})
	}
	n.t.Cleanup(stop)
	pl.until(patience, "it runs", func(v seen) bool { return !v.At.IsZero() }) // so that no limit has its start in it
	return pl, stop
}

func (p *player) read(out io.Reader) {
	lines := bufio.NewScanner(out)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		var v seen
		if json.Unmarshal(lines.Bytes(), &v) != nil {
			continue
		}
		p.mu.Lock()
		p.last = v
		p.all = append(p.all, v)
		p.mu.Unlock()
	}
}

func (p *player) now() seen {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.last
}

// until waits for what a player tells and says how long it took. What the
// machine is late by itself comes on top of the limit.
func (p *player) until(within time.Duration, what string, ok func(seen) bool) time.Duration {
	p.t.Helper()
	began, before := time.Now(), p.late.Total()
	for {
		v := p.now()
		if ok(v) {
			return time.Since(began)
		}
		if time.Since(began) > within+p.late.Total()-before {
			b, _ := json.MarshalIndent(v, "", " ")
			require.FailNow(p.t, fmt.Sprintf("%s: %s: not within %v", p.name, what, within), string(b))
		}
		time.Sleep(10 * time.Millisecond)
	}
}

// history is everything that a player told.
func (p *player) history() []seen {
	p.mu.Lock()
	defer p.mu.Unlock()
	return append([]seen(nil), p.all...)
}
