package traffic

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/internal/words"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// The page of slots is about the prop: each run with its slots and the light that they make, then
// the pixels that are unlike the others, with their slots in the order of the wire.

// A runLine is one run as far as it is on the universe shown.
type runLine struct {
	name   string
	first  int // slots, from 0
	last   int
	groups []group
}

// runLines are the runs of the prop on a universe.
func (m Model) runLines(l *look) (out []runLine) {
	at := -1
	for _, g := range m.groups(l) {
		if g.pixel < 0 {
			continue
		}
		if r := m.runOf(g); r != at {
			at = r
			out = append(out, runLine{name: style.Clean(m.prop.Runs[r].Name), first: g.first})
		}
		run := &out[len(out)-1]
		run.groups, run.last = append(run.groups, g), g.first+g.n-1
	}
	return out
}

// A kind is what is said of a pixel: its light by the word that is told from two metres, and who
// drives its slots.
type kind struct {
	light string
	mark  byte
}

func (m Model) kindOf(l *look, g group) kind {
	_, name := m.seen(m.colourOf(l, g))
	switch i := strings.LastIndex(name, " "); {
	case name == "faint":
		name = "white" // too little to tell a colour
	case i >= 0:
		name = name[i+1:]
	}
	k := kind{name, ' '}
	for i := range g.n {
		if mark := l.marks[g.first+i]; mark != ' ' {
			k.mark = mark
		}
	}
	return k
}

// oddSpans are stretches of pixels of one run that are unlike most others: in colour, dark among lit
// ones or lit among dark ones, or driven by another source or by none.
func (m Model) oddSpans(l *look) (out []span, most kind) {
	groups, counts := m.groups(l), map[kind]int{}
	for _, g := range groups {
		if g.pixel < 0 {
			continue
		}
		k := m.kindOf(l, g)
		if counts[k]++; counts[k] > counts[most] {
			most = k
		}
	}
	for _, g := range groups {
		if g.pixel < 0 || m.kindOf(l, g) == most {
			continue
		}
		if n := len(out); n > 0 && out[n-1].to.pixel == g.pixel-1 && m.runOf(out[n-1].to) == m.runOf(g) && m.kindOf(l, out[n-1].to) == m.kindOf(l, g) {
			out[n-1].to = g
			continue
		}
		out = append(out, span{g, g})
	}
	return out, most
}

// oddLines say which pixels are unlike the others, each with its slots and values, and which slots
// light none of the prop.
func (m Model) oddLines(l *look, width int) []string {
	odd, most := m.oddSpans(l)
	var out []string
	switch {
	case len(odd) == 0:
		out = indented("No pixel is unlike the others: all are "+m.kindWords(l, most)+".", width)
	case width >= narrow: // on a small page the rows are for the pixels
		out = indented("Unlike the others, which are "+m.kindWords(l, most)+":", width)
	}
	for _, s := range odd {
		out = append(out, m.hung(m.oddSentence(l, s, width < narrow), m.colourOf(l, s.from), width)...)
	}
	if first, last := m.foreign(l); last >= first {
		out = append(out, indented(fmt.Sprintf("Slots %d to %d are driven too, and light no pixel of yours.", first+1, last+1), width)...)
	}
	return out
}

// kindWords name the light of the pixels of a kind, the brightest first.
func (m Model) kindWords(l *look, of kind) string {
	best := map[string]uint8{}
	for _, g := range m.groups(l) {
		if g.pixel >= 0 && m.kindOf(l, g) == of {
			c, name := m.seen(m.colourOf(l, g))
			name = strings.TrimSuffix(name, " white")
			best[name] = max(best[name], brightness(c))
		}
	}
	return words.Or(slices.SortedFunc(maps.Keys(best), func(a, b string) int { return int(best[b]) - int(best[a]) }))
}

// hung is a sentence behind the sign of a light.
func (m Model) hung(text string, c patterns.Colour, width int) (out []string) {
	sign := m.mark(c)
	for _, line := range style.Wrap(text, width-2-markCells) {
		out = append(out, sign+" "+line) // a cell apart from its ground
		sign = strings.Repeat(" ", 1+markCells)
	}
	return out
}

// narrow is the width below which a pixel has only its number in its run.
const narrow = 60

// oddSentence are a stretch in words: its pixels, its light, its slots, and where all are alike their
// values in the order of the wire. brief leaves out the numbers in the prop.
func (m Model) oddSentence(l *look, s span, brief bool) string {
	_, name := m.seen(m.colourOf(l, s.from))
	which := m.which(s, brief)
	k := m.kindOf(l, s.from)
	same := s.from.pixel == s.to.pixel || sameValues(l, s)
	if !same {
		name = k.light
	}
	text := fmt.Sprintf("%s %s: slots %d to %d", which, name, s.from.first+1, s.to.first+s.to.n)
	if same && name != "dark" {
		text += " have " + valueWords(l, s.from)
	}
	switch {
	case k.mark == 0:
		text += "; no source drives all of them"
	case k.mark != ' ':
		text += "; from " + m.markName(l, k.mark)
	}
	return text + "."
}

// which are the pixels of a stretch by their numbers in their run, from which one counts on the strip,
// and in the prop.
func (m Model) which(s span, brief bool) string {
	run, first := m.prop.Find(s.from.pixel)
	of, n := "", s.to.pixel-s.from.pixel
	if len(m.prop.Runs) > 1 {
		of = " of " + style.Clean(m.prop.Runs[run].Name)
	}
	said := func(at int) string {
		if n == 0 {
			return fmt.Sprint(at + 1)
		}
		return fmt.Sprintf("%d to %d", at+1, at+n+1)
	}
	text := words.Plural(n+1, "Pixel ", "Pixels ") + said(first) + of
	if of != "" && !brief {
		text += " (" + said(s.from.pixel) + " of the prop)"
	}
	return text + words.Plural(n+1, " is", " are")
}

// sameValues reports whether all pixels of a stretch have the same values.
func sameValues(l *look, s span) bool {
	for at := s.from.first; at <= s.to.first; at += s.from.n {
		if !alike(l, s.from, group{at, s.from.n, s.from.pixel}) {
			return false
		}
	}
	return true
}

// valueWords are the values of a pixel in the order of the wire.
func valueWords(l *look, g group) string {
	var out []string
	for i := range g.n {
		out = append(out, fmt.Sprint(l.values[g.first+i]))
	}
	return strings.ReplaceAll(words.And(out), " ", "\u00a0")
}

// markName is the source that a sign stands for.
func (m Model) markName(l *look, mark byte) string {
	u := m.news.Report.Universe(l.universe)
	if u == nil {
		return "another source"
	}
	for i := range m.news.Report.Sources {
		s := &m.news.Report.Sources[i]
		if _, sign := driven(u, l, s.CID); sign != mark {
			continue
		}
		if s.CID == m.news.Ours.CID {
			return "you"
		}
		return style.Clean(advice.Called(s))
	}
	return "another source"
}

// foreign are the first and the last of the slots after those of the prop that are driven.
func (m Model) foreign(l *look) (first, last int) {
	first, last = 0, -1
	for _, g := range m.groups(l) {
		if g.pixel < 0 && slices.ContainsFunc(l.marks[g.first:g.first+g.n], func(b byte) bool { return b != 0 }) {
			if last < first {
				first = g.first
			}
			last = g.first + g.n - 1
		}
	}
	return first, last
}

// wireWords say in which order a pixel's slots come.
func (m Model) wireWords() string {
	if m.prop == nil {
		return ""
	}
	var order []string
	for _, ch := range m.prop.Chip.Order.Channels() {
		order = append(order, ch.String())
	}
	if m.prop.Bulb() {
		return ": " + strings.Join(order, ", ")
	}
	return ", each pixel " + strings.Join(order, ", ")
}
