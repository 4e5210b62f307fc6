package record

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/record"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/style"
)

// A layoutCache keeps the lines of the page that was laid out last: a page is asked for
// again with every frame of light, and a comparison is some work.
type layoutCache struct {
	of    string
	lines []string
}

// listing tells that the page is the list with entries in it.
func (m Model) listing() bool {
	return m.page == listPage && m.prop != nil && m.path != "" && len(m.history.Entries) > 0
}

// part is rows lines of the page from a line on, and how many there are in all.
// Of a list only the lines in sight are made: a record may have thousands.
func (m Model) part(width, from, rows int) (lines []string, all int) {
	if m.listing() {
		n := len(m.history.Entries)
		for row := from; row < min(n, from+rows); row++ {
			i := n - 1 - row // the newest is on top
			lines = append(lines, m.listLine(i, m.history.Entries[i], m.listWidth(width)))
		}
		return lines, n
	}
	body := m.body(width)
	return slices.Clone(body[min(from, len(body)):min(len(body), from+rows)]), len(body)
}

// body is every line of a page that is not the list, to be scrolled.
func (m Model) body(width int) []string {
	of := fmt.Sprint(m.page, m.at, m.from, m.to, m.job, m.reading, m.failed, width, m.path, m.prop == nil, m.empty())
	if m.laid.of != of {
		*m.laid = layoutCache{of, m.lay(width)}
	}
	return m.laid.lines
}

func (m Model) lay(width int) []string {
	switch {
	case m.prop == nil:
		return m.textPage(width, "No prop yet: fill in Set-up, or start with ringout FILE.")
	case m.page == entryPage:
		return m.wholeEntry(width)
	case m.page == comparePage:
		return m.comparison(width)
	case m.page == mindPage:
		if lines := m.mindLines(width); len(lines) > 0 {
			return lines
		}
		return m.textPage(width, "Nothing is due, and the record is in order.")
	case m.path == "":
		return m.textPage(width, "The bench record lies beside a prop file, and this prop has none yet. On the Prop page (P), s saves it. Every check-out is then recorded beside that file.",
			"A note (n) or the bench sheet (s) can go to another file meanwhile.")
	case m.reading || m.failed != "":
		return nil
	}
	return m.textPage(width, "Nothing is recorded of this prop yet. Every check-out (C) will be, and every note (n).")
}

func (m Model) textPage(width int, paragraphs ...string) []string {
	var out []string
	for _, p := range paragraphs {
		for _, l := range style.Wrap(p, min(76, m.textWidth(width)-4)) {
			out = append(out, " "+l)
		}
		out = append(out, "")
	}
	return out
}

func (m Model) listLine(i int, e record.Entry, width int) string {
	st := m.style
	sign, mark := " ", " "
	if i == m.at {
		sign = "▸"
	}
	if slices.Contains(m.marks, i) {
		mark = "*"
	}
	head := fmt.Sprintf("%s%s%3d  %s  ", sign, mark, i+1, e.At.Format("2006-01-02 15:04"))
	text := style.Cell(e.Headline(), max(1, width-1-ansi.StringWidth(head)))
	switch {
	case i == m.at:
		return " " + st.Accent.Render(head+text)
	case e.Kind != "check-out":
		return " " + head + st.Quiet.Render(text)
	case e.Verdict == record.Pass:
		return " " + head + st.Good.Render(text)
	case e.Verdict == record.Fail:
		return " " + head + st.Warn.Render(text)
	}
	return " " + head + text
}

// wholeEntry is all that the chosen entry holds.
func (m Model) wholeEntry(width int) []string {
	e, ok := m.entry()
	if !ok {
		return nil
	}
	look := m.style.Strong
	switch e.Verdict {
	case record.Pass:
		look = m.style.Good
	case record.Fail:
		look = m.style.Warn
	}
	out := []string{style.Cell(" "+look.Render(words.Capital(e.Headline())), width)}
	if e.Kind != "check-out" {
		out = nil
	}
	for _, s := range e.Sections() {
		out = append(out, "", " "+m.style.Accent.Render(s.Head))
		out = append(out, hanging(s.Lines, width)...)
	}
	if e.Ringout != "" {
		out = append(out, "", " "+m.style.Quiet.Render("Written by ringout "+style.Clean(e.Ringout)))
	}
	return trimTop(out)
}

// hanging breaks lines to the width, what goes on drawn in.
func hanging(lines []string, width int) (out []string) {
	for _, l := range lines {
		in := 3 + len(l) - len(strings.TrimLeft(l, " "))
		for i, w := range style.Wrap(strings.TrimLeft(l, " "), width-in-1) {
			if i > 0 {
				w = "  " + w
			}
			out = append(out, strings.Repeat(" ", in)+w)
		}
	}
	return out
}

func trimTop(lines []string) []string {
	for len(lines) > 0 && lines[0] == "" {
		lines = lines[1:]
	}
	return lines
}

// comparison is what changed, in words, then figures side by side, then what
// changed in the prop file.
func (m Model) comparison(width int) []string {
	a, b := m.history.Entries[m.from], m.history.Entries[m.to]
	since := "since " + a.At.Format("2 January 2006") // said once, above all of them
	out := []string{" " + m.style.Accent.Render("Changed "+since)}
	for _, c := range record.Compare(a, b) {
		head := ""
		if c.Worse {
			head = "WORSE: "
		}
		for i, l := range m.headed(head, style.Clean(strings.Replace(c.Text, " "+since, "", 1)), width-2) {
			if head == "" && i == 0 {
				l = l[1:] // no word in front
			}
			out = append(out, "  "+l)
		}
	}
	if len(out) == 1 {
		out = append(out, "   Nothing, in what both of them checked.")
	}
	out = append(out, "", " "+m.style.Accent.Render("Side by side"))
	out = append(out, m.table(a, b, width)...)
	if lines := record.PropChanges(a, b); len(lines) > 0 {
		out = append(out, "", " "+m.style.Accent.Render("The prop file, - before, + after"))
		out = append(out, hanging(lines, width)...)
	}
	return out
}

// table is both check-outs in columns, or one under the other where the page
// is too narrow for columns.
func (m Model) table(a, b record.Entry, width int) (out []string) {
	pairs := append([]record.Pair{{What: "", From: a.At.Format("2006-01-02 15:04"), To: b.At.Format("2006-01-02 15:04")}}, record.SideBySide(a, b)...)
	first, second, third := 0, 0, 0
	for _, p := range pairs {
		first, second, third = max(first, ansi.StringWidth(p.What)), max(second, ansi.StringWidth(p.From)), max(third, ansi.StringWidth(p.To))
	}
	columns := 3+first+2+second+2+third <= width
	for i, p := range pairs {
		to := p.To
		if i > 0 && p.From != p.To {
			to = m.style.Strong.Render(to)
		}
		switch {
		case columns:
			out = append(out, "   "+style.Cell(p.What, first)+"  "+style.Cell(p.From, second)+"  "+to)
		case i == 0:
			out = append(out, "   "+p.From+" → "+to)
		default:
			out = append(out, style.Cell("   "+p.What, width-1), style.Cell("     "+p.From+" → "+to, width-1))
		}
	}
	out[0] = m.style.Quiet.Render(out[0])
	return out
}
