package record

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/style"
)

// edge is the number of free columns at the left and at the right of the page.
const edge = 2

// Heights of pages, in rows: from the first on there is room for large letters, from
// the second for the rest as well.
const (
	largeHeight = 14
	roomyHeight = 20
)

// View draws the page.
func (m Model) View(width, height int) string {
	if m.prop == nil && m.note == "" && m.typing == nil {
		return style.Fit(strings.Join(portrait.NoPropPage(m.style, width, height, "This page keeps what was checked on a prop, with your notes."), "\n"), width, height)
	}
	m.size.Width, m.size.Height = width, height
	inner := width - 2*edge
	lines := slices.Concat(style.Indent(m.head(inner), edge), m.middle(inner), style.Indent(m.foot(inner), edge))
	return style.Fit(strings.Join(lines, "\n"), width, height)
}

// middle is the visible part of the body.
func (m Model) middle(width int) []string {
	rows := m.rows()
	var out []string
	switch {
	case m.listing():
		out = m.list(width, rows)
	case m.empty() && len(m.body(m.textWidth(width))) <= rows:
		out = style.Indent(m.filled(m.body(m.textWidth(width)), width, rows), edge)
	default:
		out = style.Indent(m.text(width, rows), edge)
	}
	return append(out, make([]string, max(0, rows-len(out)))...)
}

// text is a page that is no list, from the scrolled line on, with the prop at its right if
// there is room.
func (m Model) text(width, rows int) []string {
	left := m.textWidth(width)
	all := m.body(left)
	from := min(m.top(), len(all))
	out := more(m.style, all[from:], rows, " below", m.offered("pgdn"))
	if left == width {
		return out
	}
	return style.Beside(out, m.picture(width-left-portrait.Gap, rows), left+portrait.Gap)
}

// more is as many lines as fit; the last names the number of the others and the key that
// shows them.
func more(st style.Styles, lines []string, rows int, where, key string) []string {
	out, left := style.Cut(lines, rows)
	if left > 0 {
		out = append(out, st.More(fmt.Sprintf("… %d more%s", left, where), key))
	}
	return out
}

// list is the list, with the chosen entry beside it where the page is wide, else below
// it. Its lines begin in the margin, where the sign of the chosen one stands.
func (m Model) list(width, rows int) []string {
	left := m.listWidth(width)
	if m.beside(width, rows, left) { // the drawing takes the right half, from the top on
		left = m.widest(width, rows, left)
		if free := rows - m.entries() - 1; m.few(rows) && m.cutIn(left) && !m.inRows(width-left-portrait.Gap, free) {
			return append(append(m.listRows(width+edge, rows), ""), m.entryAndProp(width, free, left)...)
		}
		return style.Beside(m.listAndEntry(width, rows, left), m.picture(width-left-portrait.Gap, rows), left+edge+portrait.Gap)
	}
	return m.listAndEntry(width, rows, left)
}

// widest is the width of a list, at least left, that leaves the prop its shape at the right: notes are cut less.
func (m Model) widest(width, rows, left int) int {
	room := min(width-left-portrait.Gap, 2*rows+4) // a cell is twice as high as wide; signs of the way stand at the sides
	if m.fits(fmt.Sprintf("%p %d %d", m.prop, room, rows), func() bool { return !m.inRows(room, rows) }) {
		return width - room - portrait.Gap
	}
	return left
}

// beside reports whether the prop has its shape at the right of list and entry, and not below
// the list.
func (m Model) beside(width, rows, left int) bool {
	below := rows - min(rows, len(m.history.Entries)) - 1
	return m.wide() && m.fits(fmt.Sprintf("%p %d %d %d %d", m.prop, width, rows, left, below), func() bool {
		return m.inRows(left, below) && !m.inRows(width-left-portrait.Gap, rows)
	})
}

// listAndEntry is the list and the chosen entry.
func (m Model) listAndEntry(width, rows, left int) []string {
	out, key := m.listRows(left+edge, rows), m.wholeKey()
	if !m.wide() || left >= m.listWidth(width) && m.beside(width, rows, m.listWidth(width)) {
		return m.entryBelow(out, width, rows, left, key)
	}
	if free := rows - len(out) - 1; free > 0 {
		if m.few(rows) && m.cutIn(left) { // the prop is at the right, as where no note is typed
			return append(append(m.listRows(width+edge, rows), ""), m.entryAndProp(width, free, width-left-portrait.Gap)...)
		}
		out = append(append(out, ""), style.Indent(m.picture(left, free), edge)...)
	}
	return style.Beside(out, more(m.style, m.content(width-left-portrait.Gap), rows, "", key), left+edge+portrait.Gap)
}

// entryBelow is the list and the chosen entry below it, which has the prop in rows at its right where there
// is room for both.
func (m Model) entryBelow(list []string, width, rows, left int, key string) []string {
	const enough, ample = 3, 8 // with fewer lines it is left out, or in short
	free := rows - len(list) - 1
	if free < enough {
		return list
	}
	shown := left
	var prop []string
	if !m.wide() && width >= leastBeside {
		shown = width - portrait.Gap - rowsWidth
		prop = m.picture(rowsWidth, free)
	}
	if prop == nil {
		shown = left
	}
	entry := m.content(shown)
	if len(entry) > free && free < ample {
		entry = m.inShort(shown)
	}
	below := style.Indent(more(m.style, entry, free, "", key), edge)
	if prop != nil {
		below = style.Beside(below, prop, shown+edge+portrait.Gap)
	}
	return append(append(list, ""), below...)
}

// rowsWidth is the width of a prop in rows beside a text: two groups of ten pixels, or of five marks, with
// their number. leastBeside is that of both.
const (
	rowsWidth   = 28
	leastBeside = 76
)

// wholeKey opens the chosen entry.
func (m Model) wholeKey() string { return m.offered("enter") }

// offered is a key that a page offers: none while keys type a line, or answer the bench.
func (m Model) offered(name string) string {
	if m.typing != nil || m.asking {
		return ""
	}
	return name
}

// entryAndProp is the chosen entry, so wide, with the prop at its right: the rows below a list over both.
func (m Model) entryAndProp(width, rows, entry int) []string {
	text := style.Indent(more(m.style, m.content(entry), rows, "", m.wholeKey()), edge)
	return style.Beside(text, m.picture(width-entry-portrait.Gap, rows), entry+edge+portrait.Gap)
}

// few reports whether the entries are so few that their list may be over the whole width.
func (m Model) few(rows int) bool { return m.entries()*mostShare <= rows }

// mostShare is the part of a page, as one of so many, that a list over its whole width takes at most.
const mostShare = 5

// cutIn reports whether a line of the list is cut in a width.
func (m Model) cutIn(width int) bool {
	n, from := len(m.history.Entries), m.top()
	for row := from; row < min(n, from+m.rows()); row++ {
		if i := n - 1 - row; strings.Contains(m.listLine(i, m.history.Entries[i], width+edge), "…") {
			return true
		}
	}
	return false
}

// listRows are the visible entries, since a record may have thousands.
func (m Model) listRows(width, rows int) (out []string) {
	n, from := len(m.history.Entries), m.top()
	for row := from; row < min(n, from+rows); row++ {
		i := n - 1 - row // the newest is on top
		out = append(out, m.listLine(i, m.history.Entries[i], width))
	}
	if left := n - from - rows; left > 0 {
		out[rows-1] = strings.Repeat(" ", edge) + m.style.More(fmt.Sprintf("… %d more below", left+1), m.offered("↓"))
	}
	return out
}

// wide reports whether the chosen entry is beside the list.
func (m Model) wide() bool { return m.size.Width >= 100 && len(m.history.Entries) > 0 }

// Widths of the entry beside the list, whose lines are rarely longer, and of a list in which
// few notes are cut.
const (
	entryWidth = 66
	mostList   = 110
)

func (m Model) listWidth(width int) int {
	if m.wide() {
		return max(46, min(56, width-60), width*42/100, min(width-entryWidth, mostList))
	}
	return width
}

// textWidth is the width of the text of a page with the prop at its right.
func (m Model) textWidth(width int) int {
	switch {
	case m.page.compared() != nil && width >= leastBeside && width < 112 && len(m.page.lines(m, width)) <= m.rows():
		return width // its columns are all in sight
	case !m.empty() && !m.listing() && width >= leastBeside && width < 112:
		return m.narrower(width)
	case m.empty() && width >= leastBeside:
		return max(44, min(width/2, 96))
	case m.empty(), width < 112, m.listing():
		return width
	case m.page == page(entryPage{}):
		return max(62, width/2) // its longest lines are broken, those of a comparison are columns
	}
	return max(72, width*11/20)
}

// mostBroken is how many lines more a text may have for the sake of the prop at its right.
const mostBroken = 12

// narrower is the width of a text that has hardly more lines with the prop at its right than
// without, else the whole width.
func (m Model) narrower(width int) int {
	left := width - portrait.Gap - rowsWidth
	if m.fits(m.pageKey(width), func() bool {
		return m.prop != nil && len(m.page.lines(m, left)) <= len(m.page.lines(m, width))+mostBroken
	}) {
		return left
	}
	return width
}

// rows is the number of visible lines of the body.
func (m Model) rows() int {
	inner := m.size.Width - 2*edge
	return max(1, m.size.Height-len(m.head(inner))-len(m.foot(inner)))
}

// top is the first line of the body that is shown.
func (m Model) top() int {
	if !m.listing() {
		return max(0, min(m.scroll, m.scrollMost()))
	}
	n, rows := len(m.history.Entries), m.rows()
	row := n - 1 - m.at // the newest is on top
	if row < rows-1 || n <= rows {
		return 0
	}
	return min(row-rows+2, n-rows)
}

// scrollMost is the largest scroll of a page that is no list.
func (m Model) scrollMost() int {
	if m.prop == nil {
		return 0
	}
	return max(0, len(m.body(m.textWidth(m.size.Width-2*edge)))-m.rows())
}

// head is the lines above the body, from a cache: it is needed several times for a view,
// and large letters take time.
func (m Model) head(width int) []string {
	if m.typing != nil || m.prop == nil {
		return m.layHead(width)
	}
	of := m.pageKey(width) + fmt.Sprint(m.marks, m.size, len(m.due), m.asking)
	if m.headed.of != of {
		*m.headed = layoutCache{of, m.layHead(width)}
	}
	return slices.Clone(m.headed.lines)
}

// layHead is the title, the line being typed, the result of the page in large letters, and
// above the list the reminders.
func (m Model) layHead(width int) []string {
	title := m.page.title(m)
	if m.reading && len(m.history.Entries) == 0 {
		title += "  " + m.style.Quiet.Render("reading")
	}
	lines := []string{style.Cell(title, width)}
	if m.typing != nil {
		lines = append(append(lines, ""), m.typing.view(m.style, width)...)
	}
	lines = append(lines, m.largely(width)...)
	if due := m.dueInShort(width); m.isList() && m.typing == nil && len(due) > 0 {
		if len(lines) > 1 {
			lines = append(lines, "")
		}
		lines = append(lines, due...)
	}
	return append(lines, "")
}

// largely is the typed text, or the result of the page, in large letters. An empty record
// has them below its text.
func (m Model) largely(width int) []string {
	if m.prop == nil || m.size.Height < largeHeight {
		return nil
	}
	rows := max(4, (m.size.Height+1)/6+1)
	switch {
	case m.typing != nil && m.typing.text.String() == "":
		return nil
	case m.typing != nil:
		return portrait.Words(m.style, width, rows, lineNames[m.typing.what]+": "+m.typing.text.String(), m.typing.text.String())
	case m.empty():
		return nil
	}
	says := m.page.large(m)
	return portrait.Words(m.style.ForLarge(says.Bad), width, rows, says.Texts...)
}

// foot is the note on the last key, and the notes to be written.
func (m Model) foot(width int) []string {
	var out []string
	if m.note != "" {
		l := plainLabel("")
		if m.bad {
			l = warning("!")
		}
		out = append(out, m.labelled(l, m.note, width)...)
	}
	if m.held != "" {
		out = append(out, m.labelled(warning("WAITING"), "for "+style.Clean(m.held)+", which another program holds: the note is recorded once that lets go.", width)...)
	}
	if m.typing == nil && len(m.pending) > 0 {
		out = append(out, m.labelled(warning("NOT RECORDED:"), strings.TrimSuffix(strings.TrimPrefix(m.why, "not recorded: "), ".")+
			". Press w to record the note elsewhere; it is kept until you leave.", width)...)
	}
	if len(out) > 0 {
		out = append([]string{""}, out...)
	}
	return out
}
