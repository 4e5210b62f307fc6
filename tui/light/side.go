package light

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/bubbles/key"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// settingWords are the settings on a narrow page: the level, and those that are not at
// their default.
func (m Model) settingWords() []string {
	out := []string{words.Percent(m.level)}
	if m.sub != nil {
		out = append([]string{m.partName()}, out...)
	}
	if m.pattern().Stepped {
		out = append(out, m.pace())
	}
	if m.colour > 0 {
		out = append(out, m.colourName())
	}
	if m.reverse {
		out = append(out, m.way())
	}
	return out
}

func (m Model) title() string { return fmt.Sprintf("%d %s", (m.at+1)%10, m.pattern().Name) }

// sideKey is all that the list and the settings hang on.
type sideKey struct {
	prop          *prop.Prop
	height        int
	part, at      int
	colour        int
	level, speed  float64
	reverse, auto bool
	dark          bool
	rounding      string
}

// fittedSide is the list and the settings in their width and so many rows.
func (m Model) fittedSide(height int) []string {
	of := sideKey{m.prop, height, m.part, m.at, m.colour, m.level, m.speed, m.reverse, m.auto, m.dark, m.rounding()}
	return m.draw.side.Get(of, func() []string { return style.FitLines(m.side(), sideWidth-1, height) })
}

// side is the list of patterns, the settings, and what 8 bits do to the colours.
func (m Model) side() string {
	st := m.style
	var lines []string
	for _, i := range m.offered() {
		p := m.pats[i]
		mark, name := " ", p.Name
		if i == m.at {
			mark, name = st.Accent.Render("▸"), st.Strong.Render(name)
		}
		lines = append(lines, mark+" "+st.Accent.Render(fmt.Sprint((i+1)%10))+" "+name)
	}
	k := m.usable()
	speed := screen.Either(k.Faster, k.Slower, "")
	lines = append(lines, "",
		m.setting("Level", m.levelNow(), "↑ ↓", k.Brighter),
		m.setting("Speed", m.pace(), speed.Help().Key, speed),
		m.setting("Colour", m.colourName(), "c", k.Colour))
	if !m.onePixel() {
		lines = append(lines, m.setting("Way", m.way(), "r", k.Way))
	}
	lines = append(lines, m.setting("Steps", m.steps(), "enter", k.Run))
	if !m.onePixel() {
		lines = append(lines, m.setting("Part", m.partName(), "p", k.Part))
	}
	lines = append(lines, "")
	for _, l := range style.Wrap(m.rounding(), sideWidth-edge-2) {
		lines = append(lines, "  "+st.Quiet.Render(l))
	}
	return strings.Join(lines, "\n")
}

// setting is one line: name, value, and the signs of its keys if they have an effect now.
// A value that is too long is cut; it stands in full beside the drawing.
func (m Model) setting(what, value, keys string, turns key.Binding) string {
	if !turns.Enabled() {
		keys = ""
	}
	return "  " + style.Cell(what, 7) + m.style.Strong.Render(style.Cell(value, 13)) + "  " + m.style.Accent.Render(keys)
}

// levelNow is the level that is sent.
func (m Model) levelNow() string {
	if m.unlit() {
		return "0 %, dark"
	}
	return words.Percent(m.level)
}

func (m Model) pace() string {
	if !m.pattern().Stepped || m.dark {
		return "no steps"
	}
	return fmt.Sprintf("%g steps/s", m.settings().Speed)
}

func (m Model) colourName() string {
	if c, ok := m.chosenColour(); ok {
		return c.Name
	}
	return "pattern's own"
}

func (m Model) way() string {
	if m.reverse {
		return "from far end"
	}
	return "from data end"
}

// steps is how the pattern steps.
func (m Model) steps() string {
	switch {
	case m.unlit():
		return "none, dark"
	case !m.pattern().Stepped:
		return "steady"
	case m.auto:
		return "walking"
	}
	return "by hand"
}
