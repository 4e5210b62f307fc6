package light

import (
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/style"
)

// A band is the large words with the expected light beside them, or below if they are
// wide.
type band struct {
	big, text []string
	indent    int // of the text; 0 where it is below
}

// bandFor is the band of the current step, of at most so many rows.
func (m Model) bandFor(width, rows int) band {
	big, wide := m.bigWords(width), 0
	for _, l := range big {
		wide = max(wide, style.Width(l))
	}
	if wide <= width/2 {
		return band{big, m.words(width-wide-2, rows), wide}
	}
	text := m.words(width, rows-len(big))
	gap := min(1, max(0, rows-len(big)-len(text)))
	return band{big, append(make([]string, len(big)+gap), text...), 0}
}

// bigWords are the large words: beside the text where half of the width is enough for a
// high face, else above it, and then no higher than leaves room for the drawing.
func (m Model) bigWords(width int) []string {
	rows, texts, alike := m.faceRows(), m.large(), m.alike()
	loud := m.mark > 0 || !m.dark && m.pattern().ID == patterns.Ruler.ID // their text is all the news there is
	if loud {
		return digits.Large(width, max(digits.Rows, rows-digits.Rows), texts...)
	}
	all := append([]string{texts[0]}, alike...)
	if big := inOneFace(width/2, 2*digits.Rows, rows, all); big != nil {
		return big
	}
	if big := inOneFace(width, digits.Rows, max(digits.Rows, m.size.Height/6), all); big != nil {
		return big
	}
	return digits.Large(width, digits.Rows, texts...)
}

// inOneFace is the first of texts in the largest face, least to most rows high, in which
// all have room; nil where there is none.
func inOneFace(width, least, most int, texts []string) []string {
	for i := range texts {
		texts[i] = strings.ToUpper(texts[i])
	}
	for rows := most / digits.Rows * digits.Rows; rows >= least; rows -= digits.Rows {
		if drawn := digits.Alike(width, rows, texts...); drawn != nil {
			return drawn[0]
		}
	}
	return nil
}

func (b band) rows() int { return max(len(b.big), len(b.text)) }

// band is the large words and what to expect as lines, an empty row after them, at most a
// given number of rows. All steps of a pattern get the room of the largest, so that
// drawings stay where they are. The answer to a key takes the room of what to expect,
// since it goes with the next key.
func (m Model) band(width, rows int) []string {
	rows-- // the empty one
	b, quiet := m.bandFor(width, rows), m
	usual := b
	if m.note != "" {
		quiet.note = ""
		usual = quiet.bandFor(width, rows)
	}
	n := max(usual.rows(), quiet.bandRows(width, rows))
	if b.rows() > n {
		m.brief = true
		b = m.bandFor(width, rows)
		n = max(n, b.rows())
	}
	m.draw.room.rows = n                               // nothing gives room back
	n = min(n, max(rows, len(b.big))+m.leastDrawing()) // the first remark is whole, whatever the drawing loses
	out := make([]string, n+1)
	for i := range n {
		line := strings.Repeat(" ", b.indent)
		if i < len(b.big) {
			line = m.style.ForLarge(m.amiss()).Strong.Render(b.big[i])
		}
		if i < len(b.text) && b.text[i] != "" {
			if b.indent > 0 {
				line += "  "
			}
			line += b.text[i]
		}
		out[i] = line
	}
	if len(b.text) > n {
		out[n-1] = style.Cell(out[n-1], width-1) + "…"
	}
	m.draw.top = len(out)
	return out
}

// bandSize is how many rows the band of any step of any pattern needs.
type bandSize struct {
	of   bandKey
	rows int
}

// bandKey is the input of bandRows.
type bandKey struct {
	prop, sub                 *prop.Prop
	width, rows, face, colour int
	at, mark                  int // 0 where there is no mark
	reverse, dark             bool
	trouble, limited          string
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

// bandRows works them out, or remembers them: all patterns have the room of the one that needs
// most, so that the drawing stays as it is from one to the next.
func (m Model) bandRows(width, rows int) int {
	k := bandKey{m.prop, m.sub, width, rows, m.faceRows(), m.colour, 0, m.mark, m.reverse, m.dark, m.trouble(), m.limitText()}
	if m.mark > 0 {
		k.at = m.at
	}
	if m.draw.room.of == k {
		return m.draw.room.rows
	}
	m.draw.room = bandSize{of: k}
	for _, i := range m.offered() {
		other := m
		if other.at = i; i != m.at {
			other.mark = 0
		}
		m.draw.room.rows = max(m.draw.room.rows, other.mostRows(width, rows))
	}
	return m.draw.room.rows
}

// mostRows is how many rows the band of any step of the pattern needs.
func (m Model) mostRows(width, rows int) (most int) {
	for _, i := range wideSteps(patterns.Steps(m.pattern(), m.settings())) {
		step := m
		step.step, step.snap.Moment.Step = i, i
		for _, step.auto = range []bool{true, false} { // a chase that walks has other words
			most = max(most, step.bandFor(width, rows).rows())
		}
	}
	return most
}
