package tui

import (
	"context"
	"io"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/charmbracelet/x/exp/teatest"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/tui/bench"
	"example.org/ringout/tui/screen"
)

// start runs the whole bench, without a terminal.
func start(t *testing.T, cfg Config, h *hall) *teatest.TestModel {
	t.Helper()
	cfg.Connect = h.connect
	m, st := assemble(t.Context(), cfg, plainStyle())
	ready := make(chan struct{})
	var tm *teatest.TestModel
	st.send = func(msg tea.Msg) { <-ready; tm.Send(msg) }
	tm = teatest.NewTestModel(t, m, teatest.WithInitialTermSize(80, 24))
	close(ready)
	t.Cleanup(st.Close)
	return tm
}

// waitsForSignals is a goroutine of the test library's own.
var waitsForSignals = goleak.IgnoreTopFunction("github.com/charmbracelet/x/exp/teatest.NewTestModel.func2")

func soon(t *testing.T, ok func() bool, what string) {
	t.Helper()
	require.Eventually(t, ok, 10*time.Second, 2*time.Millisecond, what)
}

func TestAnEveningByHand(t *testing.T) {
	defer goleak.VerifyNone(t, waitsForSignals)
	h := &hall{}
	tm := start(t, Config{}, h)
	tm.Send(tea.KeyMsg{Type: tea.KeyEnter}) // past the cautions
	tm.Send(tea.KeyMsg{Type: tea.KeyCtrlU})
	tm.Type("192.0.2.9")
	for range 4 {
		tm.Send(tea.KeyMsg{Type: tea.KeyDown})
	}
	tm.Send(tea.KeyMsg{Type: tea.KeyCtrlU})
	tm.Type("30")
	tm.Send(tea.KeyMsg{Type: tea.KeyCtrlL})
	soon(t, func() bool { return h.count() == 1 }, "connected")
	w, p := h.last(t)
	assert.Equal(t, "192.0.2.9", p.Address.Host)
	assert.Equal(t, 30, p.Pixels())
	soon(t, func() bool { return w.lit() == 3 }, "the chase lights one white pixel")
	tm.Type("2")
	tm.Send(tea.KeyMsg{Type: tea.KeyPgDown})
	soon(t, func() bool { return w.lit() == 33 }, "eleven pixels of three slots")
	tm.Send(tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{' '}})
	tm.Type("l")
	soon(t, func() bool { return w.lit() == 0 }, "dark")
	tm.Type("l")
	soon(t, func() bool { return w.lit() == 33 }, "light again")
	tm.Type("q")
	tm.WaitFinished(t, teatest.WithFinalTimeout(5*time.Second))
	assert.Equal(t, 1, w.ends())
	assert.Zero(t, w.lit())
	out, err := io.ReadAll(tm.FinalOutput(t))
	require.NoError(t, err)
	assert.Contains(t, ansi.Strip(string(out)), "Marked: 11 of")
}

// A new prop closes the show of the one before, which goes dark first.
func TestAnotherProp(t *testing.T) {
	defer goleak.VerifyNone(t, waitsForSignals)
	h := &hall{}
	tm := start(t, Config{Prop: prop.Porthole()}, h)
	tm.Send(tea.KeyMsg{Type: tea.KeyEnter})
	soon(t, func() bool { return h.count() == 1 }, "connected")
	first, _ := h.last(t)
	soon(t, func() bool { return first.lit() > 0 }, "lit")
	tm.Send(screen.UseMsg{Prop: prop.BuoyLamp()})
	soon(t, func() bool { return h.count() == 2 }, "connected again")
	assert.Equal(t, 1, first.ends())
	assert.Zero(t, first.lit())
	second, _ := h.last(t)
	soon(t, func() bool { return second.lit() > 0 }, "the new one is lit")
	tm.Send(tea.KeyMsg{Type: tea.KeyCtrlC})
	tm.WaitFinished(t, teatest.WithFinalTimeout(5*time.Second))
	assert.Equal(t, 1, second.ends())
}

// names are those of the screens.
func names() (out []string) {
	for _, s := range screens(Config{}, plainStyle(), nil) {
		out = append(out, s.Name())
	}
	return out
}

// All keys of one screen, with the bench's: none twice.
func TestNoKeyIsBoundTwice(t *testing.T) {
	for _, s := range screens(Config{}, plainStyle(), nil) {
		seen := map[string]string{}
		all := append(s.Keys().FullHelp(), screen.Bench(names()...).FullHelp()...)
		for _, group := range all {
			for _, b := range group {
				for _, k := range b.Keys() {
					other, twice := seen[k]
					assert.False(t, twice, "%s: %q is both %q and %q", s.Name(), k, other, b.Help().Desc)
					seen[k] = b.Help().Desc
				}
			}
		}
	}
}

// The foot line names only keys that the help page lists.
func TestFootNamesKnownKeys(t *testing.T) {
	for _, s := range screens(Config{}, plainStyle(), nil) {
		known := map[string]bool{}
		for _, group := range s.Keys().FullHelp() {
			for _, b := range group {
				known[strings.Join(b.Keys(), " ")] = true
			}
		}
		for _, b := range s.Keys().ShortHelp() {
			assert.True(t, known[strings.Join(b.Keys(), " ")], "%s: %s", s.Name(), b.Help().Key)
		}
	}
}

func TestNamesAreShortAndDiffer(t *testing.T) {
	seen := map[string]bool{}
	for _, s := range screens(Config{}, plainStyle(), nil) {
		assert.LessOrEqual(t, len(s.Name()), 8)
		assert.False(t, seen[s.Name()])
		seen[s.Name()] = true
	}
}

// keys that a random evening is made of.
func randomKey(r *rand.Rand) tea.Msg {
	if r.IntN(40) == 0 {
		return tea.WindowSizeMsg{Width: r.IntN(140), Height: r.IntN(50)}
	}
	if r.IntN(20) == 0 {
		return tea.MouseMsg{X: r.IntN(120), Y: r.IntN(40), Action: tea.MouseActionPress, Button: tea.MouseButton(r.IntN(6))}
	}
	special := []tea.KeyType{tea.KeyEnter, tea.KeyTab, tea.KeyShiftTab, tea.KeyUp, tea.KeyDown, tea.KeyLeft, tea.KeyRight,
		tea.KeyPgDown, tea.KeyPgUp, tea.KeyHome, tea.KeyEnd, tea.KeyBackspace, tea.KeyDelete, tea.KeyEsc, tea.KeyCtrlU, tea.KeyCtrlL}
	if n := r.IntN(2 * len(special)); n < len(special) {
		return tea.KeyMsg{Type: special[n]}
	}
	const runes = "0123456789?+-=.,rcvdxyabt /:äß\x1b\x00 "
	all := []rune(runes)
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{all[r.IntN(len(all))]}}
}

func checkView(t require.TestingT, m tea.Model, width, height int) {
	v := m.View()
	if width == 0 || height == 0 {
		return
	}
	lines := strings.Split(v, "\n")
	require.Len(t, lines, height)
	for _, l := range lines {
		require.Equal(t, width, ansi.StringWidth(l), "%q", l)
	}
}

// FuzzKeys: no stream of keys, clicks and sizes breaks a page or panics.
func FuzzKeys(f *testing.F) {
	f.Add(uint64(1), 200)
	f.Add(uint64(77), 400)
	f.Fuzz(func(t *testing.T, seed uint64, n int) {
		r := rand.New(rand.NewPCG(seed, 0))
		p := prop.Demos()[r.IntN(3)]
		b, _ := assemble(context.Background(), Config{Prop: p, Interfaces: []string{"eth0"}}, plainStyle())
		var m tea.Model = b
		width, height := 80, 24
		step := func(msg tea.Msg) {
			if s, ok := msg.(tea.WindowSizeMsg); ok {
				width, height = s.Width, s.Height
			}
			m, _ = m.Update(msg)
			checkView(t, m, width, height)
		}
		step(tea.WindowSizeMsg{Width: width, Height: height})
		step(screen.ReadyMsg{Prop: p, Out: noOutput{}, Demo: r.IntN(2) == 0})
		for range min(max(n, 0), 500) {
			step(randomKey(r))
		}
	})
}

type noOutput struct{}

func (noOutput) Set(show.Want) {}

var _ bench.Stage = (*stage)(nil)

// Screens that take no message, since the terminal is stuck, cannot keep the
// prop lit.
func TestCloseDoesNotWaitForScreens(t *testing.T) {
	defer goleak.VerifyNone(t, waitsForSignals)
	for name, stuckAt := range map[string]int{"at the news of the prop": 1, "at a snapshot": 2} {
		t.Run(name, func(t *testing.T) {
			h := &hall{}
			st := newStage(t.Context(), h.connect)
			stuck, free := make(chan struct{}), make(chan struct{})
			n := 0 // sends come one after another: Use, then one relay
			st.send = func(tea.Msg) {
				if n++; n == stuckAt {
					close(stuck)
					<-free
				}
			}
			used := make(chan struct{})
			go func() { defer close(used); st.Use(prop.Porthole()) }()
			<-stuck
			st.Close()
			w, _ := h.last(t)
			assert.Equal(t, 1, w.ends())
			close(free)
			<-used
			st.relay.Wait()
		})
	}
}

// TestALetterJumpsToEachScreen: the jump keys are the first letters of the
// screens' names, in their order, and no two are the same.
func TestALetterJumpsToEachScreen(t *testing.T) {
	var letters []string
	for _, n := range names() {
		assert.NotContains(t, letters, n[:1], "%s begins as another screen's name does", n)
		letters = append(letters, n[:1])
	}
	jump := screen.Bench(names()...).Jump
	assert.Equal(t, letters, jump.Keys())
	assert.Equal(t, strings.Join(letters, " "), jump.Help().Key)
}
