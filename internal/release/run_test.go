//go:build linux

package main

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"net"
	"net/netip"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/testkit/wirecheck"
)

// A machine is another system whose programs this one can run.
type machine struct {
	platform string
	runner   []string // what runs a program of it
	tools    []string // that must be there
}

var machines = []machine{
	{platform: "linux/arm64", runner: []string{"qemu-aarch64-static"}},
	{platform: "linux/arm", runner: []string{"qemu-arm-static"}},
	{platform: "windows/amd64", runner: []string{"wine"}, tools: []string{"wineboot", "x86_64-w64-mingw32-gcc", "x86_64-w64-mingw32-objdump"}},
}

// role is the environment variable for the task of a test binary that is started in its
// own network.
const role = "RINGOUT_TEST_ROLE"

// The programs of other systems run here under Wine and qemu-user, in a network
// of their own, and do what this machine's program does.
func TestProgramsRun(t *testing.T) {
	if os.Getenv(role) == "alone" {
		inOwnNetwork(t)
		return
	}
	long(t)
	needed := []string{"unshare", "ip"}
	for _, m := range machines {
		needed = append(append(needed, m.runner...), m.tools...)
	}
	needTools(t, needed...)
	r, err := newRelease(context.Background(), t.TempDir(), "1.2.3")
	require.NoError(t, err)
	defer os.RemoveAll(r.work)
	dir := t.TempDir()
	require.NoError(t, r.build(context.Background(), platform{}, filepath.Join(dir, "here")))
	for _, m := range machines {
		ps, err := choose(m.platform)
		require.NoError(t, err)
		require.NoError(t, r.build(context.Background(), ps[0], filepath.Join(dir, filepath.FromSlash(m.platform))))
	}
	self, err := os.Executable()
	require.NoError(t, err)
	c := exec.Command("unshare", "-n", self, "-test.run=^TestProgramsRun$", "-test.v")
	c.Env = append(os.Environ(), role+"=alone", "RINGOUT_TEST_PROGRAMS="+dir)
	out, err := c.CombinedOutput()
	t.Logf("%s", out)
	require.NoError(t, err, "see the output above")
	for _, m := range machines {
		require.Contains(t, string(out), "--- PASS: TestProgramsRun/"+m.platform, "it was not run")
	}
}

// needTools skips a test whose tools are not there, or fails where they must be.
func needTools(t *testing.T, names ...string) {
	t.Helper()
	for _, name := range names {
		if _, err := exec.LookPath(name); err == nil {
			continue
		}
		require.NotEqual(t, "1", os.Getenv("RINGOUT_TOOLS"), "%s is not installed, and RINGOUT_TOOLS=1 asks for it", name)
		t.Skipf("%s is not installed", name)
	}
	if os.Getuid() != 0 {
		require.NotEqual(t, "1", os.Getenv("RINGOUT_TOOLS"), "a network of its own needs root, and RINGOUT_TOOLS=1 asks for it")
		t.Skip("a network of its own needs root")
	}
}

func inOwnNetwork(t *testing.T) {
	out, err := exec.Command("ip", "link", "set", "lo", "up").CombinedOutput()
	require.NoError(t, err, string(out))
	programs := os.Getenv("RINGOUT_TEST_PROGRAMS")
	here := system{program: []string{filepath.Join(programs, "here")}}
	for _, m := range machines {
		t.Run(m.platform, func(t *testing.T) {
			there := system{program: append(m.runner, filepath.Join(programs, filepath.FromSlash(m.platform)))}
			if m.runner[0] == "wine" {
				there.env = newWine(t)
			}
			here, there := here.in(t), there.in(t)
			t.Run("version", func(t *testing.T) {
				assert.Equal(t, "ringout 1.2.3", there.run(t, "", "--version"))
			})
			t.Run("plan", func(t *testing.T) {
				for _, s := range []system{here, there} {
					s.run(t, "", "new", "harbour", "--defaults")
				}
				assert.Equal(t, here.run(t, "", "plan", "harbour.toml"), there.run(t, "", "plan", "harbour.toml"))
				samePlan(t, here.run(t, "", "plan", "harbour.toml", "--json"), there.run(t, "", "plan", "harbour.toml", "--json"))
			})
			t.Run("send", func(t *testing.T) { sends(t, there) })
			t.Run("check", func(t *testing.T) { checks(t, here, there) })
			t.Run("record", func(t *testing.T) { locks(t, there) })
		})
	}
}

// samePlan requires two plans to agree to 12 digits: some processors fuse multiply and
// add, which rounds once less (Go specification, "Arithmetic operators").
func samePlan(t *testing.T, a, b string) {
	t.Helper()
	var x, y any
	require.NoError(t, json.Unmarshal([]byte(a), &x))
	require.NoError(t, json.Unmarshal([]byte(b), &y))
	assert.Equal(t, rounded(x), rounded(y))
}

// rounded has 12 digits of every number.
func rounded(v any) any {
	switch v := v.(type) {
	case float64:
		return strconv.FormatFloat(v, 'g', 12, 64)
	case []any:
		for i := range v {
			v[i] = rounded(v[i])
		}
	case map[string]any:
		for k := range v {
			v[k] = rounded(v[k])
		}
	}
	return v
}

// A system runs one program in a folder of its own.
type system struct {
	program []string
	env     []string
	dir     string
}

// in gives the system a folder for a test.
func (s system) in(t *testing.T) system {
	s.dir = t.TempDir()
	if s.env == nil {
		s.env = os.Environ()
	}
	s.env = append(s.env, "RINGOUT_CONFIG="+s.dir)
	return s
}

func (s system) command(args ...string) *exec.Cmd {
	c := exec.Command(s.program[0], append(s.program[1:], args...)...)
	c.Dir, c.Env = s.dir, s.env
	return c
}

// run runs a command to its end and gives what it printed, in this system's
// line ends.
func (s system) run(t *testing.T, in string, args ...string) string {
	t.Helper()
	var errs strings.Builder
	c := s.command(args...)
	c.Stdin, c.Stderr = strings.NewReader(in), &errs
	out, err := c.Output()
	require.NoError(t, err, "%s: %s%s", strings.Join(args, " "), out, errs.String())
	return strings.TrimSpace(strings.ReplaceAll(string(out), "\r\n", "\n"))
}

// sends stops a sender with an interrupt and reads by octets what was on the
// wire: the light, then black, then three packets that end the stream.
func sends(t *testing.T, s system) {
	host := netip.MustParseAddrPort("127.0.0.9:5568")
	conn, err := net.ListenUDP("udp4", net.UDPAddrFromAddrPort(host))
	require.NoError(t, err)
	defer conn.Close()
	c := s.command("send", "even", "--to", "127.0.0.9", "--universe", "7", "--pixels", "50", "--level", "20", "--for", "2m")
	var errs strings.Builder
	c.Stderr = &errs
	require.NoError(t, c.Start())
	packets := heard(t, conn, func(b []byte) bool { return b[112]&0x40 == 0 }, 4) // 6.2.6: bit 6 of Options ends a stream
	require.NoError(t, c.Process.Signal(syscall.SIGINT))
	ends := heard(t, conn, func(b []byte) bool { return b[112]&0x40 != 0 }, 3)
	require.NoError(t, c.Wait(), errs.String())
	packets = append(packets, ends...)
	for _, fault := range wirecheck.Check(packets, wirecheck.Want{Tolerance: time.Second, Rush: true, Black: true}) {
		t.Error(fault)
	}
	lit := packets[0].Octets
	assert.Equal(t, []byte{0, 7}, lit[113:115], "universe (table 6-1)")
	assert.Len(t, lit, 126+3*50)
	assert.Contains(t, lit[126:], byte(51), "20 % of 255")
}

// heard reads data packets until n of a kind have come, and gives all.
func heard(t *testing.T, conn *net.UDPConn, is func([]byte) bool, n int) []wirecheck.Packet {
	t.Helper()
	var all []wirecheck.Packet
	require.NoError(t, conn.SetReadDeadline(time.Now().Add(time.Minute)))
	for n > 0 {
		b := make([]byte, 1500)
		k, from, err := conn.ReadFromUDPAddrPort(b)
		require.NoError(t, err, "%d packets are missing", n)
		if b = b[:k]; k > 126 && b[21] == 4 { // table 5-1: vector of a data packet
			all = append(all, wirecheck.Packet{At: time.Now(), From: from, To: conn.LocalAddr().(*net.UDPAddr).AddrPort(), Octets: b})
			if is(b) {
				n--
			}
		}
	}
	return all
}

// checks makes a check-out in lines against that system's own simulated strip,
// here and there with the same answers: the dialog must be the same.
func checks(t *testing.T, here, there system) {
	for _, s := range []system{here, there} {
		s.run(t, "", "new", "quay", "--defaults")
		name := filepath.Join(s.dir, "quay.toml")
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		moved := strings.Replace(string(text), `"127.0.0.1"`, `"127.0.0.8"`, 1)
		require.NotEqual(t, string(text), moved)
		require.NoError(t, os.WriteFile(name, []byte(moved), 0o644))
	}
	strip := there.command("strip", "quay.toml", "--json", "--listen", "127.0.0.8:5568")
	lines, err := strip.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, strip.Start())
	seen := bufio.NewScanner(lines)
	require.True(t, seen.Scan(), "the strip says where it listens")
	lit := make(chan int)
	go func() {
		n := 0
		for seen.Scan() {
			var look struct {
				Lit int `json:"lit"`
			}
			if json.Unmarshal(seen.Bytes(), &look) == nil && look.Lit > 0 {
				n++
			}
		}
		lit <- n
	}()
	answers := strings.Repeat("1\n", 40)
	// An emulated program may have to say that it works, and be so slow that its light need not wait.
	untimed := strings.NewReplacer("Working out the next question.\n", "", "The light waits, or the prop would flash.\n", "")
	a := untimed.Replace(here.run(t, answers, "check", "quay.toml", "--plain"))
	b := untimed.Replace(there.run(t, answers, "check", "quay.toml", "--plain"))
	assert.Equal(t, a, b)
	assert.Contains(t, a, "Question 2.")
	require.NoError(t, strip.Process.Signal(syscall.SIGINT))
	assert.Positive(t, <-lit, "the strip saw no light")
	require.NoError(t, strip.Wait())
}

// locks lets several programs write into one record at once: no entry is lost.
func locks(t *testing.T, s system) {
	const programs, notes = 4, 3
	s.run(t, "", "new", "mole", "--defaults")
	var all sync.WaitGroup
	for p := range programs {
		all.Go(func() {
			for n := range notes {
				out, err := s.command("record", "mole.toml", "--note", fmt.Sprintf("note %d of %d", n, p)).CombinedOutput()
				assert.NoError(t, err, string(out))
			}
		})
	}
	all.Wait()
	out := s.run(t, "", "record", "mole.toml")
	for p := range programs {
		for n := range notes {
			assert.Contains(t, out, fmt.Sprintf("note %d of %d", n, p))
		}
	}
}
