//go:build unix

package cli

import (
	"bytes"
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

	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/testkit/lateness"
	"example.org/ringout/internal/testkit/striptest"
)

// A terminal runs the built program in a pseudo-terminal.
type terminal struct {
	t    testing.TB
	cmd  *exec.Cmd
	tty  *os.File
	mu   sync.Mutex
	text bytes.Buffer
	read chan struct{} // closed when all that was drawn has been read
	done chan error
}

func start(t testing.TB, args ...string) *terminal {
	t.Helper()
	return startCommand(t, exec.Command(program(t), args...))
}

// startCommand is start for any command.
func startCommand(t testing.TB, c *exec.Cmd) *terminal {
	t.Helper()
	c.Env = append(c.Environ(), "TERM=xterm-256color", "COLORTERM=truecolor")
	tty, err := pty.StartWithSize(c, &pty.Winsize{Cols: 120, Rows: 40})
	require.NoError(t, err)
	term := &terminal{t: t, cmd: c, tty: tty, read: make(chan struct{}), done: make(chan error, 1)}
	go term.readAll()
	go func() { term.done <- c.Wait() }()
	t.Cleanup(func() {
		c.Process.Kill()
		tty.Close()
	})
	return term
}

func (r *terminal) readAll() {
	defer close(r.read)
	b := make([]byte, 4096)
	for {
		n, err := r.tty.Read(b)
		r.mu.Lock()
		r.text.Write(b[:n])
		r.mu.Unlock()
		if err != nil {
			return
		}
	}
}

func (r *terminal) drawn() string {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.text.String()
}

// see waits until the program has drawn a text.
func (r *terminal) see(text string) {
	r.t.Helper()
	require.Eventually(r.t, func() bool { return strings.Contains(r.drawn(), text) }, 10*time.Second, 5*time.Millisecond,
		"never drew %q", text)
}

func (r *terminal) press(keys string) {
	r.t.Helper()
	_, err := io.WriteString(r.tty, keys)
	require.NoError(r.t, err)
}

// left waits for the end of the program.
func (r *terminal) left() error {
	r.t.Helper()
	select {
	case err := <-r.done:
		<-r.read
		return err
	case <-time.After(10 * time.Second):
		r.t.Fatal("the program does not end")
		return nil
	}
}

// bench writes the prop file of a node and opens the bench on it.
func bench(t testing.TB, p *prop.Prop) *terminal {
	t.Helper()
	_, term := benchOn(t, p)
	return term
}

// benchOn is bench, with the file.
func benchOn(t testing.TB, p *prop.Prop) (file string, term *terminal) {
	t.Helper()
	file = filepath.Join(t.TempDir(), "prop.toml")
	text := strings.Replace(prop.DemoFile(typed(p.Name)), `host     = "127.0.0.1"`, fmt.Sprintf("host     = \"127.0.0.1\"\nport = %d", p.Address.Port), 1)
	require.Contains(t, text, "port = ")
	require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
	term = start(t, file)
	term.see("Fuse") // the cautions of the front page
	term.press("\r")
	return file, term
}

// Keys pressed in a terminal light a separate simulated prop over UDP.
func TestKeysLightTheStrip(t *testing.T) {
	n, p := startNode(t, prop.Porthole())
	term := bench(t, p)
	term.press("3") // single pixel
	striptest.Wait(t, n, "pixel 1 alone", func(l strip.Look) bool { return l.Light.Lit() == 1 && !l.Light[0][0].Dark() })
	term.press("\x1b[C") // right: one step on
	striptest.Wait(t, n, "pixel 2 alone", func(l strip.Look) bool { return l.Light.Lit() == 1 && !l.Light[0][1].Dark() })
	term.press("\x1b[F") // end: the last pixel
	striptest.Wait(t, n, "pixel 144 alone", func(l strip.Look) bool { return l.Light.Lit() == 1 && !l.Light[2][59].Dark() })
	term.press("8") // even light
	look := striptest.Wait(t, n, "all pixels", func(l strip.Look) bool { return l.Light.Lit() == 144 })
	before := look.Light[0][0].R
	assert.LessOrEqual(t, before, uint8(51), "the bench starts at 20 %%")
	term.press("\x1b[A") // up: brighter
	striptest.Wait(t, n, "brighter light", func(l strip.Look) bool { return l.Light[0][0].R > before })
	term.press("l")
	striptest.WaitDark(t, n)
	term.press("q")
	require.NoError(t, term.left())
	striptest.WaitEnded(t, n)
}

// On every way out, the strip is dark and has received the end of the stream, and the
// terminal is restored.
func TestLeavingByAnyWayOut(t *testing.T) {
	times := 2
	if os.Getenv("RINGOUT_LONG") != "" {
		times = 20 // 100 in all
	}
	for _, road := range []struct {
		name  string
		leave func(*terminal)
		gone  bool // the terminal is gone and cannot be restored
	}{
		{"q", func(r *terminal) { r.press("q") }, false},
		{"Ctrl-C", func(r *terminal) { r.press("\x03") }, false},
		{"SIGTERM", func(r *terminal) { r.cmd.Process.Signal(syscall.SIGTERM) }, false},
		{"SIGHUP", func(r *terminal) { r.cmd.Process.Signal(syscall.SIGHUP) }, false},
		{"closed terminal", func(r *terminal) { r.tty.Close() }, true},
	} {
		t.Run(road.name, func(t *testing.T) {
			for range times {
				n, p := startNode(t, prop.Porthole())
				term := bench(t, p)
				term.press("8")
				striptest.Wait(t, n, "all pixels", func(l strip.Look) bool { return l.Light.Lit() == 144 })
				road.leave(term)
				err := term.left()
				striptest.WaitEnded(t, n)
				if road.gone {
					continue
				}
				require.NoError(t, err)
				assert.Contains(t, term.drawn(), "\x1b[?1049l", "the alternate screen is left")
				assert.Contains(t, term.drawn(), "\x1b[?25h", "the cursor is back")
				n.Close()
			}
		})
	}
}

// Ctrl-C works after the start of a paste without an end.
func TestPasteWithoutEndAndCtrlC(t *testing.T) {
	n, p := startNode(t, prop.Porthole())
	term := bench(t, p)
	term.press("8")
	striptest.Wait(t, n, "all pixels", func(l strip.Look) bool { return l.Light.Lit() == 144 })
	term.press("\x1b[200~12 pixels of it")
	time.Sleep(50 * time.Millisecond)
	term.press("\x03")
	require.NoError(t, term.left())
	striptest.WaitEnded(t, n)
}

// A terminal that does not answer queries must not delay a plain command.
func TestVersionInAMuteTerminal(t *testing.T) {
	program(t) // built before the clock starts
	began, late := time.Now(), lateness.Watch(t)
	term := start(t, "--version")
	require.NoError(t, term.left())
	assert.Less(t, time.Since(began), 4*time.Second+late.Total(), "a library's question to the terminal waits 5 s for an answer")
	term.see("ringout ")
}

func TestBenchWithoutATerminal(t *testing.T) {
	c := exec.Command(program(t))
	out, err := c.CombinedOutput()
	require.Error(t, err)
	assert.Contains(t, string(out), "the bench needs a terminal")
}
