package light

import (
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/style"
)

// A band is the large words with what to expect beside them, or below where they are
// wide.
type band struct {
	big, text []string
	indent    int // of the text; 0 where it is below
}

// bandFor is the band of this moment.
func (m Model) bandFor(width int) band {
	rows := m.faceRows()
	big := digits.Large(width/2, rows, m.large()...)
	switch ruler := m.mark == 0 && !m.dark && m.pattern().ID == patterns.Ruler.ID; {
	case ruler: // its number says nothing without what it is
		big = digits.Large(width, max(digits.Rows, rows-digits.Rows), m.large()...)
	case m.mark > 0 && rows > digits.Rows: // the news of the page, with what to do below it
		big = digits.Large(width, rows-digits.Rows, m.large()...)
	}
	if len(big) == 1 { // no drawing of that width
		big = digits.Large(width, rows, m.large()...)
	}
	indent := 0
	for _, l := range big {
		indent = max(indent, style.Width(l))
	}
	if indent > width/2 {
		return band{big, append(make([]string, len(big)+1), m.words(width)...), 0}
	}
	return band{big, m.words(width - indent - 2), indent}
}

func (b band) rows() int { return max(len(b.big), len(b.text)) }

// band is the large words and what to expect as lines, at most a given number of rows. All steps
// of a pattern get the room of the largest, so that drawings stay where they are. The
// answer to a key takes the room of what to expect, since it goes with the next key.
func (m Model) band(width, rows int) []string {
	b, quiet := m.bandFor(width), m
	usual := b
	if m.note != "" {
		quiet.note = ""
		usual = quiet.bandFor(width)
	}
	n := max(usual.rows(), quiet.bandRows(width))
	if b.rows() > n {
		m.brief = true
		b = m.bandFor(width)
		n = max(n, b.rows())
	}
	m.draw.room.rows = n // no step gives room back
	out := make([]string, min(n+1, max(rows, len(b.big)+1)))
	for i := 1; i < len(out); i++ {
		line := strings.Repeat(" ", b.indent)
		if i <= len(b.big) {
			line = m.largeLook().Render(b.big[i-1])
		}
		if i <= len(b.text) && b.text[i-1] != "" {
			if b.indent > 0 {
				line += "  "
			}
			line += b.text[i-1]
		}
		out[i] = line
	}
	if n := len(out) - 1; len(b.text) > n {
		out[n] = style.Cell(out[n], width-1) + "…"
	}
	return out
}

// bandSize is how many rows the band of any step of a pattern needs.
type bandSize struct {
	of   bandKey
	rows int
}

// bandKey is all that this hangs on.
type bandKey struct {
	prop, sub               *prop.Prop
	width, face, at, colour int
	mark                    int
	reverse, dark           bool
	trouble, limited        string
}

// wideSteps are the steps whose words need the most room: all where there are few, else
// those at the ends and where the number gets a digit more or has wide ones. One that
// needs more yet keeps it (band).
func wideSteps(steps int) (out []int) {
	for i := range min(steps, 8) {
		out = append(out, i)
	}
	for ten := 10; ten <= steps; ten *= 10 {
		out = append(out, ten-2, ten-1, min(ten*8/9*10, steps-1))
	}
	return append(out, max(0, steps-2), steps-1)
}

// bandRows works them out, or remembers them.
func (m Model) bandRows(width int) int {
	k := bandKey{m.prop, m.sub, width, m.faceRows(), m.at, m.colour, m.mark, m.reverse, m.dark, m.trouble(), m.limited()}
	if m.draw.room.of == k {
		return m.draw.room.rows
	}
	m.draw.room = bandSize{of: k}
	for _, i := range wideSteps(patterns.Steps(m.pattern(), m.settings())) {
		step := m
		step.step, step.snap.Moment.Step = i, i
		for _, step.auto = range []bool{true, false} { // a chase that walks has other words
			m.draw.room.rows = max(m.draw.room.rows, step.bandFor(width).rows())
		}
	}
	return m.draw.room.rows
}
