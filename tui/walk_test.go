package tui

import (
	"net/netip"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/internal/underway"
	"example.org/ringout/protocol"
	"example.org/ringout/tui/bench"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// A walker is the whole bench, with all its screens, on a prop that is simulated
// without sockets. It lives in a synctest bubble, so that it sees the same
// moments each time.
type walker struct {
	t      *testing.T
	m      bench.Model
	real   *strip.Strip
	faults []strip.Fault
	wire   *wire
	show   Show
	queue  chan tea.Msg
	asked  show.Want // of the show, the newest
}

// A state is what the bench shows after some keys.
type state struct {
	name   string
	prop   string // file of the demo props
	faults []string
	demo   bool   // the prop is simulated and said to be
	bare   bool   // no prop at all
	rival  bool   // another source drives the universe
	record string // of testdata/records, put beside the file; empty for none
	keys   string // by their names, with spaces between
	again  string // a key that was answered already, and is answered the same again
	ground style.Ground
}

// keyNames are the keys that are no letter.
var keyNames = map[string]tea.KeyType{"enter": tea.KeyEnter, "tab": tea.KeyTab, "esc": tea.KeyEsc, "up": tea.KeyUp, "down": tea.KeyDown,
	"left": tea.KeyLeft, "right": tea.KeyRight, "home": tea.KeyHome, "end": tea.KeyEnd, "pgup": tea.KeyPgUp, "pgdown": tea.KeyPgDown,
	"shift+tab": tea.KeyShiftTab, "ctrl+c": tea.KeyCtrlC, "f1": tea.KeyF1, "ctrl+f": tea.KeyCtrlF, "ctrl+u": tea.KeyCtrlU, "backspace": tea.KeyBackspace,
	"shift+up": tea.KeyShiftUp, "shift+down": tea.KeyShiftDown}

func keyOf(name string) tea.KeyMsg {
	if t, ok := keyNames[name]; ok {
		return tea.KeyMsg{Type: t}
	}
	if name == "space" {
		name = " "
	}
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(name)}
}

// Use connects the prop, as the bench asks for it.
func (w *walker) Use(p *prop.Prop) tea.Msg {
	if w.show != nil {
		w.show.Close()
	}
	var err error
	w.real, err = strip.New(p, w.faults...)
	require.NoError(w.t, err)
	w.wire = &wire{}
	w.wire.target.Host, w.wire.target.Universe = p.Address.Host, protocol.Universe(p.Address.Universe)
	sh, err := show.New(show.Config{Prop: p, Out: w.wire})
	require.NoError(w.t, err)
	w.show = Start(sh, nil, nil)
	return nil // ReadyMsg goes ahead of what the show does: see settle
}

// Close ends the show.
func (w *walker) Close() {
	if w.show != nil {
		w.show.Close()
		w.show = nil
	}
}

// heard keeps what is asked of the show.
type heard struct {
	Show
	w *walker
}

func (h heard) Set(want show.Want) {
	h.w.asked = want
	h.Show.Set(want)
}

// notWanted is the depth of a terminal that could have colours but shall not (NO_COLOR).
const notWanted termenv.Profile = 100

// walk brings the bench into a state at a size, in the colours of depth. It must
// run in a synctest bubble, in a folder of its own.
func walk(t *testing.T, s state, width, height int, depth termenv.Profile) *walker {
	t.Helper()
	underway.ReleaseAll()
	w := &walker{t: t, queue: make(chan tea.Msg, 1000)}
	r := lipgloss.NewRenderer(&strings.Builder{})
	r.SetColorProfile(depth)
	cfg := Config{Version: "1.0", Still: true, Seen: true, Interfaces: []string{"quay0"}, Faulty: s.demo, Lay: func(*prop.Prop, int) error { return nil }}
	if !s.bare {
		path := s.prop + ".toml"
		require.NoError(t, os.WriteFile(path, []byte(prop.DemoFile(s.prop)), 0o644))
		var err error
		cfg.Prop, cfg.Document, err = prop.Load(path)
		require.NoError(t, err)
		if !s.demo {
			cfg.Path = path
		}
		for _, text := range s.faults {
			f, err := strip.ParseFault(text, cfg.Prop)
			require.NoError(t, err)
			w.faults = append(w.faults, f)
		}
		cfg.Hidden = w.faults
	}
	if s.record != "" {
		text, err := os.ReadFile(s.record)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(s.prop+".bench.jsonl", text, 0o644))
	}
	st := style.On(r, s.ground)
	if os.Getenv("RINGOUT_CAPTURES") != "" { // pictures are of the ground that was asked for
		st = style.On(r, style.GroundOf(os.Getenv))
	}
	if depth == notWanted {
		st = style.NoColour()
	}
	start := cfg.Start
	if start == "" && cfg.Prop != nil {
		start = "Light"
	}
	w.m = bench.New(bench.Options{Screens: screens(cfg, st, nil), Stage: w, Style: st, Prop: cfg.Prop, Path: cfg.Path,
		Start: start, Version: cfg.Version, Seen: cfg.Seen, Still: true})
	w.run(w.m.Init())
	w.settle()
	w.feed(tea.WindowSizeMsg{Width: width, Height: height})
	if !s.bare {
		w.feed(screen.ReadyMsg{Prop: cfg.Prop, Out: heard{w.show, w}, Demo: s.demo})
	}
	if s.rival {
		w.feed(rivals(cfg.Prop))
	}
	w.settle()
	w.press(strings.Fields(s.keys)...)
	return w
}

// press gives the bench keys, each once the last has had its effect.
func (w *walker) press(keys ...string) {
	for _, k := range keys {
		w.feed(keyOf(k))
		w.settle()
	}
}

func (w *walker) feed(msg tea.Msg) {
	next, cmd := w.m.Update(msg)
	w.m = next.(bench.Model)
	w.run(cmd)
}

// run does what a command does, apart from the bench, as Bubble Tea does.
func (w *walker) run(cmd tea.Cmd) {
	if cmd == nil {
		return
	}
	go func() {
		msg := cmd()
		if all, ok := msg.(tea.BatchMsg); ok {
			for _, c := range all {
				w.run(c)
			}
			return
		}
		if msg != nil {
			w.queue <- msg
		}
	}()
}

// settle waits until nothing is under way, and hands on what came of it.
func (w *walker) settle() {
	for quiet := 0; quiet < 2; quiet++ {
		time.Sleep(200 * time.Millisecond)
		for synctest.Wait(); len(w.queue) > 0; synctest.Wait() { // what is fed may connect another prop
			w.feed(<-w.queue)
			quiet = 0
		}
		if w.show == nil {
			continue
		}
		select {
		case snap, ok := <-w.show.Snapshots():
			if ok {
				w.feed(screen.SnapshotMsg(snap))
			}
		default:
		}
		if slots := w.wire.sent(); slots != nil {
			w.feed(screen.LightMsg{Light: w.real.Light(slots), Driven: true})
		}
	}
}

func (w *wire) sent() [][]byte {
	w.mu.Lock()
	defer w.mu.Unlock()
	return slices.Clone(w.slots)
}

// view is what stands on the terminal.
func (w *walker) view() string { return w.m.View() }

// rivals is what is heard while a source of a higher priority drives the prop's
// first universe, and one of the same priority another.
func rivals(p *prop.Prop) screen.TrafficMsg {
	ours := protocol.Ours{CID: protocol.CID{1}, Priority: 100, Universes: []protocol.Universe{protocol.Universe(p.Address.Universe)}}
	start := time.Date(2026, 11, 25, 19, 30, 0, 0, time.UTC)
	tr := protocol.NewTracker()
	for i := range 120 {
		at := start.Add(time.Duration(i) * 25 * time.Millisecond)
		for n, name := range []string{"ringout bench", "Pier PC", "Lantern desk"} {
			if n == 1 && i%7 == 0 {
				continue // lost on the way
			}
			u := protocol.Universe(p.Address.Universe)
			if n == 2 {
				u += 8
			}
			d := protocol.Data{CID: protocol.CID{byte(n + 1)}, Source: protocol.NameOf(name), Priority: uint8(100 + 50*(n%2)), Sequence: uint8(i), Universe: u}
			levels := make([]byte, 432)
			for k := range levels {
				levels[k] = byte(k * (n + 1))
			}
			d.SetLevels(levels)
			tr.Hear(protocol.Datagram{At: at, From: netip.AddrPortFrom(netip.AddrFrom4([4]byte{10, 0, 0, byte(n + 2)}), 5568), Interface: "quay0", Group: u.Group(), Octets: protocol.AppendData(nil, &d)})
		}
	}
	now := start.Add(3 * time.Second)
	tr.Tick(now)
	return screen.TrafficMsg(traffic.Heard(tr.Report(now), ours))
}

// inBubble runs f in a bubble of its own, in an empty folder.
func inBubble(t *testing.T, f func(t *testing.T)) {
	t.Helper()
	t.Chdir(t.TempDir())
	t.Setenv("HOME", "/home/builder")
	synctest.Test(t, f)
}
