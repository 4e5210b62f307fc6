package traffic

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

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
	said := m.bandLegend(l, runs, per, width, max(1, min(2, rows-len(runs)+1)))
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

// bandLegend explains bands of so many pixels a sign in at most high rows.
func (m Model) bandLegend(l *look, runs []runLine, per, width, high int) []string {
	legend := []canvas.Name{{Full: "Each run's slots and their light", Brief: "Runs and their light"}}
	if per > 1 {
		legend = append(legend, canvas.Name{Full: fmt.Sprintf("%d pixels a sign", per), Brief: fmt.Sprintf("%d a sign", per)})
	}
	legend = append(legend, canvas.Name{Full: "▶ data in, › its way", Brief: "▶ in, › on"})
	if runs[0].groups[0].pixel > 0 {
		legend[len(legend)-1] = canvas.Named("› way of data")
	}
	names, own := m.bandNames(runs, l)
	said, all := canvas.Legend(width, high, slices.Concat(legend, names)...)
	if all && len(said) > 1 {
		brief := []canvas.Name{canvas.Named(legend[0].Brief)}
		for _, n := range slices.Concat(legend[1:], names) {
			brief = append(brief, canvas.Named(n.Full))
		}
		if one, fits := canvas.Legend(width, 1, brief...); fits { // a shorter title saves a row
			said = one
		}
	}
	if !all { // the signs say more than the title
		said, all = canvas.Legend(width, high, slices.Concat(legend[1:], names)...)
	}
	if !all { // and than the way, which other views name
		said, all = canvas.Legend(width, high, slices.Concat(legend[1:len(legend)-1], names)...)
	}
	if !all { // some of the lights would say that there are no others
		said, _ = canvas.Legend(width, high, legend...)
	}
	for i := range said {
		said[i] = canvas.InLegend(said[i], m.style.Depth, own, m.style.OnPanel().Quiet.Render)
	}
	return said
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

// smallLight is what faint and dim white light, which have one sign, are called together.
const smallLight = "small"

// bandName is the name of a light in a band.
func (m Model) bandName(c patterns.Colour) string {
	_, name := m.seen(c)
	if name == "faint" || name == "dim white" {
		return smallLight
	}
	return strings.ReplaceAll(name, " ", "\u00a0")
}

// bandNames explain the lights of the bands by their words, where these are few; lights of one sign
// by the first and the last of its words.
func (m Model) bandNames(runs []runLine, l *look) (names []canvas.Name, own canvas.Lights) {
	own = canvas.Lights{}
	var lights []patterns.Colour
	seen := map[string]bool{}
	for _, r := range runs {
		for _, g := range r.groups {
			c, word := m.seen(m.colourOf(l, g))
			seen[word] = true
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
		said := canvas.Named(canvas.Swatch(sign, m.bandName(c)))
		if m.bandName(c) == smallLight {
			said = canvas.SmallName(sign, seen["faint"], seen["dim white"])
		}
		if at, again := last[sign]; again && m.style.Depth == style.Letters {
			from, _, _ := strings.Cut(names[at].Full, "\u00a0to\u00a0")
			names[at] = canvas.Named(from + "\u00a0to\u00a0" + strings.TrimPrefix(said.Full, sign+"\u00a0"))
			continue
		}
		last[sign] = len(names)
		names = append(names, said)
	}
	for _, grey := range []string{smallLight, "white", "dark"} { // as the legends of drawings have them
		delete(own, grey)
	}
	return inOrder(names), own
}
