package paint

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A sheet is a terminal that keeps what is written to it.
type sheet struct {
	mu     sync.Mutex
	writes []string
	hold   chan struct{} // when not nil, writes of views wait for it
}

func (s *sheet) Write(b []byte) (int, error) {
	s.mu.Lock()
	s.writes = append(s.writes, string(b))
	hold := s.hold
	s.mu.Unlock()
	if hold != nil && bytes.Contains(b, []byte(";1H")) {
		<-hold
	}
	return len(b), nil
}

func (s *sheet) Read([]byte) (int, error) { return 0, io.EOF }
func (s *sheet) Close() error             { return nil }
func (s *sheet) Fd() uintptr              { return ^uintptr(0) }

func (s *sheet) count() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return len(s.writes)
}

// views are the writes that draw lines.
func (s *sheet) views() (out []string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, w := range s.writes {
		if strings.Contains(w, ";1H") {
			out = append(out, w)
		}
	}
	return out
}

// model draws three lines, the middle one of which is a number.
type model struct {
	n, drawn *atomic.Int64
	sized    bool
}

type setMsg int

// A calmMsg can wait.
type calmMsg struct{}

func (calmMsg) Calm() bool { return true }

func (m model) Init() tea.Cmd { return nil }
func (m model) View() string {
	if !m.sized {
		return ""
	}
	m.drawn.Add(1)
	return fmt.Sprintf("head\nnumber %3d\nfoot", m.n.Load())
}

func (m model) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		m.sized = true
	case setMsg:
		m.n.Store(int64(msg))
	case tea.KeyMsg:
		return m, tea.Quit
	}
	return m, nil
}

// start runs a program on a sheet; end ends it and waits.
func start(t *testing.T, s *sheet) (p *tea.Program, m model, end func()) {
	t.Helper()
	m = model{n: new(atomic.Int64), drawn: new(atomic.Int64)}
	pt := New(m, s)
	ctx, stop := context.WithCancel(t.Context())
	t.Cleanup(stop)
	p = pt.Program(tea.WithContext(ctx), tea.WithInput(nil))
	done := make(chan struct{})
	go func() {
		defer close(done)
		p.Run()
	}()
	p.Send(tea.WindowSizeMsg{Width: 10, Height: 3})
	return p, m, func() {
		stop()
		<-done
		pt.Stop()
	}
}

func TestOnlyLinesThatChangedAreWritten(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := &sheet{}
		p, _, end := start(t, s)
		time.Sleep(time.Second)
		require.Equal(t, []string{"\x1b[1;1Hhead\x1b[2;1Hnumber   0\x1b[3;1Hfoot"}, s.views())
		p.Send(setMsg(7))
		time.Sleep(time.Second)
		p.Send(setMsg(7))
		time.Sleep(time.Second)
		require.Equal(t, []string{"\x1b[2;1Hnumber   7"}, s.views()[1:])
		p.Send(tea.WindowSizeMsg{Width: 10, Height: 3})
		time.Sleep(time.Second)
		require.Equal(t, []string{"\x1b[1;1Hhead\x1b[2;1Hnumber   7\x1b[3;1Hfoot"}, s.views()[2:], "after a change of size all is drawn")
		end()
	})
}

// At rest nothing is written and no view is made; in motion views are made at
// most every 30 ms, and the last one is drawn.
func TestViewsAreMadeNoOftenerThanDrawn(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := &sheet{}
		p, m, end := start(t, s)
		time.Sleep(time.Second)
		writes, drawn := s.count(), m.drawn.Load()
		time.Sleep(time.Minute)
		assert.Equal(t, writes, s.count(), "writes at rest")
		assert.Equal(t, drawn, m.drawn.Load(), "views at rest")
		for i := range 1000 { // a second of messages
			p.Send(setMsg(i))
			time.Sleep(time.Millisecond)
		}
		time.Sleep(time.Second)
		assert.InDelta(t, time.Second/gap, int(m.drawn.Load()-drawn), 2)
		assert.Equal(t, "\x1b[2;1Hnumber 999", s.views()[len(s.views())-1])
		drawn = m.drawn.Load()
		for i := range 30 { // a show has 30 snapshots a second
			p.Send(setMsg(i))
			time.Sleep(time.Second / 30)
		}
		assert.Equal(t, 30, int(m.drawn.Load()-drawn), "each of them is drawn")
		drawn = m.drawn.Load()
		for range 40 { // ten seconds of counts that go on
			p.Send(calmMsg{})
			time.Sleep(time.Second / 4)
		}
		assert.InDelta(t, 10*time.Second/calmGap, int(m.drawn.Load()-drawn), 5)
		p.Send(setMsg(5))
		p.Send(calmMsg{})
		time.Sleep(gap)
		assert.Equal(t, "\x1b[2;1Hnumber   5", s.views()[len(s.views())-1], "a calm message does not hold up another one")
		end()
	})
}

// What Bubble Tea itself draws does not reach the terminal; how it sets the
// terminal up and back does, and nothing is drawn after that.
func TestNothingIsDrawnOutsideOfTheSecondScreen(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := &sheet{}
		p, _, end := start(t, s)
		time.Sleep(2 * time.Second)
		p.Send(tea.WindowSizeMsg{Width: 10, Height: 3}) // it would draw once more
		time.Sleep(2 * time.Second)
		end()
		all := strings.Join(s.writes, "")
		on, off := strings.Index(all, "\x1b[?1049h"), strings.Index(all, "\x1b[?1049l")
		require.True(t, on >= 0 && off > on)
		assert.NotContains(t, all[:on], "head")
		assert.NotContains(t, all[off:], "head")
		assert.Less(t, strings.Index(all, "\x1b[?25l"), off, "the cursor was hidden")
		assert.Contains(t, all[on:], "\x1b[?25h", "and is shown again")
		for _, w := range s.writes {
			assert.False(t, strings.HasPrefix(w, "\x1b[H") && len(w) > 3, "Bubble Tea drew %q", w)
		}
	})
}

// A terminal that takes a long time for a view does not hold up the model, and
// gets the newest view next.
func TestASlowTerminalHoldsUpNothing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := &sheet{hold: make(chan struct{})}
		p, m, end := start(t, s)
		for i := range 100 {
			p.Send(setMsg(i))
			time.Sleep(40 * time.Millisecond)
			require.Equal(t, int64(i), m.n.Load(), "taken at once")
		}
		close(s.hold)
		time.Sleep(time.Second)
		assert.Len(t, s.views(), 2)
		assert.Equal(t, "\x1b[2;1Hnumber  99", s.views()[1])
		end()
	})
}
