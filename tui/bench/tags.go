package bench

import (
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/tui/style"
)

// A tag is one screen's name in the head line, from one column to before another.
type tag struct {
	text     string
	from, to int
}

// tags hang on a string along the head line: a filled hole marks the one
// shown. Where they are many and the line is short they hang closer, and at
// last only the one shown has its name.
func (m Model) tags() []tag {
	for _, way := range []struct {
		hole  string
		gap   int
		names bool
	}{{" ", 3, true}, {"", 1, true}} {
		if t := m.hang(way.hole, way.gap, way.names); t[len(t)-1].to < m.width {
			return t
		}
	}
	return m.hang(" ", 1, false)
}

func (m Model) hang(hole string, gap int, names bool) []tag {
	var out []tag
	at := 2
	for i, s := range m.screens {
		shown := i == m.at && !m.front
		t := "○"
		if shown {
			t = "●"
		}
		if names || shown {
			t += hole + s.Name()
		}
		w := ansi.StringWidth(t)
		out = append(out, tag{t, at, at + w})
		at += w + gap
	}
	return out
}

// head is the line of tags, with what is on the bench at its end.
func (m Model) head() string {
	st := m.opt.Style
	var b strings.Builder
	b.WriteString(st.Quiet.Render("─") + " ")
	at := 2
	for i, t := range m.tags() {
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
	right := m.propName()
	room := m.width - at - ansi.StringWidth(right) - 3
	if room < 1 {
		return style.Cell(b.String(), m.width)
	}
	return b.String() + " " + st.Quiet.Render(strings.Repeat("─", room)) + " " + st.Strong.Render(right) + " "
}
