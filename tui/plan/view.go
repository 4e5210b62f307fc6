package plan

import (
	"strings"

	"example.org/ringout/internal/plan"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/style"
)

// A viewCache keeps what was drawn last: a page is asked for again with every frame of
// light.
type viewCache struct {
	count         int
	rev           int // what the text was drawn from
	width, height int
	text          string

	gridOf         *plan.Plan
	gridW, gridH   int
	grid           []string
	linesOf        *plan.Plan
	linesPage      page
	linesW, linesH int
	lines          []string
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
		return style.Fit(strings.Join(portrait.NoPropPage(m.style, width, height), "\n"), width, height)
	}
	m.size.Width, m.size.Height = width-2*inset, height
	m = m.inSight()
	text := style.Inset(m.draw(m.size.Width, height))
	d.rev, d.width, d.height, d.text = m.rev, width, height, text
	return text
}

func (m Model) draw(width, height int) string {
	if m.doc == nil {
		say := "No prop yet: fill in Set-up, or start with ringout FILE."
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
		lines := append([]string{m.tabs(width)}, m.narrowPage()...)
		return style.Fit(strings.Join(lines, "\n"), width, height)
	}
	left := style.FitLines(strings.Join(m.left(), "\n"), m.leftWidth(), height)
	right := style.FitLines(strings.Join(m.right(), "\n"), m.rightWidth(), height)
	rule := m.style.Quiet.Render("│") + " "
	for i := range left {
		left[i] += rule + right[i]
	}
	return strings.Join(left, "\n")
}

// narrowPage is one page by itself, without the tabs.
func (m Model) narrowPage() []string {
	if m.pageNow() == figuresPage {
		return m.left()
	}
	return append(m.headline(m.rightWidth()), m.pageBody()...)
}

// right is the results: in short, the drawing where there is room, one page.
func (m Model) right() []string {
	w := m.rightWidth()
	out := m.headline(w)
	above, below := m.air()
	out = append(out, make([]string, above)...)
	if rows := m.drawingRows(); rows > 0 {
		out = append(out, m.drawing(w, rows)...)
	}
	out = append(out, make([]string, below)...)
	out = append(out, m.tabs(w))
	return append(out, m.pageBody()...)
}

// tabs name the pages of this layout; the one shown is marked.
func (m Model) tabs(width int) string {
	var parts []string
	for p := range pages {
		switch {
		case !m.layout().has(p):
		case p == m.pageNow():
			parts = append(parts, m.style.Accent.Render("▸"+pageNames[p]))
		default:
			parts = append(parts, " "+m.style.Quiet.Render(pageNames[p]))
		}
	}
	gap := " "
	if m.layout() == narrow {
		gap = ""
	}
	return style.Cell(strings.Join(parts, gap), width)
}

// pageBody is the page shown, scrolled, in exactly its rows.
func (m Model) pageBody() []string {
	w, rows := m.rightWidth(), m.pageRows()
	if m.pageNow() == drawingPage {
		return m.drawing(w, rows)
	}
	lines := m.pageLines(w)
	from := min(m.scroll, max(0, len(lines)-rows))
	out := append([]string(nil), lines[from:min(len(lines), from+rows)]...)
	if from+rows < len(lines) {
		out[len(out)-1] = m.style.Quiet.Render(" pgdn shows more ↓")
	}
	for _, l := range portrait.Words(m.style, w-3, rows-len(out), m.FarView().Texts...) {
		out = append(out, " "+l)
	}
	for len(out) < rows {
		out = append(out, "")
	}
	return out
}
