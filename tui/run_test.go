//go:build unix

package tui

import (
	"context"
	"errors"
	"io"
	"os"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/creack/pty"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"
	"golang.org/x/sys/unix"
	"golang.org/x/term"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/testkit/lateness"
	"example.org/ringout/tui/screen"
)

// A desk is a pseudo-terminal with someone who reads it.
type desk struct {
	master, slave *os.File
	mu            sync.Mutex
	text          strings.Builder
	before        *term.State
	readers       sync.WaitGroup
}

func newDesk(t *testing.T) *desk {
	t.Helper()
	master, slave, err := pty.Open()
	require.NoError(t, err)
	require.NoError(t, pty.Setsize(master, &pty.Winsize{Rows: 24, Cols: 80}))
	before, err := term.GetState(int(slave.Fd()))
	require.NoError(t, err)
	d := &desk{master: closeable(t, master), slave: slave, before: before}
	// The slave stays open: Bubble Tea looks at its size in a goroutine that it
	// does not wait for.
	t.Cleanup(func() {
		d.master.Close()
		d.readers.Wait() // or later tests find them running
	})
	return d
}

// closeable is a terminal that closes while it is read: setting its size made
// reads of the first file block, and a close wait for them.
func closeable(t *testing.T, tty *os.File) *os.File {
	t.Helper()
	fd, err := unix.FcntlInt(tty.Fd(), unix.F_DUPFD_CLOEXEC, 0)
	require.NoError(t, err)
	require.NoError(t, tty.Close())
	require.NoError(t, unix.SetNonblock(fd, true))
	return os.NewFile(uintptr(fd), "terminal")
}

func (d *desk) read() {
	b := make([]byte, 4096)
	for {
		n, err := d.master.Read(b)
		d.mu.Lock()
		d.text.Write(b[:n])
		d.mu.Unlock()
		if err != nil {
			return
		}
	}
}

func (d *desk) seen() string {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.text.String()
}

// run starts the bench on the desk with a lit Porthole.
func (d *desk) run(t *testing.T, ctx context.Context, h *hall, reading bool) chan error {
	t.Helper()
	if reading {
		d.readers.Go(d.read)
	}
	done := make(chan error, 1)
	go func() {
		done <- Run(ctx, Config{Prop: prop.Porthole(), Connect: h.connect, In: d.slave, Out: d.slave})
	}()
	soon(t, func() bool { return h.count() == 1 }, "connected")
	io.WriteString(d.master, "\r")
	w, _ := h.last(t)
	soon(t, func() bool { return w.lit() > 0 }, "lit")
	return done
}

func ended(t *testing.T, done chan error) error {
	t.Helper()
	select {
	case err := <-done:
		return err
	case <-time.After(10 * time.Second):
		require.Fail(t, "the bench did not end")
		return nil
	}
}

// By every way out the prop is dark, the stream ended once, and the terminal as
// it was: modes back, alternate screen left, cursor shown, mouse off.
func TestEveryWayOut(t *testing.T) {
	for name, leave := range map[string]func(d *desk, stop context.CancelFunc){
		"q":          func(d *desk, _ context.CancelFunc) { io.WriteString(d.master, "q") },
		"ctrl-c":     func(d *desk, _ context.CancelFunc) { io.WriteString(d.master, "\x03") },
		"end of ctx": func(_ *desk, stop context.CancelFunc) { stop() },
	} {
		times := 1
		if os.Getenv("RINGOUT_LONG") == "1" {
			times = 33
		}
		for range times {
			t.Run(name, func(t *testing.T) { leaveBy(t, leave) })
		}
	}
}

func leaveBy(t *testing.T, leave func(d *desk, stop context.CancelFunc)) {
	defer goleak.VerifyNone(t, goleak.IgnoreCurrent(), goleak.IgnoreTopFunction("internal/poll.runtime_pollWait"),
		goleak.IgnoreAnyFunction("example.org/ringout/tui.(*desk).read"))
	d, h := newDesk(t), &hall{}
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	done := d.run(t, ctx, h, true)
	leave(d, stop)
	require.NoError(t, ended(t, done))
	w, _ := h.last(t)
	assert.Equal(t, 1, w.ends())
	assert.Zero(t, w.lit())
	after, err := term.GetState(int(d.slave.Fd()))
	require.NoError(t, err)
	assert.Equal(t, d.before, after)
	for _, off := range []string{"\x1b[?1049l", "\x1b[?25h", "\x1b[?1002l"} {
		soon(t, func() bool { return strings.Contains(d.seen(), off) }, "terminal given back")
	}
}

func TestClosedTerminal(t *testing.T) {
	d, h := newDesk(t), &hall{}
	done := d.run(t, t.Context(), h, true)
	d.master.Close() // no one sends a hang-up signal here: the end of file must do
	ended(t, done)
	w, _ := h.last(t)
	assert.Equal(t, 1, w.ends())
	assert.Zero(t, w.lit())
}

// A terminal that takes no more text holds up no key, and must not keep the
// prop lit.
func TestStuckTerminal(t *testing.T) {
	d, h := newDesk(t), &hall{}
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	done := d.run(t, ctx, h, false)
	w, _ := h.last(t)
	full := func() bool { // its buffer: no one reads
		p := []unix.PollFd{{Fd: int32(d.slave.Fd()), Events: unix.POLLOUT}}
		n, err := unix.Poll(p, 0)
		return err == nil && n == 0
	}
	stays := func() bool { // the kernel moves what was written on a little later, and then has room once more
		for range 20 {
			if !full() {
				return false
			}
			time.Sleep(5 * time.Millisecond)
		}
		return true
	}
	soon(t, func() bool {
		io.WriteString(d.master, "v")
		return stays()
	}, "a full buffer, or nothing is shown here")
	before := w.count()
	io.WriteString(d.master, "\x1b[A") // another level
	soon(t, func() bool { return w.count() > before }, "a key on the wire")
	require.NotZero(t, w.lit())
	began, late := time.Now(), lateness.Watch(t)
	stop()
	soon(t, func() bool { return w.ends() == 1 && w.lit() == 0 }, "dark at once")
	assert.Less(t, time.Since(began), patience+late.Total())
	require.True(t, full(), "the buffer stays full")
	d.readers.Go(d.read) // or the file cannot be closed
	ended(t, done)
}

func TestDumbTerminalHasNoColours(t *testing.T) {
	t.Setenv("COLORTERM", "truecolor")
	t.Setenv("CLICOLOR_FORCE", "1")
	assert.Equal(t, termenv.Ascii, renderer(io.Discard, "dumb").ColorProfile())
}

// Old multiplexers' names say nothing of colours, but their terminfo entries do
// (infocmp of ncurses: colors#8); NO_COLOR and CLICOLOR=0 win.
func TestMultiplexersHaveColours(t *testing.T) {
	for _, name := range []string{"NO_COLOR", "CLICOLOR", "CLICOLOR_FORCE", "COLORTERM"} {
		t.Setenv(name, "")
	}
	for term, want := range map[string]termenv.Profile{
		"screen": termenv.ANSI, "screen.linux": termenv.ANSI, "tmux": termenv.ANSI, "rxvt": termenv.ANSI, "cygwin": termenv.ANSI,
		"vt100": termenv.Ascii, "dumb": termenv.Ascii, "": termenv.Ascii, "screens": termenv.Ascii,
	} {
		assert.Equal(t, want, renderer(io.Discard, term).ColorProfile(), term)
	}
	t.Setenv("NO_COLOR", "1")
	assert.Equal(t, termenv.Ascii, renderer(io.Discard, "screen").ColorProfile())
	t.Setenv("NO_COLOR", "")
	t.Setenv("CLICOLOR", "0")
	assert.Equal(t, termenv.Ascii, renderer(io.Discard, "screen").ColorProfile())
}

func TestNoTerminal(t *testing.T) {
	r, w, err := os.Pipe()
	require.NoError(t, err)
	defer r.Close()
	defer w.Close()
	assert.Equal(t, ErrNoTerminal, Run(t.Context(), Config{In: r, Out: w}))
}

// panicBench is a bench that breaks down.
type panicBench struct{ where string }

func (b panicBench) Init() tea.Cmd { return nil }
func (b panicBench) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch {
	case msg == nil:
	case b.where == "update":
		panic("the shelf fell")
	case b.where == "command":
		return b, func() tea.Msg { panic("the shelf fell") }
	case b.where == "batch":
		return b, tea.Batch(func() tea.Msg { return nil }, func() tea.Msg { panic("the shelf fell") })
	}
	return b, nil
}

func (b panicBench) View() string {
	if b.where == "view" {
		panic("the shelf fell")
	}
	return "page"
}

func TestCrashEndsInOneSentence(t *testing.T) {
	for _, where := range []string{"update", "view", "command", "batch"} {
		t.Run(where, func(t *testing.T) {
			d, h := newDesk(t), &hall{}
			d.readers.Go(d.read)
			st := newStage(t.Context(), h.connect)
			st.send = func(tea.Msg) {}
			g := &guard{bench: panicBench{where}}
			p := tea.NewProgram(g, tea.WithInput(d.slave), tea.WithOutput(d.slave), tea.WithAltScreen(), tea.WithoutSignalHandler())
			g.quit = p.Quit
			st.Use(prop.Porthole())
			w, _ := h.last(t)
			_, err := drive(t.Context(), p, st, func() string { return "" })
			require.NoError(t, err)
			c := g.crashed()
			require.NotNil(t, c)
			assert.Equal(t, "ringout met a fault of its own (the shelf fell) and has gone dark: start it again, and report this line if it comes back", c.Error())
			assert.Contains(t, string(c.Stack), "run_test.go")
			assert.NotContains(t, d.seen(), "goroutine", "no stack on the screen")
			assert.Equal(t, 1, w.ends())
			var asError *Crash
			assert.True(t, errors.As(error(c), &asError))
		})
	}
}

func TestClosingMeanwhile(t *testing.T) {
	h := &hall{}
	wait := make(chan struct{})
	st := newStage(t.Context(), func(ctx context.Context, p *prop.Prop) (Show, error) {
		close(wait)
		<-ctx.Done() // a slow host: the end of ctx must reach it
		return nil, ctx.Err()
	})
	got := make(chan tea.Msg, 1)
	st.send = func(tea.Msg) {}
	go func() { got <- st.Use(prop.Porthole()) }()
	<-wait
	st.Close()
	assert.IsType(t, screen.TroubleMsg{}, <-got)
	st.connect = h.connect
	assert.Nil(t, st.Use(prop.Porthole()), "nothing is connected after the end")
	assert.Zero(t, h.count())
}

// In a terminal that answers nothing, starting must not wait for its
// background colour. The test program imports what the real one does.
func TestMuteTerminal(t *testing.T) {
	if os.Getenv("RINGOUT_MUTE") == "1" {
		return // the child: all packages are initialised by now
	}
	c := exec.Command(os.Args[0], "-test.run=^TestMuteTerminal$")
	c.Env = append(os.Environ(), "RINGOUT_MUTE=1", "TERM=xterm-256color")
	began, late := time.Now(), lateness.Watch(t)
	master, err := pty.Start(c) // in the foreground of its own session, or no one would ask
	require.NoError(t, err)
	defer master.Close()
	d := &desk{master: master}
	go d.read() // reads, never answers
	require.NoError(t, c.Wait())
	assert.Less(t, time.Since(began), 5*time.Second+late.Total(), "asking takes 5 s to give up")
	assert.NotContains(t, d.seen(), "\x1b]11;?", "the background colour is asked for")
}
