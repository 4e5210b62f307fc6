package check

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/style"
)

// A query is the content of a question page.
type query struct {
	progress       string
	large          []string // the question in ever fewer words; empty for none
	question, hint string
	needed         bool // the hint names keys: it is on the lowest page too
	filling        bool // the hint is said only in a row that would be empty else
	items          []item
	typed          func(width int) []string       // a line being typed and its keys, in place of items; nil for none
	typing         bool                           // such a line can be begun: its rows are kept free
	side           func(width, rows int) []string // beside the answers; nil for nothing
	paired         bool                           // the answers may be in two columns, in fewer words
	tight          bool                           // as few rows as there are
	columns        bool                           // they are in as many columns as they have room in
	narrow         bool                           // the page is
}

// asking draws a page with a question, drawings, and answers below. zones are the
// places of the answers, for the mouse.
func asking(m Model, q query, chosen, width, height int) ([]string, []zone) {
	if !hasRoom(width, height) {
		if lines, z := askingTight(m, m.withoutSideAlone(q, height), chosen, width, height); lines != nil {
			return lines, z
		}
		return askingClose(m, q, chosen, width, height)
	}
	if lines, z := askingBeside(m, q, chosen, width, height); lines != nil {
		return lines, z
	}
	bottom, z := answersBelow(m, q, chosen, width, height)
	foot := max(len(bottom), mostFoot)
	large := largeRows(height, height-foot-m.textRows()-2)
	for large > digits.Rows && !questionsFit(width, large) {
		large -= digits.Rows
	}
	lines, less := questionTop(m, q, width, height, large)
	room := height - len(lines) - less - foot
	if room < 0 { // the answers matter more than the end of a long question
		lines = lines[:max(0, len(lines)+room)]
		room = 0
	}
	drawn := m.withoutFree(m.scene().drawn(width-2*edge, room)) // the answers come right below; rows left over are at the foot
	lines = append(lines, m.onPanel(drawn, width, room-len(drawn))...)
	if !style.Blank(bottom[0]) {
		lines = append(lines, "")
	}
	return append(lines, bottom...), down(z, len(lines))
}

// mostFoot is the largest number of rows below the drawings: eleven answers, or fewer
// with an empty row before them and one for a note. Every question keeps that many rows
// free, so that the drawings keep their size and place.
const mostFoot = 11

// onPanel is drawings with their legends on their ground, as wide as a page.
func (m Model) onPanel(drawn []string, width, spare int) []string {
	out, _ := canvas.Panel(m.style, drawn, width-2*edge, min(1, spare))
	for i := range out {
		out[i] = style.Cell(strings.Repeat(" ", edge-1)+out[i], width)
	}
	return out
}

// withoutFree is a page down to its drawings without the free rows at the end, but for a bulb the
// row of ground below it, without which it looks cut off; without colours ground is not seen.
func (m Model) withoutFree(lines []string) []string {
	out := style.WithoutEnd(lines)
	if m.onABulb() && m.style.Depth != style.Letters && len(out) < len(lines) {
		out = lines[:len(out)+1]
	}
	return out
}

// mostText is the number of rows for the text of a question on pages with room. A shorter
// text leaves the first row of a check-out's question empty, so that the drawings keep their
// size and place, and the last one of a single test's step.
const mostText = 2

// textRows is mostText, and one row for a bulb, whose questions are short.
func (m Model) textRows() int {
	if m.onABulb() {
		return 1
	}
	return mostText
}

// onABulb reports whether what is checked is a bulb.
func (m Model) onABulb() bool { return m.of.sub != nil && m.of.sub.Bulb() }

// edge is the number of free columns at the left and at the right of a page.
const edge = 2

// questionTop is progress, the question in large letters of so many rows, the full
// question, and the hint; less is how many rows fewer they take than the longest of them.
func questionTop(m Model, q query, width, height, large int) (lines []string, less int) {
	lines = []string{headRow(m, q, width)}
	text := fullText(m, q, width, height)
	rows := 1 + m.textRows() + 1
	if large > 0 && len(q.large) > 0 {
		rows += large + 2
		if len(text) <= m.textRows() { // else its last row takes this one
			lines = append(lines, "")
		}
		for _, l := range digits.Large(width-2*edge, large, q.large...) {
			lines = append(lines, "  "+m.style.Strong.Render(l))
		}
		lines = append(lines, "")
	}
	lines = append(append(lines, text...), "")
	if less = max(0, rows-len(lines)); m.page.traits(m).asks {
		return append(make([]string, less), lines...), 0 // the drawing keeps its place
	}
	return lines, less
}

// headRow is the row with the progress and the brightness.
func headRow(m Model, q query, width int) string {
	level, look := brightness(m)
	at := q.progress
	if short, _, ok := strings.Cut(at, ";"); ok && ansi.StringWidth(at+level) > width-3*edge {
		at = short
	}
	left := style.Cell("  "+m.style.AccentSign().Render(at), width-ansi.StringWidth(level)-edge)
	return left + look.Render(level) + "  "
}

// fullText is the full question and the hint. A short hint is added to the last row of
// the question.
func fullText(m Model, q query, width, height int) (lines []string) {
	question := style.Wrap(q.question, width-2*edge)
	for _, l := range question {
		lines = append(lines, "  "+m.style.Strong.Render(l))
	}
	if q.hint == "" || height < 19 && !q.needed || q.filling && len(lines) >= m.textRows() {
		return lines
	}
	hint, last := style.WrapKeys(words.Sentence(q.hint), width-2*edge, m.style.Quiet, m.style.Accent), len(lines)-1
	spare := len(lines) < m.textRows() && width >= narrow // a row that would be empty else
	if last >= 0 && !spare && len(hint) == 1 && style.Width(question[last])+style.Width(hint[0]) <= width-3*edge {
		lines[last] += "  " + hint[0]
		return lines
	}
	return append(lines, style.Indent(hint, edge)...)
}

// hasRoom reports whether a page has room for the question in large letters.
func hasRoom(width, height int) bool { return width >= 100 && height >= 30 }

// brightness is the level in force and the limit that lowers it.
func brightness(m Model) (string, style.Text) {
	w := m.want()
	switch {
	case w.Ended:
		return "stream ended", m.style.Warn
	case m.light.off:
		return "light off, l lights it again", m.style.Warn
	case m.bench.any && m.bench.snap.Limited:
		return fmt.Sprintf("LIMITED to %s", words.Percent(m.bench.snap.Level)), m.style.Warn
	case m.light.lift > m.light.level:
		return fmt.Sprintf("BRIGHTER NOW: %s", words.Percent(m.light.lift)), m.style.Warn
	}
	return fmt.Sprintf("level %s", words.Percent(w.Level)), style.Text{}
}

// answersBelow is the answers, the open explanations beside them, and a note.
func answersBelow(m Model, q query, chosen, width, height int) (lines []string, zones []zone) {
	left := width
	q.narrow = width < narrow
	q.paired = q.narrow || height < airyFrom
	beside := width >= 70 && q.side != nil
	if beside {
		left = width * 23 / 40
	}
	lines, zones = q.answers(m.style, chosen, left, height)
	if beside {
		lines = withSide(q, lines, left, width, height)
	}
	many := len(lines) > mostFoot-2 // they take the empty rows
	if hasRoom(width, height) && !many {
		lines = append([]string{style.Cell("", width)}, lines...)
		zones = down(zones, 1)
	}
	note := noteBelow(m, width)
	lines = append(lines, note...)
	if len(note) == 0 && height >= airyFrom && !(hasRoom(width, height) && many) {
		lines = append(lines, style.Cell("", width))
	}
	return lines, zones
}

// noteBelow is the note on the last key, or else the trouble, in lines.
func noteBelow(m Model, width int) (lines []string) {
	note, render := m.note, m.style.Strong.Render
	if note == "" {
		note, render = troubleText(m), m.style.Warn.Render
	}
	if note == "" {
		return nil
	}
	for _, l := range style.Wrap(note, width-2*edge) {
		lines = append(lines, style.Cell("  "+render(l), width))
	}
	return lines
}

// answers draws the items, or the line being typed in their place.
func (q query) answers(st style.Styles, chosen, width, height int) (lines []string, zones []zone) {
	lines, zones = listed(st, q.items, chosen, width)
	const few = 3 // with a line to type, for which a narrow page has the rows of two
	if height < airyFrom && (len(q.items) > few || len(q.items) == few && q.typing && q.narrow) {
		lines, zones = listedTight(st, q.items, chosen, width)
		if pairs, z := listedPaired(st, q.items, chosen, width); q.paired && pairs != nil && len(pairs) < len(lines) {
			lines, zones = pairs, z
		}
	}
	if q.columns {
		lines, zones = q.inColumns(st, lines, zones, chosen, width)
	}
	for q.typing && len(lines) < typingRows(width) {
		lines = append(lines, style.Cell("", width))
	}
	if q.typed != nil {
		return typedLines(q.typed(width), width, len(lines)), nil
	}
	return lines, zones
}

// inColumns is the items in fewer rows than lines, in short forms if need be; lines where they have no room.
func (q query) inColumns(st style.Styles, lines []string, zones []zone, chosen, width int) ([]string, []zone) {
	for _, draw := range []func(style.Styles, []item, int, int) ([]string, []zone){listedColumns, listedPaired} {
		if all, z := draw(st, q.items, chosen, width); all != nil && len(all) < len(lines) {
			return all, z
		}
	}
	return lines, zones
}

// typedLines are a line being typed and its keys in as many rows as the answers have, so
// that nothing above them moves.
func typedLines(typed []string, width, rows int) (lines []string) {
	for _, l := range typed {
		lines = append(lines, style.Cell(strings.Repeat(" ", edge)+l, width))
	}
	for len(lines) < rows {
		lines = append(lines, style.Cell("", width))
	}
	return lines
}

// withSide puts q.side beside lines that are left cells wide.
func withSide(q query, lines []string, left, width, height int) []string {
	room := max(openRows, len(lines))
	switch {
	case height < 19:
		room = len(lines)
	case height < airyFrom && q.typing: // so many readings at each step
		room = max(4, len(lines))
		if q.columns {
			room = max(2, len(lines))
		} else if q.tight {
			room = max(3, len(lines))
		}
		for len(lines) < room {
			lines = append(lines, style.Cell("", left))
		}
	}
	for i, side := range q.side(width-left-1-edge, room) {
		if i >= len(lines) {
			lines = append(lines, style.Cell("", left))
		}
		lines[i] += " " + side
	}
	return lines
}

// answerItems are answers on their keys, and "not sure" on 0.
func answerItems(m Model, answers []checkout.Answer) []item {
	var out []item
	for _, a := range answers {
		out = append(out, item{digit: none, key: a.Press, text: a.Text, far: farText(a), brief: briefText(a), sign: tokenSwatch(m.style, a.Sees, m.scene().level)})
	}
	return level(append(out, item{digit: checkout.NotSure, text: "not sure", far: "not sure", quiet: true}))
}

// level gives items without a swatch the space of one if others have one.
func level(items []item) []item {
	any := slices.ContainsFunc(items, func(it item) bool { return it.sign != "" })
	for i := range items {
		if any && items[i].sign == "" {
			items[i].sign = "    "
		}
	}
	return items
}
