package check

import (
	"strings"
	"unicode"

	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/style"
)

// leastDrawn is the least number of rows of a drawing with its caption.
const leastDrawn = 4

// askingClose is asking on a page without room. The drawings come right below the
// first rows, and all questions leave them the same rows, so that they keep their size
// and place; the question and its answers follow.
//
// One row is empty between things. Where rows are too few, the one between a first row of small
// text and the drawings goes first, as it looks like their caption, then the one before the
// answers, whose keys set them apart, then the one between large words and their text, and last
// the one after the drawings.
func askingClose(m Model, q query, chosen, width, height int) (lines []string, zones []zone) {
	q = m.withoutSide(q, width, height)
	answers, z := answersBelow(m, q, chosen, width, height)
	answers = style.WithoutEnd(answers)
	text := fullText(m, q, width, height)
	if m.eitherOr(q, width, height) {
		at := m.turn % (len(m.scene().panels()) + 1)
		if at == 0 || m.Typing() {
			lines = append([]string{headRow(m, q, width)}, m.closeText(q, text, width, height-1-len(answers), false)...)
			return append(lines, answers...), down(z, len(lines))
		}
		m.turn, q.large = at-1, nil
	}
	foot := m.closeFoot(q, width, height)
	lines = closeTop(m, q, width, height-foot)
	large := len(lines) > 1
	room := height - len(lines) - foot - 1
	switch {
	case large && m.finer(width, room): // the drawings need the row before the answers
		lines = append(lines, "")
	case large:
		lines, room = append(lines, ""), room-1
	case room > leastDrawn+digits.Rows+1 && width >= narrow: // for large words below, and the first row
		lines, room = append(lines, ""), room-digits.Rows-2
	default: // a narrow page never has the row between the first one and the drawings: they have one place
		room = max(min(room, leastDrawn), room-digits.Rows-2)
	}
	if room < leastDrawn {
		room = min(leastDrawn, height-len(lines)-foot+1)
	}
	if over := len(lines) + room + len(text) + len(answers) - height; over > 0 && m.note != "" && !q.needed { // news matters more than where to look
		q.hint = ""
		text = fullText(m, q, width, height)
	}
	drawn := m.closeDrawn(width, room)
	lines = append(lines, drawn...)
	onGround := len(drawn) > 0 && m.style.Depth != style.Letters
	lines = appendUnder(lines, m.closeText(q, text, width, height-len(lines)-len(answers), large), onGround)
	if over := len(lines) + len(answers) - height; over > 0 { // the answers matter more than the end of a long question
		lines = lines[:max(0, len(lines)-over)]
	}
	return append(lines, answers...), down(z, len(lines))
}

// appendUnder puts text under lines, with one empty row between them and not two. A row of ground is
// the margin of a drawing, and no gap.
func appendUnder(lines, text []string, onGround bool) []string {
	if !onGround && len(text) > 0 && style.Blank(lines[len(lines)-1]) && style.Blank(text[0]) {
		text = text[1:]
	}
	return append(lines, text...)
}

// withoutSide is a question of a check-out on a low page, without the list of open explanations:
// its rows are for the drawing, where each pixel is to be told apart. The hint says what shows it.
func (m Model) withoutSide(q query, width, height int) query {
	if height >= airyFrom || !m.page.traits(m).asks {
		return q
	}
	q = m.withoutSideAlone(q, height)
	with := q
	if with.hint += "; `a` shows what it may still be"; q.hint == "" {
		with.hint = "`a` shows what it may still be"
	}
	if len(m.st.suspects) > 0 && len(fullText(m, with, width, height)) <= mostText+1 {
		return with
	}
	return q
}

// withoutSideAlone is withoutSide with the hint as it was.
func (m Model) withoutSideAlone(q query, height int) query {
	if height < airyFrom && m.page.traits(m).asks {
		q.side = nil
	}
	return q
}

// eitherOr reports whether a step of a single test has no room for a drawing and large words
// with an empty row above them: then v shows the one or the other.
func (m Model) eitherOr(q query, width, height int) bool {
	if width >= narrow || m.of.sub == nil || m.page.traits(m).asks {
		return false
	}
	m.note = ""
	answers, _ := answersBelow(m, q, none, width, height)
	text := len(fullText(m, q, width, height))
	return 1+leastDrawn+1+digits.Rows+text+len(style.WithoutEnd(answers)) > height && digits.Rows+text+len(style.WithoutEnd(answers))+4 <= height
}

// finer reports whether the last of so many rows for the drawings and their legend makes a
// mark cover fewer pixels.
func (m Model) finer(width, rows int) bool {
	sc := m.scene()
	if sc.sub == nil || sc.sub.Bulb() || rows <= leastDrawn {
		return false
	}
	n := sc.abreast(width - 2*edge)
	each := (width - 2*edge - columnGap*(n-1)) / n
	per := func(height int) int { return canvas.New(sc.sub, nil, canvas.Rows, each, height, m.style.Depth).Per() }
	return per(rows-1) < per(rows-2)
}

// closeFoot is how many rows a question or the first of its check-out has at most below
// the drawings and the empty row after them, with the empty row before its answers. The
// note that comes and goes is not counted. On low pages it is leastFoot for nearly all.
func (m Model) closeFoot(q query, width, height int) int {
	first := m.firstFoot(q, width, height)
	m.note = ""
	answers, _ := answersBelow(m, q, none, width, height)
	text, below := len(fullText(m, q, width, height)), len(style.WithoutEnd(answers))
	switch {
	case m.onABulb(): // its questions are short and need no more than this one
		first = 0
	case width >= narrow && height < airyFrom:
		first = max(first, leastFoot)
	}
	return max(first, text+1+below)
}

// leastFoot is the rows below the drawings of a low page of which none has more in the check-outs
// and tests of small props: text of three rows and four of answers, or of four and three, and an
// empty one between.
const leastFoot = 3 + 1 + 4

// closeDrawn is the drawings in so many rows, without empty ones at their end. The
// background of a drawing ends with its last pixel, so that no text lies on it.
func (m Model) closeDrawn(width, rows int) (lines []string) {
	lines = m.scene().drawn(width-2*edge, max(0, rows))
	if rows <= leastDrawn {
		return m.onPanel(style.WithoutEnd(lines), width, 0)
	}
	return m.onPanel(m.withoutFree(lines), width, 0)
}

// closeText is the question between the drawings and the answers in so many rows: its
// words, unless they stand above the drawings, and its text, with the empty rows around them
// that there is room for.
func (m Model) closeText(q query, text []string, width, rows int, large bool) (lines []string) {
	var words []string
	spare := rows - len(text)
	if !large && spare > digits.Rows {
		words = closeWords(m, q, width, digits.Rows)
		spare -= len(words)
	}
	if spare > 0 {
		lines, spare = append(lines, ""), spare-1
	}
	if lines = append(lines, words...); len(words) > 0 && spare > 0 {
		lines, spare = append(lines, ""), spare-1
	}
	if lines = append(lines, text...); spare > 0 {
		lines = append(lines, "")
	}
	return lines
}

// firstFoot is how many rows the first question of the check-out has below its
// drawings, with the empty one before its answers: it has the most of these.
// It is 0 where there is no question before this one.
func (m Model) firstFoot(q query, width, height int) int {
	if !m.page.traits(m).asks || len(m.st.asked) == 0 {
		return 0
	}
	a := m.st.asked[0]
	m.note = ""
	first := query{question: style.Clean(a.Question), hint: "one row", items: answerItems(m, a.Answers), side: q.side}
	answers, _ := answersBelow(m, first, none, width, height)
	return len(fullText(m, first, width, height)) + 1 + len(style.WithoutEnd(answers))
}

// besideLarge is the room at the right of the large words, for how far the check-out
// has come and how bright it is.
const besideLarge = 26

// closeTop is the first rows of a page without room: the large words with progress and
// brightness at their right, or these alone where rows are fewer.
func closeTop(m Model, q query, width, rows int) []string {
	if width < 70 || rows < digits.Rows+leastDrawn {
		return []string{headRow(m, q, width)}
	}
	inner := width - 2*edge
	large := digits.Large(inner-besideLarge-2, digits.Rows, q.large...)
	right := closeProgress(m, q)
	lines := make([]string, digits.Rows)
	for i := range lines {
		l := ""
		if len(large) == digits.Rows {
			l = m.style.Strong.Render(large[i])
		}
		r := ""
		if i < len(right) {
			r = right[i]
		}
		lines[i] = "  " + style.Cell(l, inner-style.Width(r)) + r + "  "
	}
	return lines
}

// closeProgress is how far the check-out has come and how bright it is, in as many
// lines as the large words have.
func closeProgress(m Model, q query) (lines []string) {
	level, look := brightness(m)
	levels := style.Wrap(level, besideLarge)
	parts := strings.Split(q.progress, "; ")
	if style.Width(parts[0]) > besideLarge {
		parts = strings.Split(q.progress, ", ")
	}
	for _, part := range parts {
		for _, l := range style.Wrap(part, besideLarge) {
			if len(lines)+len(levels) < digits.Rows {
				lines = append(lines, m.style.AccentSign().Render(l))
			}
		}
	}
	for _, l := range levels {
		lines = append(lines, look.Render(l))
	}
	return lines
}

// closeWords are the question's words below the drawings in so many rows; none where they
// would be plain capitals, which say no more than the question.
func closeWords(m Model, q query, width, rows int) (lines []string) {
	large := digits.Large(width-2*edge, rows, q.large...)
	if len(large) > rows || len(large) < digits.Rows || strings.ContainsFunc(strings.Join(large, ""), unicode.IsLetter) {
		return nil
	}
	for _, l := range large {
		lines = append(lines, "  "+m.style.Strong.Render(l))
	}
	return lines
}
