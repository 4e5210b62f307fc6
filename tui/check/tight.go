package check

import (
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/style"
)

// A tightRoom is a low page whose drawings, each pixel with a mark of its own, leave no row free below their
// legend unless the question and its answers take fewer rows than elsewhere.
type tightRoom struct {
	drawing int // rows of the drawings with their legend and the row below it; 0 where the page is not so
	below   int // rows of the text and the answers together
}

// tightRoom is the room of such a page.
func (m Model) tightRoom(width, height int) tightRoom {
	if width < narrow || height >= airyFrom || m.of.sub == nil || m.of.sub.Bulb() {
		return tightRoom{}
	}
	n := m.scene().abreast(width - 2*edge)
	return m.draw.tight.Get(tightKey{m.of.sub, width, height, n}, func() tightRoom {
		const least = 5 // rows for the text and the answers of most questions
		each := (width - 2*edge - columnGap*(n-1)) / n
		per := func(rows int) int { return canvas.New(m.of.sub, nil, canvas.Rows, each, rows, m.style.Depth).Per() }
		now := height - digits.Rows - leastFoot - 1 - 1 // rows of marks below a legend of one row
		if now < 1 {
			return tightRoom{}
		}
		rows := now
		for rows > 1 && per(rows-1) == per(now) {
			rows--
		}
		r := tightRoom{drawing: 1 + 1 + rows}
		if r.below = height - digits.Rows - 1 - r.drawing - 1 - 1; rows+1 < now || r.below < least {
			return tightRoom{}
		}
		return r
	})
}

// A tightKey is what a tightRoom hangs on.
type tightKey struct {
	of                     *prop.Prop
	width, height, abreast int
}

// askingTight is askingClose in such a room, with text and answers that fit; nil where they do not, or
// the page has room.
func askingTight(m Model, q query, chosen, width, height int) (lines []string, zones []zone) {
	r := m.tightRoom(width, height)
	if r.drawing == 0 {
		return nil, nil
	}
	text, answers, z := tightBelow(m, q, chosen, width, height, r.below)
	if text == nil {
		return nil, nil
	}
	if lines = closeTop(m, q, width, height-r.below-2); len(lines) < digits.Rows {
		return nil, nil
	}
	lines = append(lines, "")
	drawn := m.closeDrawn(width, r.drawing)
	lines = appendUnder(append(lines, drawn...), append([]string{""}, text...), len(drawn) > 0 && m.style.Depth != style.Letters)
	if len(lines)+len(answers) < height {
		lines = append(lines, "")
	}
	return append(lines, answers...), down(z, len(lines))
}

// tightBelow is the text and the answers in so many rows together: with more of the hint rather than less,
// and before a hint is left out the answers go into more columns. A note takes the row between them.
func tightBelow(m Model, q query, chosen, width, height, rows int) (text, answers []string, zones []zone) {
	if m.note != "" {
		rows++
	}
	q.tight = true
	for _, hint := range m.tightHints(q) {
		text = tightText(m, q.question, hint, width)
		for _, columns := range []bool{false, true} {
			q.columns = columns
			answers, zones = answersBelow(m, q, chosen, width, height)
			if answers = style.WithoutEnd(answers); len(text)+len(answers) <= rows {
				return text, answers, zones
			}
		}
	}
	return nil, nil, nil
}

// tightHints are what may be said after a question, most wanted first.
func (m Model) tightHints(q query) (out []string) {
	if q.hint != "" {
		out = append(out, q.hint)
		if m.page.traits(m).asks && len(m.st.suspects) > 0 {
			out = append([]string{q.hint + "; `a` shows what it may still be"}, out...)
		}
	}
	if q.needed || len(out) == 0 {
		return append(out, q.hint)
	}
	return append(out, "")
}

// tightText is the question and its hint in one paragraph.
func tightText(m Model, question, hint string, width int) []string {
	text := m.style.Strong.Render(question)
	if hint != "" {
		text += " " + m.style.Quiet.Render(style.Keyed(words.Sentence(hint), m.style.Quiet, m.style.Accent))
	}
	return style.Indent(style.Wrap(text, width-2*edge), edge)
}
