package record

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/record"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/style"
)

// A layoutCache keeps the lines of the page that was laid out last, since View is called
// for every frame of light and a comparison takes time.
type layoutCache struct {
	of    string
	lines []string
}

// fits is what so answers, from a cache of View by the input that it depends on.
func (m Model) fits(of string, so func() bool) bool {
	const most = 64 // sizes of a window and pages seen lately
	if _, known := m.fitted[of]; !known {
		if len(m.fitted) >= most {
			clear(m.fitted)
		}
		m.fitted[of] = so()
	}
	return m.fitted[of]
}

// listing reports whether the page is the list with entries in it.
func (m Model) listing() bool { return m.isList() && m.entries() > 0 }

// body is every line of a page that is not the list, to be scrolled.
func (m Model) body(width int) []string {
	of := m.pageKey(width)
	if m.laid.of != of {
		*m.laid = layoutCache{of, m.page.lines(m, width)}
	}
	return m.laid.lines
}

// pageKey is the input of a page, as a cache key.
func (m Model) pageKey(width int) string {
	return fmt.Sprintf("%T%v", m.page, m.page) + fmt.Sprint(m.at, m.job, m.reading, m.failed, width, m.path, m.prop == nil, m.empty(), m.asking)
}

func (m Model) textPage(width int, paragraphs ...string) []string {
	var out []string
	for i, p := range paragraphs {
		if m.asking {
			p = style.WithoutKeys(p)
		}
		if i > 0 {
			out = append(out, "")
		}
		out = append(out, style.WrapKeys(p, min(76, width), style.Text{}, m.style.Accent)...)
	}
	return out
}

// listLine is one entry of the list: with the chosen one's sign in the margin.
func (m Model) listLine(i int, e record.Entry, width int) string {
	st := m.style
	sign, mark, at := " ", " ", e.At.Format(dayTime)
	if i == m.at {
		sign = "▸"
	}
	if slices.Contains(m.marks, i) {
		mark = "*"
	}
	if width < roomyList {
		at = e.At.Format(day)
	}
	head := fmt.Sprintf("%s%s%d  %*s  ", sign, mark, i+1, dateWidth(width), at)
	said, room := strings.TrimPrefix(e.Headline(), "check-out: "), max(1, width-ansi.StringWidth(head))
	if style.Width(said) > room && e.Kind == "check-out" { // what is left to mend is more than how much was asked
		said = answered.ReplaceAllString(said, "")
	}
	if i == m.at {
		head = st.Accent.Render(head)
	}
	look := style.Text{}
	switch {
	case e.Kind != "check-out":
		look = st.Quiet
	case e.Verdict == record.Pass:
		look = st.Good
	case e.Verdict == record.Fail:
		look = st.Warn
	}
	text := style.Cell(said, room) // the words alone have the look: a row that is filled to its end seems chosen
	short := strings.TrimRight(text, " ")
	return head + look.Render(short) + text[len(short):]
}

// answered is the number of answers in a headline.
var answered = regexp.MustCompile(`, \d+ answers?`)

// roomyList is the width of a list from which it has the time of day.
const roomyList = 62

// dateWidth is the room for the longest date.
func dateWidth(width int) int {
	if width < roomyList {
		return len("23 September 2026")
	}
	return len("23 September 2026 20:00")
}

// wholeEntry is the whole content of the chosen entry.
func (m Model) wholeEntry(width int) []string {
	out := m.content(width)
	if e, ok := m.entry(); ok && e.Ringout != "" {
		out = append(out, "", m.style.Quiet.Render("Written by ringout "+style.Clean(e.Ringout)))
	}
	return out
}

// content is what the chosen entry says, an empty row between any two of its sections.
func (m Model) content(width int) []string {
	e, ok := m.entry()
	if !ok {
		return nil
	}
	var out []string
	if e.Kind == "check-out" {
		out = []string{style.Cell(m.verdictLook(e).Render(words.Capital(e.Headline())), width)}
	}
	for _, s := range m.sections(e) {
		if len(out) > 0 {
			out = append(out, "")
		}
		if len(s.Lines) == 1 && e.Kind == "check-out" && style.Width(s.Head+": "+s.Lines[0]) <= width {
			out = append(out, m.style.Strong.Render(s.Head+":")+" "+s.Lines[0])
			continue
		}
		out = append(append(out, m.style.Strong.Render(s.Head)), hanging(s.Lines, width)...)
	}
	return out
}

// inShort is what the chosen entry says without the verdict of a check-out, which the list has, and without
// the heading of its first section.
func (m Model) inShort(width int) []string {
	e, ok := m.entry()
	out := m.content(width)
	if ok && e.Kind == "check-out" && len(out) > 1 {
		out = out[2:]
	}
	if len(out) < 2 || style.Blank(out[1]) {
		return out
	}
	out = out[1:]
	for i := 0; i < len(out) && !style.Blank(out[i]); i++ {
		out[i] = strings.TrimPrefix(out[i], "  ")
	}
	return out
}

// sections are those of an entry; a joint or a reading that is worse than in the check-out
// before says so.
func (m Model) sections(e record.Entry) []record.Section {
	out := e.Sections()
	i := m.before()
	if i < 0 {
		return out
	}
	before := m.history.Entries[i]
	var worse []string
	for _, joint := range record.WorseJoints(before, e) {
		worse = append(worse, joint+": ")
	}
	for _, pixel := range record.WorseVolts(before, e) {
		worse = append(worse, fmt.Sprintf("at pixel %d, ", pixel))
	}
	for s := range out {
		if head := out[s].Head; head != "Joints" && head != "Volts" {
			continue
		}
		for l, line := range out[s].Lines {
			if slices.ContainsFunc(worse, func(begin string) bool { return strings.HasPrefix(strings.TrimSpace(line), begin) }) {
				out[s].Lines[l] += ", " + m.style.Warn.Render("worse")
			}
		}
	}
	return out
}

// before is the check-out before the chosen one; -1 for none.
func (m Model) before() int {
	for i := m.at - 1; i >= 0; i-- {
		if m.history.Entries[i].Kind == "check-out" {
			return i
		}
	}
	return -1
}

// verdictLook is the style of a check-out's verdict.
func (m Model) verdictLook(e record.Entry) style.Text {
	switch e.Verdict {
	case record.Pass:
		return m.style.Good
	case record.Fail:
		return m.style.Warn
	}
	return m.style.Strong
}

// hanging breaks lines to the width, with a hanging indent.
func hanging(lines []string, width int) (out []string) {
	for _, l := range lines {
		in := 2 + len(l) - len(strings.TrimLeft(l, " "))
		for i, w := range style.Wrap(strings.TrimLeft(l, " "), width-in-1) {
			if i > 0 {
				w = "  " + w
			}
			out = append(out, strings.Repeat(" ", in)+w)
		}
	}
	return out
}

// lines are what changed, in words, then figures side by side, then what
// changed in the prop file.
func (p comparePage) lines(m Model, width int) []string {
	a, b := m.history.Entries[p.from], m.history.Entries[p.to]
	since := "since " + a.At.Format(day) // once, above all changes
	out := []string{m.style.Strong.Render("Changed " + since)}
	for _, c := range record.Compare(a, b) {
		text := style.Clean(strings.Replace(c.Text, " "+since, "", 1))
		l := plainLabel("")
		if c.Worse {
			l = warning("WORSE")
		}
		for _, line := range m.labelled(l, text, width-2) {
			out = append(out, "  "+line)
		}
	}
	if len(out) == 1 {
		out = append(out, "  Nothing, in what both of them checked.")
	}
	out = append(out, "", m.style.Strong.Render("Side by side")+"  "+m.style.Quiet.Render(differs+" differs"))
	out = append(out, m.table(a, b, width)...)
	if lines := record.PropChanges(a, b); len(lines) > 0 {
		out = append(out, "", m.style.Strong.Render("In the prop file"))
		out = append(out, hanging(lines, width)...)
	}
	return out
}

// differs is the sign of a line that differs between two check-outs.
const differs = "≠"

// table is both check-outs in columns, or one under the other on a narrow page. Differing
// lines have a sign.
func (m Model) table(a, b record.Entry, width int) (out []string) {
	form := day
	if a.At.Format(day) == b.At.Format(day) {
		form = dayTime
	}
	pairs := append([]record.Pair{{From: a.At.Format(form), To: b.At.Format(form)}}, record.SideBySide(a, b)...)
	first, second, third := 0, 0, 0
	for _, p := range pairs {
		first, second, third = max(first, ansi.StringWidth(p.What)), max(second, ansi.StringWidth(p.From)), max(third, ansi.StringWidth(p.To))
	}
	columns := 2+first+2+second+2+third <= width
	for i, p := range pairs {
		sign, to := "  ", p.To
		if i > 0 && p.From != p.To {
			sign, to = differs+" ", m.style.Strong.Render(to)
		}
		switch {
		case columns && i == 0:
			out = append(out, style.Cell(p.What, first+2)+"  "+style.Cell(p.From, second)+"  "+to)
		case columns:
			out = append(out, sign+style.Cell(p.What, first)+"  "+style.Cell(p.From, second)+"  "+to)
		case i == 0:
			out = append(out, "  "+p.From+" → "+to)
		case style.Width(sign+p.What+": "+p.From+" → "+to) <= width:
			out = append(out, sign+p.What+": "+p.From+" → "+to)
		default:
			out = append(out, style.Cell(sign+p.What, width), style.Cell("    "+p.From+" → "+to, width))
		}
	}
	out[0] = m.style.Quiet.Render(out[0])
	return out
}
