package light

import (
	"fmt"
	"strings"

	"example.org/ringout/patterns"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// Where things stand on the page.
const (
	sideWidth = 28 // list of patterns and settings
	listTop   = 1  // row of the first pattern
)

// compact pages have no room for the list beside the drawing.
func (m Model) compact() bool { return m.size.Width < 80 }

// View draws the page.
func (m Model) View(width, height int) string {
	if width < 80 {
		return m.narrow(width, height)
	}
	right := width - sideWidth
	band := 8
	if height > 30 {
		band = 10
	}
	page := m.drawing(right, height-band)
	page = append(page, m.band(right, band, digits.Tall)...)
	side := style.FitLines(m.side(height), sideWidth, height)
	var b strings.Builder
	for i, l := range page {
		if i > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(side[i])
		b.WriteString(l)
	}
	return b.String()
}

// narrow is the page without a list: settings on two lines above the drawing.
func (m Model) narrow(width, height int) string {
	const band = 6
	settings := []string{percent(m.level), m.pace(), m.colourName(), m.way()}
	if m.sub != nil {
		settings = append([]string{m.partName()}, settings...)
	}
	lines := []string{style.Cell(" "+m.style.Accent.Render(m.title())+"  "+m.walking(), width),
		style.Cell(" "+strings.Join(settings, ", "), width)}
	lines = append(lines, m.drawing(width, height-band-len(lines))...)
	lines = append(lines, m.band(width, band, digits.Rows)...)
	return strings.Join(lines, "\n")
}

func (m Model) title() string { return fmt.Sprintf("%d %s", (m.at+1)%10, m.pattern().Name) }

// side is the list of patterns, the settings and what 8 bits leave of the level.
func (m Model) side(height int) string {
	st := m.style
	lines := []string{""}
	for i, p := range m.pats {
		l := fmt.Sprintf(" %d %s", (i+1)%10, p.Name)
		if i == m.at {
			l = st.Accent.Render(fmt.Sprintf("▸%d %s", (i+1)%10, p.Name))
		}
		lines = append(lines, l)
	}
	lines = append(lines, "",
		m.setting("Level", percent(m.level), "↑ ↓"),
		m.setting("Speed", m.pace(), "+ -"),
		m.setting("Colour", m.colourName(), "c"),
		m.setting("Way", m.way(), "r"),
		m.setting("Steps", m.walking(), "enter"),
		m.setting("Part", m.partName(), "p"), "")
	for _, l := range style.Wrap(m.rounding(height-len(lines)), sideWidth-3) {
		lines = append(lines, " "+st.Quiet.Render(l))
	}
	return strings.Join(lines, "\n")
}

// setting is one line: what, how much, which key turns it.
func (m Model) setting(what, value, keys string) string {
	return " " + style.Cell(what, 7) + m.style.Strong.Render(style.Cell(value, 13)) + " " + m.style.Quiet.Render(keys)
}

func percent(level float64) string { return fmt.Sprintf("%.3g %%", level*100) }

func (m Model) pace() string {
	if !m.pattern().Stepped {
		return "no steps"
	}
	return fmt.Sprintf("%g steps/s", m.settings().Speed)
}

func (m Model) colourName() string {
	if pal := m.palette(); m.colour > 0 && m.colour <= len(pal) {
		return pal[m.colour-1].Name
	}
	return "pattern's own"
}

func (m Model) way() string {
	if m.reverse {
		return "from far end"
	}
	return "from data end"
}

func (m Model) walking() string {
	switch {
	case m.dark:
		return "dark"
	case !m.pattern().Stepped:
		return "steady"
	case m.auto:
		return "walking"
	}
	return "by hand"
}

// band is the number to read from afar, and beside it what to expect.
func (m Model) band(width, height, tall int) []string {
	var big []string
	if m.pattern().Number != nil || width > 70 { // the level stands elsewhere too
		big = digits.Lines(m.number(), tall)
	}
	indent := 0
	for i := range big {
		indent = max(indent, len([]rune(big[i])))
	}
	text := m.words(width - indent - 4)
	out := make([]string, height)
	for i := range out {
		line := " " + strings.Repeat(" ", indent)
		if i >= 1 && i <= len(big) {
			line = " " + m.style.Accent.Render(big[i-1])
		}
		if i >= 1 && i <= len(text) {
			line += "  " + text[i-1]
		}
		out[i] = style.Cell(line, width)
	}
	return out
}

// number is the one to write large: the pixel or the count, else the level.
func (m Model) number() string {
	if m.dark {
		return "0%"
	}
	if n := m.pattern().Number; n != nil {
		return fmt.Sprint(n(m.settings(), m.moment()))
	}
	return fmt.Sprintf("%.0f%%", m.level*100)
}

// words are the answer to the last key, what the limiter does, and what to
// expect: the news first, since the room may be short.
func (m Model) words(width int) []string {
	var out []string
	for _, t := range []struct{ head, text string }{
		{"", m.note}, {"", m.marking()}, {"TROUBLE: ", m.trouble()}, {"LIMITED: ", m.limited()}, {"", m.partWords()}, {"Expect: ", m.expect()}, {"", m.placed()}, {"", m.rollCall()},
	} {
		if t.text == "" {
			continue
		}
		lines := style.Wrap(t.head+t.text, width)
		if t.head != "" && strings.HasPrefix(lines[0], t.head) {
			head := m.style.Strong
			if strings.ToUpper(t.head) == t.head {
				head = m.style.Warn
			}
			lines[0] = head.Render(t.head) + lines[0][len(t.head):]
		}
		out = append(out, lines...)
	}
	return out
}

func (m Model) marking() string {
	if m.mark == 0 || m.prop == nil {
		return ""
	}
	return marked(m.lit(), m.mark, m.reverse)
}

// trouble is why packets do not arrive, at length: the status line may be too
// short for it.
func (m Model) trouble() string {
	if !m.any || len(m.snap.Links) == 0 {
		return ""
	}
	l := screen.WorstLink(m.snap.Links)
	if l.State == link.Sending || l.State == link.Starting {
		return ""
	}
	return screen.LinkWords(l)
}

func (m Model) limited() string {
	switch {
	case !m.any || m.dark:
		return ""
	case m.snap.NoLight:
		return "the dark pixels alone draw all that the supply gives: more amps or fewer pixels."
	case !m.snap.Limited:
		return ""
	}
	return fmt.Sprintf("held at %s, so that the supply gives no more than %.1f A.", percent(m.snap.Level), m.snap.MaxAmps)
}

// rounding is what whole steps of 255 leave of the level in force, at length
// where there is room for it.
func (m Model) rounding(rows int) string {
	level := m.level
	if m.any && m.snap.Limited {
		level = m.snap.Level
	}
	r := patterns.RoundingAt(level)
	if rows > 7 || r.Asked == 0 {
		return r.String()
	}
	return fmt.Sprintf("8 bits: full becomes %d of 255, %.1f %%.", r.Sent, r.Got*100)
}
