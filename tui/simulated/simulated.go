// Package simulated is the screen of a simulated prop that runs alone in a terminal: its
// light and the packets that it received.
package simulated

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/strip/node"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// LookMsg is the light of the prop and the counts of packets received.
type LookMsg struct {
	Look    strip.Look
	History node.History
}

// Options are the arguments of New.
type Options struct {
	Prop   *prop.Prop
	Faults []strip.Fault // shown only when asked for
	Where  string        // where it listens
	Style  style.Styles
	Now    func() time.Time
}

type keyMap struct{ view, fault, leave key.Binding }

var keys = keyMap{
	view:  screen.Key("v", "as it lies, or in rows of ten", "v"),
	fault: screen.Key("h", "show or hide the fault", "h"),
	leave: screen.Key("q", "leave", "q", "ctrl+c"),
}

// Model is the screen.
type Model struct {
	opt           Options
	msg           LookMsg
	view          canvas.View
	shown         bool
	width, height int
	draw          *picture // a cache for View
}

type picture struct {
	c             *canvas.Canvas
	width, height int
	view          canvas.View
}

// New makes the screen of a prop that has heard nothing yet.
func New(o Options) Model { return Model{opt: o, draw: &picture{}} }

// Init starts nothing: looks come from outside.
func (m Model) Init() tea.Cmd { return nil }

// Update handles looks, sizes and keys.
func (m Model) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case LookMsg:
		m.msg = msg
	case tea.WindowSizeMsg:
		m.width, m.height = msg.Width, msg.Height
	case tea.KeyMsg:
		switch {
		case key.Matches(msg, keys.leave):
			return m, tea.Quit
		case key.Matches(msg, keys.fault):
			m.shown = !m.shown
		case key.Matches(msg, keys.view) && m.view == canvas.Shape:
			m.view = canvas.Rows
		case key.Matches(msg, keys.view):
			m.view = canvas.Shape
		}
	}
	return m, nil
}

// The least room for a drawing, in cells, and from how many rows on there are some to
// spare.
const (
	minWidth, minHeight = 30, 8
	airyHeight          = 20
)

// View is the drawing between a title and the counts of packets.
func (m Model) View() string {
	if m.width < minWidth || m.height < minHeight {
		return style.Fit(fmt.Sprintf("The terminal is %d x %d: make it %d x %d or larger.", m.width, m.height, minWidth, minHeight), m.width, m.height)
	}
	head := fmt.Sprintf("%s%s, simulated. Listening at %s.", edge, style.Clean(m.opt.Prop.Name), m.opt.Where)
	var foot []string
	for _, t := range m.heard() {
		for _, l := range style.Wrap(t.text, m.width-2*len(edge)) {
			foot = append(foot, t.style.Render(l))
		}
	}
	air := make([]string, min(1, m.height/airyHeight)) // an empty row between things
	foot = append(append(append(slices.Clone(air), foot...), air...), m.foot())
	lines := append([]string{m.opt.Style.Strong.Render(style.Cell(head, m.width))}, style.FitLines("", m.width, len(air))...)
	lines = append(lines, m.drawing(m.height-len(lines)-len(foot))...)
	for _, l := range foot {
		lines = append(lines, style.Cell(edge+l, m.width))
	}
	return strings.Join(lines, "\n")
}

func (m Model) foot() string {
	var parts []string
	for _, k := range []key.Binding{keys.view, keys.fault, keys.leave} {
		parts = append(parts, m.opt.Style.Accent.Render(k.Help().Key)+" "+k.Help().Desc)
	}
	return strings.Join(parts, "   ")
}

// edge is the left edge of the page, as on the bench.
const edge = "  "

// A said is a sentence and its style.
type said struct {
	text  string
	style style.Text
}

// heard describes the packets that reached the prop, and its faults if they are shown.
func (m Model) heard() []said {
	h := m.msg.History
	line := "Nothing heard yet."
	if n := h.Total(); n > 0 {
		line = fmt.Sprintf("%s, the last %s ago; %s lit.", words.Count(n, "packet"), ago(m.opt.Now().Sub(h.Last)), words.Count(m.msg.Look.Light.Lit(), "pixel"))
		if h.EndedAll(1) && !m.msg.Look.Driven {
			line += " The stream was ended by its source."
		}
	}
	var odd []string
	for _, o := range []struct {
		n    uint64
		text string
	}{{h.OutOfTurn, "out of turn"}, {h.Preview, "preview only"}, {h.Elsewhere, "for other universes"}, {h.Malformed, "malformed"}} {
		if o.n > 0 {
			odd = append(odd, fmt.Sprintf("%d %s", o.n, o.text))
		}
	}
	if len(odd) > 0 {
		line += " Not used: " + strings.Join(odd, ", ") + "."
	}
	out := []said{{line, style.Text{}}}
	for _, f := range m.opt.Faults {
		if m.shown {
			out = append(out, said{f.Sentence(m.opt.Prop), m.opt.Style.Warn})
		}
	}
	if m.shown && len(m.opt.Faults) == 0 {
		out = append(out, said{"Nothing is wrong with it.", m.opt.Style.Good})
	}
	return out
}

func ago(d time.Duration) string {
	if d < 10*time.Second {
		return fmt.Sprintf("%.1f s", max(0, d.Seconds()))
	}
	return d.Truncate(time.Second).String()
}

// drawing is what the prop lights, its signs named above, in so many rows.
func (m Model) drawing(height int) []string {
	d := m.draw
	counts := canvas.Counts(m.msg.Look.Light)
	if len(counts) == 0 {
		counts = nil
	}
	if d.c == nil || d.width != m.width || d.height != height || d.view != m.view || counts != nil && !d.c.Fits(counts) {
		d.c = canvas.New(m.opt.Prop, counts, m.view, m.width, max(0, height-1), m.opt.Style.Depth)
		d.width, d.height, d.view = m.width, height, m.view
	}
	if counts != nil {
		d.c.SetLight(m.msg.Look.Light, brightest(m.msg.Look.Light))
	}
	said, _ := canvas.Legend(m.width-2*len(edge), 1, append([]canvas.Name{d.c.Scale()}, d.c.LightNames()...)...)
	return append([]string{style.Cell(edge+m.opt.Style.Quiet.Render(said[0]), m.width)}, d.c.FromTop(d.c.Lines())...)
}

// brightest is the highest channel value of a light as a level, so that a
// dimmed prop is drawn as bright as the terminal can.
func brightest(l strip.Light) float64 {
	top := uint8(0)
	for _, run := range l {
		for _, c := range run {
			top = max(top, c.R, c.G, c.B, c.W, c.C)
		}
	}
	if top == 0 {
		return 1
	}
	return float64(top) / 255
}
