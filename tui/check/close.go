package check

import (
	"strings"

	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/style"
)

// leastDrawn is a caption and as few rows as a drawing is worth.
const leastDrawn = 4

// askingClose is asking on a page without room. The drawings come right below the
// first rows, and all questions leave them the same rows, so that they keep their size
// and place; the question and its answers follow.
func askingClose(m Model, q query, chosen, width, height int) (lines []string, zones []zone) {
	answers, z := answersBelow(m, q, chosen, width, height)
	text := fullText(m, q, width, height)
	first := m.firstFoot(q, width, height)
	if first > 0 && len(text)+len(answers) > first && len(m.note) > 0 { // news matters more than where to look
		q.hint = ""
		text = fullText(m, q, width, height)
	}
	foot := max(len(text)+len(answers), first)
	lines = closeTop(m, q, width, height-foot)
	large := len(lines) > 1
	rows := height - foot - len(lines)
	foot += closeAir(rows, large)
	if large && height > 25 {
		lines = append(lines, "")
	}
	drawn, free := m.closeDrawn(width, height-foot-len(lines), large)
	if large && free > 0 && len(lines) == digits.Rows { // nothing touches the large words
		lines, drawn = append(lines, ""), drawn[:len(drawn)-1]
	}
	spare := foot - len(text) - len(answers)
	if large {
		text = parted(text, spare)
	} else {
		words := closeWords(m, q, width, spare)
		if spare -= len(words); len(words) > 1 && free > 0 { // rows that the drawing leaves, too
			drawn, spare = drawn[:len(drawn)-free], spare+free
		}
		if len(words) > 1 && spare == 0 { // large ones do not stand on the drawing: plain ones between empty rows
			words = closeWords(m, q, width, 1)
			spare = digits.Rows - 1
		}
		text = worded(words, text, spare)
	}
	lines = append(lines, drawn...)
	lines = append(lines, text...)
	if over := len(lines) + len(answers) - height; over > 0 { // the answers matter more than the end of a long question
		lines = lines[:max(0, len(lines)-over)]
	}
	return append(lines, answers...), down(z, len(lines))
}

// closeDrawn is the drawings in a given number of rows, and how many of them are free at their end.
// The ground of a drawing ends with its last pixel: words do not stand on it. A bulb fills
// all rows, so it leaves one where the drawings are below the large words.
func (m Model) closeDrawn(width, rows int, below bool) (lines []string, free int) {
	rows = max(0, rows)
	bulb := below && m.of.sub != nil && m.of.sub.Bulb() && rows > leastDrawn
	if bulb {
		rows--
	}
	for _, l := range m.scene().drawn(width-2*edge, rows) {
		lines = append(lines, strings.Repeat(" ", edge)+style.Cell(l, width-edge))
	}
	if bulb {
		lines = append(lines, "")
	}
	for i := len(lines) - 1; i >= 0 && style.Blank(lines[i]); i-- {
		lines[i], free = style.Cell("", width), free+1
	}
	return lines, free
}

// closeAir is how many of the rows of the drawings the question gets too: some where
// there are many, so that nothing touches, and those for its words where these are not
// above: three for large ones, or one for capitals.
func closeAir(rows int, large bool) int {
	const enough = leastDrawn + 6
	switch {
	case large && rows < enough, rows <= leastDrawn:
		return 0
	case large:
		return 2
	case rows < leastDrawn+digits.Rows:
		return 1
	}
	return min(digits.Rows+2, max(min(digits.Rows+1, rows-leastDrawn), rows-enough+digits.Rows))
}

// parted is text with an empty row before it and one after it, as far as there are spare
// ones.
func parted(text []string, spare int) []string {
	if spare > 1 {
		text = append([]string{""}, text...)
	}
	if spare > 0 {
		text = append(text, "")
	}
	return text
}

// worded is text below its words. Empty rows, as far as there are spare ones, stand first
// between large words and what is above them, then around the text.
func worded(words, text []string, spare int) []string {
	if len(words) <= 1 {
		return append(words, parted(text, spare)...)
	}
	var rows []string
	if spare > 0 {
		rows = make([]string, max(1, spare-2))
		spare -= len(rows)
	}
	return append(append(rows, words...), parted(text, spare)...)
}

// firstFoot is how many rows the first question of the check-out has below its
// drawings: it has the most answers.
// It is 0 where there is no question before this one.
func (m Model) firstFoot(q query, width, height int) int {
	if !m.page.asks() || len(m.st.asked) == 0 {
		return 0
	}
	a := m.st.asked[0]
	m.note = ""
	first := query{question: style.Clean(a.Question), hint: "one row", items: answerItems(m, a.Answers), side: q.side}
	answers, _ := answersBelow(m, first, none, width, height)
	return len(fullText(m, first, width, height)) + len(answers)
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
				lines = append(lines, m.style.Accent.Render(l))
			}
		}
	}
	for _, l := range levels {
		lines = append(lines, look.Render(l))
	}
	return lines
}

// closeWords are the question's words below the drawings, as large as the rows that the
// answers leave.
func closeWords(m Model, q query, width, spare int) (lines []string) {
	large := digits.Large(width-2*edge, min(digits.Rows, spare), q.large...)
	if len(large) > spare {
		return nil
	}
	for _, l := range large {
		lines = append(lines, "  "+m.style.Strong.Render(l))
	}
	return lines
}
