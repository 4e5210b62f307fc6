// Package light is the screen that lights the prop with one pattern, and describes the
// light of a correct strip.
//
// Pixels are numbered from 1 on the screen and from 0 in code.
package light

import (
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// startSpeed is steps a second: slow enough to count along.
const startSpeed = 2

// Model is the light screen.
type Model struct {
	style style.Styles
	keys  *keyMap
	pats  []patterns.Pattern

	prop  *prop.Prop
	patch *prop.Patch // of prop; nil when it has none
	out   screen.Output
	demo  bool
	snap  screen.SnapshotMsg
	any   bool       // a snapshot of this prop has arrived
	look  strip.Look // of the simulated strip

	choice
	section
	mark int    // count marked as the last pixel that lights; 0 is none
	note string // answer to the last key, gone with the next

	brief bool // the note takes the rows of the expected light

	shown  bool
	rows   bool // pixels row by row instead of as drawn
	chosen bool // by the builder, not by what fits
	size   tea.WindowSizeMsg
	draw   *drawings
}

// A choice is the builder's settings.
type choice struct {
	at      int // pattern
	level   float64
	speed   float64
	colour  int // 0 is the pattern's own, then PaletteFor
	reverse bool
	auto    bool
	step    int
	dark    bool // all pixels are off until it is switched on again
	serial  int  // changed with every step that was asked for
}

// A section is what is lit.
type section struct {
	part  int        // 0 the whole prop, then its sections by number
	sub   *prop.Prop // the section as a prop; nil for the whole
	first int        // its first pixel in the whole prop
}

// New makes the screen with the patterns in the order of their digits.
func New(st style.Styles, pats []patterns.Pattern) Model {
	return Model{style: st, keys: newKeys(), pats: pats, draw: &drawings{},
		choice: choice{level: patterns.StartLevel, speed: startSpeed, auto: pats[0].Loops}}
}

// Name is the screen's name in the head line.
func (m Model) Name() string { return "Light" }

// Typing is always false: this screen has no text field.
func (m Model) Typing() bool { return false }

// pattern is the chosen pattern.
func (m Model) pattern() patterns.Pattern { return m.pats[m.at] }

// settings are what the pattern is made with.
func (m Model) settings() patterns.Settings {
	s := patterns.Settings{Pixels: 1, Speed: m.speed, Reverse: m.reverse}
	if p := m.lit(); p != nil {
		s.Pixels = p.Pixels()
		s.Channels = p.Chip.Order.Channels()
		s.Starts = p.Starts()
	}
	if c, ok := m.chosenColour(); ok {
		s.Colour = c.Colour
	}
	s.Speed = patterns.ClampSpeed(m.pattern(), s)
	return s
}

// chosenColour is the colour that the builder chose in place of the pattern's own.
func (m Model) chosenColour() (c patterns.NamedColour, ok bool) {
	if m.colour == 0 {
		return c, false
	}
	pal := m.palette()
	if m.colour > len(pal) {
		return c, false
	}
	return pal[m.colour-1], true
}

func (m Model) palette() []patterns.NamedColour {
	if m.prop == nil {
		return nil
	}
	return patterns.PaletteFor(m.prop.Chip.Order.Channels())
}

// want is the whole wanted state.
func (m Model) want() show.Want {
	w := show.Want{Pattern: m.pattern().ID, Settings: m.settings(), Step: m.step,
		Auto: m.auto && m.pattern().Stepped, Level: m.level, Serial: m.serial}
	if m.sub != nil {
		w.Only = &show.Span{First: m.first, Last: m.first + m.sub.Pixels() - 1}
	}
	if m.dark {
		w.Pattern, w.Level = "", 0
	}
	return w
}

// send hands the wanted state to the show, if the screen is shown and a prop
// is connected. It does not wait.
func (m Model) send() {
	if m.shown && m.out != nil {
		m.out.Set(m.want())
	}
}

// now is the current step: the show's while the pattern runs by itself.
func (m Model) now() int {
	if m.auto && m.any && m.snap.Want.Serial == m.serial && m.snap.Want.Pattern == m.pattern().ID {
		return m.snap.Moment.Step
	}
	return m.step
}

// moment is the moment of the pattern, for its words and its number.
func (m Model) moment() patterns.Moment {
	return patterns.Moment{T: m.snap.Moment.T, Step: patterns.StepAt(m.pattern(), m.settings(), m.now())}
}

// fitOf is all that the layout which fits hangs on.
type fitOf struct {
	prop *prop.Prop
	size tea.WindowSizeMsg
}

// view is how the drawings are laid out: as the builder has chosen, else in rows if the shape shows
// less. It stays while the page is used.
func (m Model) view() canvas.View {
	rows := m.rows
	if !m.chosen {
		rows = m.draw.fits.Get(fitOf{m.prop, m.size}, func() bool {
			w, h := m.pictures()
			return m.draw.drafts.Best(m.prop, nil, w, max(0, h-1), m.style.Depth).Rows()
		})
	}
	if rows {
		return canvas.Rows
	}
	return canvas.Shape
}
