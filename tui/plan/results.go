package plan

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/plan"
	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/style"
)

// pageLines are all lines of the page shown, cached until the input changes.
func (m Model) pageLines(width int) []string {
	if m.plan == nil {
		return nil
	}
	d, p, rows := m.drawn, m.pageNow(), m.pageRows()
	if d.linesOf == m.plan && d.linesPage == p && d.linesW == width && d.linesH == rows {
		return d.lines
	}
	out := p.lines(m, m.plan, width, rows)
	d.linesOf, d.linesPage, d.linesW, d.linesH, d.lines = m.plan, p, width, rows, out
	return out
}

func (countsPage) lines(m Model, pl *plan.Plan, width, _ int) []string {
	p := pl.Prop
	runs := "runs"
	if len(p.Runs) == 1 {
		runs = "run"
	}
	out := []string{fmt.Sprintf(" %s of %s in %d %s", m.style.Strong.Render(fmt.Sprintf("%d pixels", p.Pixels())), style.Clean(p.Chip.Name), len(p.Runs), runs), ""}
	for l := range strings.Lines(pl.Counts(width - 1)) {
		l = style.Clean(strings.TrimRight(l, "\n"))
		if l != "" && l[0] != ' ' {
			out = append(out, " "+m.style.Strong.Render(l))
			continue
		}
		out = append(out, hanging(strings.TrimPrefix(l, " "), width-1)...) // below its heading
	}
	return out
}

// hanging is a line of a table; where it is too wide it goes on below, further in.
func hanging(l string, width int) []string {
	if style.Width(l) <= width {
		return []string{l}
	}
	indent := l[:len(l)-len(strings.TrimLeft(l, " "))]
	lines := style.Wrap(strings.Join(strings.Fields(l), " "), width-len(indent)-2)
	for i := range lines {
		lines[i] = indent + lines[i]
		if i == 0 {
			indent += "  "
		}
	}
	return lines
}

// lines are the patch, a line a run, and what is free after it.
func (addressPage) lines(m Model, pl *plan.Plan, width, _ int) []string {
	p := pl.Prop
	var out []string
	for _, l := range style.Wrap(fmt.Sprintf("Host %s, %s, %d slots a pixel", m.style.Strong.Render(style.Clean(p.Address.HostName())), p.Chip.Order, p.Chip.Order.Slots()), width-2) {
		out = append(out, " "+l)
	}
	out = append(out, "")
	rows := [][]string{{"run", "pixels", "from", "to", "travel"}}
	if p.Bulb() {
		rows[0][4] = ""
	}
	for i, r := range pl.Rows {
		rows = append(rows, []string{m.rowName(pl, i), fmt.Sprintf("%d to %d", r.FirstPixel, r.LastPixel),
			fmt.Sprintf("U%d S%d", r.FirstUniverse, r.FirstSlot), fmt.Sprintf("U%d S%d", r.LastUniverse, r.LastSlot), r.Travel})
	}
	out = append(out, m.table(rows, width)...)
	if len(p.Parts) > 0 {
		rows = [][]string{{"part", "pixels", ""}}
		for _, t := range p.Parts {
			empty := ""
			if t.Empty {
				empty = "empty: no light"
			}
			rows = append(rows, []string{style.Clean(t.Name), fmt.Sprintf("%d to %d", t.First+1, t.Last+1), empty})
		}
		out = append(append(out, ""), m.table(rows, width)...)
	}
	say := func(format string, args ...any) {
		for _, l := range style.Wrap(fmt.Sprintf(format, args...), width-2) {
			out = append(out, " "+l)
		}
	}
	out = append(out, "")
	say("U is a universe, S a slot.")
	for _, h := range prop.Hosts([]*prop.Prop{p}) {
		if h.NextUniverse == 0 {
			say("%d slots; none is free after them.", h.Slots)
			continue
		}
		say("%d slots; the next free is U%d S%d.", h.Slots, h.NextUniverse, h.NextSlot)
	}
	if p.Bulb() {
		return out // a single pixel is never split
	}
	own := p.Address.Packing
	say("Packing is %s.", own.About())
	switch n := len(pl.Other); {
	case n == 0:
		say("With packing %s it does not fit.", own.Other().About())
	case !prop.SameSlots(pl.Rows, pl.Other):
		say("With packing %s it ends at U%d S%d.", own.Other().About(), pl.Other[n-1].LastUniverse, pl.Other[n-1].LastSlot)
	}
	return out
}

// rowName is the run of a row of the patch, with its number where the drawing beside it has that.
func (m Model) rowName(pl *plan.Plan, i int) string {
	name := style.Clean(pl.Rows[i].Run)
	if m.layout() == wide && portrait.Numbered(pl.Prop) && len(pl.Rows) == len(pl.Prop.Runs) {
		name = fmt.Sprintf("%d %s", i+1, name)
	}
	return name
}

// table sets rows in columns below their headings. In a narrow window the first column is
// shortened, then the last ones are left out.
func (m Model) table(rows [][]string, width int) []string {
	wide := make([]int, len(rows[0]))
	for _, r := range rows {
		for i, c := range r {
			wide[i] = max(wide[i], ansi.StringWidth(c))
		}
	}
	cols, rest := len(wide), 0
	for {
		rest = 1
		for _, w := range wide[1:cols] {
			rest += w + 2
		}
		if cols <= 2 || rest+min(wide[0], 14) <= width {
			break
		}
		cols--
	}
	wide[0] = min(wide[0], max(4, width-rest))
	var out []string
	for i, r := range rows {
		l := " "
		for c := range cols {
			if c > 0 {
				l += "  "
			}
			l += style.Cell(r[c], wide[c])
		}
		if i == 0 {
			l = m.style.Quiet.Render(l)
		}
		out = append(out, l)
	}
	return out
}

// lines are warnings of the file, cautions, and assumptions.
func (safetyPage) lines(m Model, pl *plan.Plan, width, _ int) []string {
	var out []string
	section := func(head string, all []string) {
		if len(all) == 0 {
			return
		}
		if len(out) > 0 {
			out = append(out, "")
		}
		out = append(out, " "+m.style.Strong.Render(head))
		for _, s := range all {
			out = append(out, item("-", s, width)...)
		}
	}
	var doubts []string
	for _, d := range m.doc.Doubts() {
		doubts = append(doubts, fmt.Sprintf("%s: %s: %s.", d.Key, d.Text, d.Hint))
	}
	section("Look again", doubts)
	section("Cautions", pl.Power.Cautions)
	section("Assumed", pl.Power.Assumed)
	return out
}

// item is a sentence after a mark, wrapped.
func item(mark, s string, width int) []string {
	lines := style.Wrap(style.Clean(s), width-4)
	for i, l := range lines {
		if i == 0 {
			lines[i] = " " + mark + " " + l
		} else {
			lines[i] = "   " + l
		}
	}
	return lines
}
