package bench

import (
	"strings"

	"example.org/ringout/tui/style"
)

// A name is a page's name in the head line, with its range of columns.
type name struct {
	text     string
	from, to int
}

// names are the names of the pages in the head line, each with a mark that is filled for
// the page shown. In a narrow window they are closer, and then only the page shown has
// its name.
func (m Model) names() []name {
	for _, way := range []struct {
		hole string
		gap  int
		all  bool
	}{{" ", 3, true}, {"", 1, true}} {
		if t := m.along(way.hole, way.gap, way.all); t[len(t)-1].to < m.width {
			return t
		}
	}
	return m.along(" ", 1, false)
}

func (m Model) along(hole string, gap int, all bool) []name {
	var out []name
	at := 2
	for i, s := range m.screens {
		shown := i == m.at && !m.front
		t := "○"
		if shown {
			t = "●"
		}
		if all || shown {
			t += hole + s.Name()
		}
		w := style.Width(t)
		out = append(out, name{t, at, at + w})
		at += w + gap
	}
	return out
}

// head is the line of names, with the prop's name at its end.
func (m Model) head() string {
	st := m.opt.Style
	var b strings.Builder
	b.WriteString(st.Quiet.Render("─") + " ")
	at := 2
	for i, t := range m.names() {
		if t.from-at == 3 {
			b.WriteString(" " + st.Quiet.Render("─") + " ")
		} else {
			b.WriteString(strings.Repeat(" ", t.from-at))
		}
		if i == m.at && !m.front {
			b.WriteString(st.Accent.Render(t.text))
		} else {
			b.WriteString(t.text)
		}
		at = t.to
	}
	right, room := "", 0
	for _, right = range m.propNames() {
		if room = m.width - at - style.Width(right) - 4; room >= 1 {
			break
		}
	}
	if room < 1 {
		return style.Cell(b.String(), m.width)
	}
	return b.String() + " " + st.Quiet.Render(strings.Repeat("─", room)) + " " + st.Strong.Render(right) + "  "
}
