package plan

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/memo"
	"example.org/ringout/internal/plan"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/style"
)

// A viewCache keeps the last page drawn, since View is called for every frame of light.
type viewCache struct {
	count         int
	rev           int // what the text was drawn from
	width, height int
	text          string

	gridOf         *plan.Plan
	gridPage       page
	gridW, gridH   int
	grid           []string
	linesOf        *plan.Plan
	linesPage      page
	linesW, linesH int
	lines          []string
	strips         int // rows of the drawing in them, with its legend
	head           memo.Last[headOf, int]
}

func (d *viewCache) next() int {
	d.count++
	return d.count
}

// View draws the page.
func (m Model) View(width, height int) string {
	d := m.drawn
	if d.rev == m.rev && d.width == width && d.height == height && d.text != "" {
		return d.text
	}
	if m.doc == nil && m.failed == "" && m.kept == nil && m.note == "" {
		return style.Fit(strings.Join(portrait.NoPropPage(m.style, width, height, "This page plans a prop: cuts, wires, volts, fuses and addresses."), "\n"), width, height)
	}
	m.size.Width, m.size.Height = width-2*inset, height
	m = m.inSight()
	text := style.Inset(m.draw(m.size.Width, height))
	d.rev, d.width, d.height, d.text = m.rev, width, height, text
	return text
}

func (m Model) draw(width, height int) string {
	if m.doc == nil {
		say := "No prop yet: fill in Set-up (S), or start with ringout FILE."
		if m.failed != "" {
			say = "This prop cannot be shown: " + m.failed
		}
		if m.kept != nil {
			say += " " + m.Remind()
		}
		if m.note != "" {
			say = m.note
		}
		return style.Fit(" "+strings.Join(style.Wrap(say, width-2), "\n "), width, height)
	}
	if m.layout() == narrow {
		page := m.narrowPage()
		lines := append([]string{m.tabs(width)}, make([]string, m.tabGap(page))...)
		return style.Fit(strings.Join(append(lines, page...), "\n"), width, height)
	}
	left := style.FitLines(strings.Join(m.left(), "\n"), m.leftWidth(), height)
	right := style.FitLines(strings.Join(m.right(), "\n"), m.rightWidth(), height)
	rule := m.style.Quiet.Render("│") + " "
	for i := range left {
		left[i] += rule + right[i]
	}
	return strings.Join(left, "\n")
}

// cautionRows are those of the caution of a narrow page; a wider one has it in its left column.
func (m Model) cautionRows() int { return len(m.briefCaution()) }

// briefCaution is the caution of a narrow page, in one line if it fits.
func (m Model) briefCaution() (out []string) {
	if m.layout() != narrow {
		return nil
	}
	for _, l := range style.Wrap(cautionInShort, m.size.Width-2) {
		out = append(out, " "+strings.Replace(l, "Power off", m.style.Strong.Render("Power off"), 1))
	}
	return out
}

// tabGap is the number of empty rows below the names of the pages of a narrow page, which has one if it is free.
func (m Model) tabGap(page []string) int {
	if tabRows+len(style.WithoutEnd(page)) < m.size.Height {
		return 1
	}
	return 0
}

// narrowPage is one page by itself, without the tabs.
func (m Model) narrowPage() []string {
	if m.pageNow() == (figuresPage{}) {
		return m.left()
	}
	out := append(append(m.above(m.rightWidth()), ""), style.WithoutEnd(m.pageBody())...)
	out = append(append(out, ""), m.briefCaution()...)
	if m.note == "" {
		return out
	}
	said := style.WrapKeys(m.offering(m.note), m.rightWidth()-3, style.Text{}, m.style.Accent) // the answer to the last key takes the last rows
	rows := max(len(said), min(len(out), m.size.Height-1))
	out = append(out[:rows-len(said)], said...)
	for i := rows - len(said); i < rows; i++ {
		out[i] = " " + out[i]
	}
	return out
}

// above is the head of every page of results: its large text and the summary.
func (m Model) above(width int) []string {
	var out []string
	if large := m.large(width); large != nil {
		out = append(large, "")
	}
	return append(out, m.headline(width-2)...)
}

// large is the page's large text in large letters, or in one bold line if there is no
// room.
func (m Model) large(width int) []string {
	if m.plan == nil || m.failed != "" {
		return nil
	}
	says := m.pageNow().large(m.plan, level(m.level))
	look := m.style.ForLarge(says.bad).Strong
	var out []string
	for _, l := range digits.Large(width-2, m.commonRows(width), says.texts...) {
		out = append(out, " "+look.Render(l))
	}
	return out
}

// A headOf is all that the height of the large words of all pages hangs on.
type headOf struct {
	plan  *plan.Plan
	level float64
	width int
	size  tea.WindowSizeMsg
}

// commonRows is how high the large words are at most: on all pages as high as on the one that has least room for
// them, so that what is below keeps its place. A bulb has no drawing that could move.
func (m Model) commonRows(width int) int {
	if m.plan.Prop.Bulb() {
		return m.largeRows()
	}
	return m.drawn.head.Get(headOf{m.plan, m.level, width, m.size}, func() int {
		rows := m.largeRows()
		for _, p := range pages {
			if large := p.large(m.plan, level(m.level)); m.has(p) {
				rows = min(rows, max(digits.Rows, len(digits.Large(width-2, rows, large.texts...))))
			}
		}
		return rows
	})
}

// right is the results: the summary, one page, and the drawing if there is room.
func (m Model) right() []string {
	w := m.textWidth()
	body, above, below := m.pageBody(), m.air(), m.air()
	spare := 0
	if above == 0 { // the page has no free rows
		spare = min(2, spareRows(body))
		above, below = min(1, spare), spare/2
	}
	out := append(m.above(m.rightWidth()), make([]string, above)...)
	out = append(out, m.tabs(m.rightWidth()))
	out = append(out, make([]string, below)...)
	head := len(out)
	out = append(out, withoutRows(body, spare)...)
	beside := m.rightWidth() - w - 1
	if beside <= 0 {
		return m.withLamp(out)
	}
	return append(out[:head:head], style.Beside(out[head:], m.drawing(beside, m.size.Height-head), w+1)...)
}

// spareRows is the number of empty rows at the end of a page, less one, before the line
// that says what follows.
func spareRows(body []string) int {
	n := len(body)
	if n > 0 && strings.Contains(body[n-1], "…") {
		n--
	}
	free := 0
	for free < n && style.Blank(body[n-1-free]) {
		free++
	}
	if n < len(body) {
		return max(0, free-1)
	}
	return free
}

// withoutRows is a page without so many of these.
func withoutRows(body []string, rows int) []string {
	at := len(body)
	if at > 0 && strings.Contains(body[at-1], "…") {
		at--
	}
	return append(body[:at-rows:at-rows], body[at:]...)
}

// tabs name the pages of this layout; the one shown is marked.
func (m Model) tabs(width int) string {
	var parts []string
	for _, p := range pages {
		switch {
		case !m.has(p):
		case p == m.pageNow():
			parts = append(parts, m.style.Accent.Render("▸"+p.name()))
		default:
			parts = append(parts, " "+m.style.Quiet.Render(p.name()))
		}
	}
	all, close := strings.Join(parts, " "), strings.Join(parts, "")
	now := m.style.Accent.Render("▸" + m.pageNow().name())
	return style.Cell(style.FirstFit(width, all, strings.Replace(close, now, " "+now, 1), close), width)
}

// pageBody is the page shown, scrolled, in exactly its rows.
func (m Model) pageBody() []string {
	w, rows := m.textWidth(), m.pageRows()
	lines := m.pageLines(w)
	from := min(m.scroll, max(0, len(lines)-rows))
	out := append([]string(nil), lines[from:min(len(lines), from+rows)]...)
	if from+rows < len(lines) {
		out, _ = style.Cut(lines[from:], rows)
		if whole := m.drawingAbove(); from == 0 && len(out) <= whole && whole <= rows { // the hint of the key says that more follows
			out = lines[:whole:whole]
		} else {
			key := "pgdn"
			if m.keyless() {
				key = ""
			}
			out = append(out, m.style.More(" … more below", key))
		}
	}
	for len(out) < rows {
		out = append(out, "")
	}
	return out
}

// drawingAbove is the number of rows of the drawing that the page of power begins with, with its legend; 0 for none.
func (m Model) drawingAbove() int {
	if m.pageNow() != page(powerPage{}) || m.layout() == wide || m.plan.Prop.Bulb() {
		return 0
	}
	return m.drawn.strips
}
