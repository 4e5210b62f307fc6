package traffic

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/internal/words"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
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

// bandGap is the space between a run's words and its band on one row.
func bandGap(width int) int {
	if width < narrow {
		return 1
	}
	return 2
}

// runBands are the runs with their slots, each with the light of its pixels below it, or beside it
// where rows are few, under a legend; with an empty row between two, as far as so many are free.
func (m Model) runBands(l *look, width, rows, free int) []string {
	runs := m.runLines(l)
	if len(runs) == 0 {
		return nil
	}
	quiet := m.style.OnPanel().Quiet.Render
	label, longest := 0, 0
	for _, r := range runs {
		label, longest = max(label, style.Width(r.words(width))), max(longest, len(r.groups))
	}
	below := 2+2*len(runs) <= rows
	room := width - wayCells
	if !below {
		room -= label + bandGap(width)
	}
	per := max(1, (longest+room-1)/max(1, room))
	legend := []canvas.Name{{Full: "Each run's slots and their light", Brief: "Runs and their light"}}
	if per > 1 {
		legend = append(legend, canvas.Name{Full: fmt.Sprintf("%d pixels a mark", per), Brief: fmt.Sprintf("%d a mark", per)})
	}
	legend = append(legend, canvas.Name{Full: "▶ data in, › its way", Brief: "▶ in, › on"})
	if runs[0].groups[0].pixel > 0 {
		legend[len(legend)-1] = canvas.Named("› way of data")
	}
	names, own := m.bandNames(runs, l)
	high := max(1, min(2, rows-len(runs)+1))
	said, all := canvas.Legend(width, high, append(legend, names...)...)
	if brief := append([]canvas.Name{canvas.Named(legend[0].Brief)}, append(legend[1:], names...)...); all && len(said) > 1 {
		if one, fits := canvas.Legend(width, 1, brief...); fits { // a shorter title saves a row
			said = one
		}
	}
	if !all { // the signs say more than the title
		said, all = canvas.Legend(width, high, append(legend[1:], names...)...)
	}
	if !all { // and than the way, which other views name
		said, all = canvas.Legend(width, high, append(legend[1:len(legend)-1], names...)...)
	}
	if !all { // some of the lights would say that there are no others
		said, _ = canvas.Legend(width, high, legend...)
	}
	for i := range said {
		said[i] = canvas.InLegend(said[i], m.style.Depth, own, quiet)
	}
	blocks := [][]string{said}
	for _, r := range runs {
		if band := m.band(r, l, per); below {
			blocks = append(blocks, []string{r.words(width), band})
		} else {
			blocks = append(blocks, []string{style.Cell(r.words(width), label+bandGap(width)) + band})
		}
	}
	switch lines := slices.Concat(blocks...); {
	case free >= len(runs):
		return joined(blocks, len(lines)+len(runs))
	case free > 0:
		return joined(blocks, len(lines)+1)
	default:
		return lines
	}
}

// words name a run with its slots, in a page so wide.
func (r runLine) words(width int) string {
	if width < narrow {
		return fmt.Sprintf("%s, slots %d-%d", r.name, r.first+1, r.last+1)
	}
	return fmt.Sprintf("%s: slots %d to %d", r.name, r.first+1, r.last+1)
}

// wayCells is the room of the signs of the way of the data in a band: at its start, and arrowheads.
const wayCells = 1 + canvas.MinHeads

// band is the light of a run, one sign for per pixels: that of the brightest, with the way of the data.
func (m Model) band(r runLine, l *look, per int) string {
	var b strings.Builder
	if r.groups[0].pixel == 0 {
		b.WriteString(canvas.EntrySign("▶", true, m.style.Depth))
	} else {
		b.WriteString("›")
	}
	marks := (len(r.groups) + per - 1) / per
	for i := range marks {
		at := i * per
		var best patterns.Colour
		for _, g := range r.groups[at:min(at+per, len(r.groups))] {
			c, _ := m.seen(m.colourOf(l, g))
			if brightness(c) > brightness(best) {
				best = c
			}
		}
		b.WriteString(canvas.Pixel(best, wholeScale, m.style.Depth))
		if i*canvas.MinHeads/marks != (i+1)*canvas.MinHeads/marks {
			b.WriteString("›")
		}
	}
	return b.String()
}

func brightness(c patterns.Colour) uint8 { return max(c.R, c.G, c.B, c.W, c.C) }

// mostNamed are as many lights as the legend of the bands names.
const mostNamed = 7

// bandName is the name of a light in a band: faint and dim white light have one sign and one name.
func (m Model) bandName(c patterns.Colour) string {
	_, name := m.seen(c)
	if name == "faint" || name == "dim white" {
		return "dim"
	}
	return strings.ReplaceAll(name, " ", "\u00a0")
}

// bandNames explain the lights of the bands by their words, where these are few; lights of one sign
// by the first and the last of its words.
func (m Model) bandNames(runs []runLine, l *look) (names []canvas.Name, own canvas.Lights) {
	own = canvas.Lights{}
	var lights []patterns.Colour
	dim, faint := false, false
	for _, r := range runs {
		for _, g := range r.groups {
			c, _ := m.seen(m.colourOf(l, g))
			_, seen := m.seen(c)
			dim, faint = dim || seen == "dim white", faint || seen == "faint"
			name := m.bandName(c)
			if _, known := own[name]; !known {
				own[name], lights = c, append(lights, c)
			}
		}
	}
	if len(lights) > mostNamed {
		return nil, nil
	}
	slices.SortStableFunc(lights, func(a, b patterns.Colour) int { return int(brightness(a)) - int(brightness(b)) })
	last := map[string]int{} // name by sign, where there are no colours
	for _, c := range lights {
		sign := canvas.SignOf(c, wholeScale)
		if m.style.Depth == style.Letters {
			sign = canvas.Pixel(c, wholeScale, m.style.Depth)
		}
		name := m.bandName(c)
		said, brief := canvas.Swatch(sign, name), canvas.Swatch(sign, name)
		if name == "dim" {
			said = canvas.Swatch(sign, smallName(dim, faint))
		}
		if at, again := last[sign]; again && m.style.Depth == style.Letters {
			from, _, _ := strings.Cut(names[at].Full, "\u00a0to\u00a0")
			names[at] = canvas.Named(from + "\u00a0to\u00a0" + strings.TrimPrefix(said, sign+"\u00a0"))
			continue
		}
		last[sign] = len(names)
		names = append(names, canvas.Name{Full: said, Brief: brief})
	}
	for _, grey := range []string{"dim", "white", "dark"} { // as the legends of drawings have them
		delete(own, grey)
	}
	return inOrder(names), own
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
	if len(odd) == 0 {
		out = indented("No pixel is unlike the others: all are "+m.kindWords(l, most)+".", width)
	} else {
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

// kindWords name the light of the pixels of a kind as the legend does, the brightest first.
func (m Model) kindWords(l *look, of kind) string {
	best := map[string]uint8{}
	for _, g := range m.groups(l) {
		if g.pixel >= 0 && m.kindOf(l, g) == of {
			c, _ := m.seen(m.colourOf(l, g))
			name := m.bandName(c)
			best[name] = max(best[name], brightness(c))
		}
	}
	names := slices.SortedFunc(maps.Keys(best), func(a, b string) int { return int(best[b]) - int(best[a]) })
	return strings.ReplaceAll(strings.Join(names, " or "), "\u00a0", " ")
}

// hung is a sentence behind the sign of a light.
func (m Model) hung(text string, c patterns.Colour, width int) (out []string) {
	sign := m.mark(c)
	for _, line := range style.Wrap(text, width-1-markCells) {
		out = append(out, sign+line)
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
	return words.And(out)
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
