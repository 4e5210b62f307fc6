//go:build unix

package cli

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"example.org/ringout/internal/prop"
)

// A litCommand is a running command with the prop lit.
type litCommand struct {
	cmd *exec.Cmd
	tty *os.File       // nil without a terminal
	in  io.WriteCloser // standard input without a terminal
	out io.ReadCloser  // standard output without a terminal
	hup bool           // the terminal is gone
}

// A wayOut is one way in which a command ends.
type wayOut struct {
	name   string
	tty    bool // it needs a terminal
	screen bool // it needs a screen of the bench
	leave  func(*litCommand)
}

func signalled(s syscall.Signal) func(*litCommand) {
	return func(l *litCommand) { l.cmd.Process.Signal(s) }
}

func pressed(keys string) func(*litCommand) {
	return func(l *litCommand) { io.WriteString(l.tty, keys) }
}

func closeTerminal(l *litCommand) {
	l.hup = true
	l.tty.Close()
}

// waysOut are all ways to end that a program can catch.
var waysOut = []wayOut{
	{name: "SIGINT", leave: signalled(syscall.SIGINT)},
	{name: "SIGTERM", leave: signalled(syscall.SIGTERM)},
	{name: "SIGHUP", leave: signalled(syscall.SIGHUP)},
	{name: "SIGQUIT", leave: signalled(syscall.SIGQUIT)},
	{name: "SIGPIPE", leave: signalled(syscall.SIGPIPE)},
	{name: "SIGABRT", leave: signalled(syscall.SIGABRT)},
	{name: "SIGSEGV sent", leave: signalled(syscall.SIGSEGV)},
	{name: "SIGTRAP", leave: signalled(syscall.SIGTRAP)},
	{name: "SIGTSTP", leave: signalled(syscall.SIGTSTP)},
	{name: "the reader leaves", leave: func(l *litCommand) {
		if l.tty != nil {
			closeTerminal(l)
			return
		}
		l.out.Close()
	}},
	{name: "Ctrl-C", tty: true, leave: pressed("\x03")},
	{name: "Ctrl-\\", tty: true, leave: pressed("\x1c")},
	{name: "the terminal closes", tty: true, leave: closeTerminal},
	{name: "q", tty: true, screen: true, leave: pressed("q")},
}

// A place is a command, or a screen of the bench, with the prop lit.
type place struct {
	name   string
	args   []string // FILE stands for the prop file
	prop   string
	screen string // keys that lead there from the front page; empty for a command
	typed  bool   // letters are typed into a field there
}

var places = []place{
	{name: "send", args: []string{"send", "even", "--file", "FILE"}, prop: "porthole"},
	{name: "send --json", args: []string{"send", "chase", "--file", "FILE", "--json"}, prop: "pennant"},
	{name: "check --plain", args: []string{"check", "FILE", "--plain"}, prop: "porthole"},
	{name: "check --json", args: []string{"check", "FILE", "--json"}, prop: "pennant"},
	{name: "check --part", args: []string{"check", "FILE", "--part", "outer ring"}, prop: "porthole"},
	{name: "check --flex", args: []string{"check", "FILE", "--flex"}, prop: "porthole"},
	{name: "check --load", args: []string{"check", "FILE", "--load"}, prop: "porthole"},
	{name: "check --bulb", args: []string{"check", "FILE", "--bulb"}, prop: "buoylamp"},
	{name: "Light", args: []string{"FILE"}, prop: "pennant", screen: "\r8"},
	{name: "Check", args: []string{"check", "FILE"}, prop: "porthole", screen: "\r\r"},
	{name: "Traffic", args: []string{"FILE"}, prop: "porthole", screen: "\r8\t\t"},
	{name: "Record", args: []string{"FILE"}, prop: "porthole", screen: "\r8\t\t\t"},
	{name: "Set-up", args: []string{"FILE"}, prop: "porthole", screen: "\r8\t\t\t\t", typed: true},
	{name: "Plan", args: []string{"FILE"}, prop: "porthole", screen: "\r8\t\t\t\t\t", typed: true},
}

// A wireTap keeps all packets that reach a free port of 127.0.0.1.
type wireTap struct {
	conn *net.UDPConn
	mu   sync.Mutex
	all  [][]byte
	done chan struct{}
}

func tap(t *testing.T) *wireTap {
	t.Helper()
	conn, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	conn.SetReadBuffer(4 << 20)
	w := &wireTap{conn: conn, done: make(chan struct{})}
	go func() {
		defer close(w.done)
		b := make([]byte, 2048)
		for {
			n, err := conn.Read(b)
			if err != nil {
				return
			}
			w.mu.Lock()
			w.all = append(w.all, bytes.Clone(b[:n]))
			w.mu.Unlock()
		}
	}()
	return w
}

func (w *wireTap) count() int {
	w.mu.Lock()
	defer w.mu.Unlock()
	return len(w.all)
}

// end is all that came; what was sent before is in the socket already.
func (w *wireTap) end() [][]byte {
	w.conn.SetReadDeadline(time.Now().Add(50 * time.Millisecond))
	<-w.done
	w.conn.Close()
	return w.all
}

// lit says what is wrong at the end of a stream, by the octets of ANSI
// E1.31-2018 table 4-1: universe 113-114, options 112 with Stream_Terminated in
// bit 6 (6.2.6), slots from 126 on. Empty when every universe in use is dark and
// ended three times.
func lit(all [][]byte) string {
	ended, last := map[int]int{}, map[int][]byte{}
	for _, p := range all {
		if len(p) < 126 || binary.BigEndian.Uint32(p[18:]) != 4 {
			continue
		}
		u := int(binary.BigEndian.Uint16(p[113:]))
		if last[u] = p; p[112]&0x40 != 0 {
			ended[u]++
		} else {
			ended[u] = 0
		}
	}
	for u, p := range last {
		if n := len(bytes.Trim(p[126:], "\x00")); n > 0 {
			return fmt.Sprintf("universe %d is left with light in its slots", u)
		}
		if ended[u] != 3 {
			return fmt.Sprintf("universe %d ended with %d terminated packets", u, ended[u])
		}
	}
	return ""
}

// fileAt writes a demo's prop file with the address of a tap, over two universes if it
// has enough pixels.
func fileAt(t *testing.T, name string, w *wireTap) string {
	t.Helper()
	port := w.conn.LocalAddr().(*net.UDPAddr).Port
	text := strings.Replace(prop.DemoFile(name), `host     = "127.0.0.1"`, fmt.Sprintf("host     = \"127.0.0.1\"\nport     = %d\nslot     = 400", port), 1)
	require.Contains(t, text, "port     = ")
	lines := strings.Split(text, "\n")
	lines = slices.DeleteFunc(lines, func(l string) bool { return strings.HasPrefix(l, "slot ") && !strings.Contains(l, "400") })
	file := filepath.Join(t.TempDir(), name+".toml")
	require.NoError(t, os.WriteFile(file, []byte(strings.Join(lines, "\n")), 0o644))
	_, _, err := prop.Load(file)
	require.NoError(t, err)
	return file
}

// begin starts a place; tty says whether in a terminal.
func begin(t *testing.T, pl place, file string, tty bool) *litCommand {
	t.Helper()
	args := slices.Clone(pl.args)
	args[slices.Index(args, "FILE")] = file
	l := &litCommand{cmd: exec.Command(program(t), args...)}
	l.cmd.Env = append(l.cmd.Environ(), "TERM=xterm-256color", "GOTRACEBACK=none")
	if tty {
		var err error
		l.tty, err = pty.StartWithSize(l.cmd, &pty.Winsize{Cols: 120, Rows: 40})
		require.NoError(t, err)
		l.tty = closeable(t, l.tty)
		return l
	}
	var err error
	l.in, err = l.cmd.StdinPipe()
	require.NoError(t, err)
	l.out, err = l.cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, l.cmd.Start())
	return l
}

// walk ends one place by one way out at a random moment from rng. It returns a
// description of the fault, "" for none, and the number of packets.
func walk(t *testing.T, pl place, r wayOut, rng *rand.Rand) (fault string, packets int) {
	t.Helper()
	w := tap(t)
	file := fileAt(t, pl.prop, w)
	tty := r.tty || pl.screen != ""
	l := begin(t, pl, file, tty)
	defer l.cmd.Process.Kill()
	text := &drawnText{}
	var before, after *unix.Termios
	from := io.Reader(l.out)
	if tty {
		before = freshTermios(t) // its own may be changed by now
		from = l.tty
	}
	drained := make(chan struct{})
	go func() {
		defer close(drained)
		io.Copy(text, from)
	}()
	if pl.screen != "" {
		text.await("Fuse") // the cautions of the front page
		for _, key := range pl.screen {
			io.WriteString(l.tty, string(key))
			time.Sleep(20 * time.Millisecond)
		}
	}
	// From the first packet on, at any moment of the next while.
	for end := time.Now().Add(10 * time.Second); w.count() == 0 && time.Now().Before(end); {
		time.Sleep(time.Millisecond)
	}
	time.Sleep(time.Duration(rng.Float64() * float64(600*time.Millisecond)))
	r.leave(l)
	done := make(chan error, 1)
	go func() { done <- l.cmd.Wait() }()
	select {
	case <-done:
	case <-time.After(20 * time.Second):
		return "the program does not end", w.count()
	}
	if tty && !l.hup {
		after = termios(l.tty)
		select {
		case <-drained: // all that was drawn has been read (pty(7): EIO at the end)
		case <-time.After(2 * time.Second):
		}
		l.tty.Close()
	}
	<-drained
	all := w.end()
	switch s := text.String(); {
	case len(all) == 0:
		return "nothing was ever lit, so this shows nothing", 0
	case after != nil && before != nil && *after != *before:
		return "the terminal is not as it was", len(all)
	case after != nil && strings.LastIndex(s, "\x1b[?25l") > strings.LastIndex(s, "\x1b[?25h"):
		return "the cursor stays hidden", len(all)
	case after != nil && strings.LastIndex(s, "\x1b[?1049h") > strings.LastIndex(s, "\x1b[?1049l"):
		return "the alternate screen stays", len(all)
	}
	return lit(all), len(all)
}

// A pair is a way out of a place.
type pair struct {
	place
	wayOut
}

// pairs returns all possible pairs; with usual, two of each place.
func pairs(usual bool) (list []pair) {
	for i, pl := range places {
		for j, r := range waysOut {
			switch {
			case r.screen && (pl.screen == "" || pl.typed):
			case r.name == "Ctrl-\\" && pl.screen != "": // a key like others there
			case usual && (i+j)%7 != 0: // each way out and each place at least once
			default:
				list = append(list, pair{pl, r})
			}
		}
	}
	return list
}

// Every command and screen with the prop lit is ended by every way out at seeded random
// moments. Every universe in use must then be dark and terminated three times, and the
// terminal restored. With RINGOUT_LONG each pair is walked 20 times, else two ways out
// from each place once. RINGOUT_ROAD names the pairs to walk, such as "send, by
// SIGHUP", and RINGOUT_TIMES the number of times.
func TestEveryWayOutFromEveryPlace(t *testing.T) {
	const together = 4
	only := os.Getenv("RINGOUT_ROAD")
	times, long := 1, os.Getenv("RINGOUT_LONG") != "" || only != ""
	if long {
		times = 20
	}
	if n, err := strconv.Atoi(os.Getenv("RINGOUT_TIMES")); err == nil {
		times = n
	}
	program(t)
	var mu sync.Mutex
	walked, clean := map[string]int{}, map[string]int{}
	work := make(chan pair)
	var wg sync.WaitGroup
	for n := range together {
		rng := rand.New(rand.NewPCG(31, uint64(n)))
		wg.Go(func() {
			for p := range work {
				fault, packets := walk(t, p.place, p.wayOut, rng)
				mu.Lock()
				if walked[p.wayOut.name]++; fault == "" {
					clean[p.wayOut.name]++
				} else {
					t.Errorf("%s, by %s: %s (%d packets)", p.place.name, p.wayOut.name, fault, packets)
				}
				mu.Unlock()
			}
		})
	}
	for _, p := range pairs(!long) {
		if only != "" && !strings.Contains(p.place.name+", by "+p.wayOut.name, only) {
			continue
		}
		for range times {
			work <- p
		}
	}
	close(work)
	wg.Wait()
	for _, r := range waysOut {
		t.Logf("%-20s %d of %d dark, ended and restored", r.name, clean[r.name], walked[r.name])
	}
}
