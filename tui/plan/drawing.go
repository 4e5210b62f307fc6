package plan

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/plan"
	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/style"
)

// A picture is what a drawing of the prop shows: a sign at each pixel, and what the signs mean.
type picture struct {
	of    *prop.Prop
	ranks []uint8
	signs []string // by rank, as they are drawn
	means []canvas.Name
	plan  bool // pixels have the sign of the plan
	rows  bool // in rows where a cell of the drawing as it lies has several pixels
	short bool // the legend is in one row, in short
}

// drawing is the prop with the signs of the page shown and the direction of data, under a legend, in
// exactly height rows.
func (m Model) drawing(width, height int) []string {
	out := make([]string, height)
	if m.plan == nil {
		return out
	}
	d := m.drawn
	if p := m.pageNow(); d.gridOf != m.plan || d.gridPage != p || d.gridW != width || d.gridH != height {
		d.gridOf, d.gridPage, d.gridW, d.gridH = m.plan, p, width, height
		d.grid = nil
		if height >= 2 && width >= 4 {
			d.grid = m.grid(p.picture(m, m.plan), width, height, m.legendRows(width, height, m.pictures(m.plan)...))
		}
	}
	copy(out, d.grid)
	return out
}

// below is the drawing of a picture below a legend of so many rows.
func (m Model) below(p picture, width, height, rows int) *canvas.Canvas {
	c := canvas.Placed(p.of, nil, width-2, height-rows, m.style.Depth).Apart(p.of, width-2, height-rows)
	if p.rows && c.Crowded() > 0 {
		return canvas.New(p.of, nil, canvas.Rows, width-2, height-rows, m.style.Depth)
	}
	return c
}

// names explain the signs of a picture in a drawing, the most needed first.
func (p picture) names(c *canvas.Canvas) []canvas.Name {
	if p.plan {
		return append(append([]canvas.Name{c.PlanName(p.of.Pixels())}, c.SignNames()...), p.means...)
	}
	names := append(append([]canvas.Name{c.Scale()}, p.means...), c.SignNames()...)
	if p.short {
		return canvas.InShort(names)
	}
	return names
}

// mostLegend is as many rows as a legend has.
const mostLegend = 2

// legendRows is how many rows the legends of pictures have: as many as the longest needs, so that the drawing
// keeps its place from page to page.
func (m Model) legendRows(width, height int, pictures ...picture) (most int) {
	for _, p := range pictures {
		most = max(most, canvas.LegendRows(min(mostLegend, height-1),
			func(rows int) *canvas.Canvas { return m.below(p, width, height, rows) },
			func(c *canvas.Canvas, _ int) (int, []canvas.Name) { return width - 2, p.names(c) }))
	}
	return most
}

// grid is a picture under its legend of so many rows.
func (m Model) grid(p picture, width, height, rows int) []string {
	c := m.below(p, width, height, rows)
	var legend, out []string
	names := p.names(c)
	lines, _ := canvas.LegendIn(width-2, rows, canvas.Name{}, names...)
	for _, l := range lines {
		legend = append(legend, style.Cell(" "+m.asDrawn(l, p.signs), width))
	}
	for _, l := range c.SignRows(p.ranks, p.signs) {
		out = append(out, " "+l)
	}
	return canvas.Under(legend, out, height)
}

// asDrawn is a line of a legend with its signs as they are drawn.
func (m Model) asDrawn(line string, signs []string) string {
	parts := strings.Split(line, "  ")
	for i, part := range parts {
		sign, means, _ := strings.Cut(part, " ")
		if k := slices.IndexFunc(signs, func(s string) bool { return ansi.Strip(s) == sign }); k >= 0 {
			sign = signs[k]
		} else {
			sign = m.style.Quiet.Render(sign)
		}
		parts[i] = sign + " " + m.style.Quiet.Render(means)
	}
	return strings.Join(parts, "  ")
}

// pictures are those of all pages.
func (m Model) pictures(pl *plan.Plan) (out []picture) {
	for _, p := range pages {
		if m.has(p) {
			out = append(out, p.picture(m, pl))
		}
	}
	return out
}

// voltage shows the mark of each pixel's voltage, and the feeds.
func (m Model) voltage(pl *plan.Plan) picture {
	return picture{of: pl.Prop, ranks: ranks(pl), signs: m.signs(), means: append(counted(pl), canvas.Named("F feed"))}
}

// counted explains the marks that are drawn, with the number of pixels of each.
func counted(pl *plan.Plan) (out []canvas.Name) {
	var n [marks]int
	for i := range pl.Power.Pixels {
		n[markOf(pl.Power, pl.Prop.Supply.Volts, i)]++
	}
	for k, says := range [marks]string{holds: "hold", near: "near", low: "too low", dead: "no supply"} {
		if n[k] > 0 {
			full := fmt.Sprintf("%s %d %s", letters[k], n[k], says)
			out = append(out, canvas.Name{Full: full, Brief: letters[k] + " " + markInShort[k]})
		}
	}
	return out
}

// markInShort are the marks in a legend that has no room for their numbers.
var markInShort = [marks]string{holds: "ok", near: "near", low: "low", dead: "dead"}

// beginnings shows where runs begin, by their numbers; with more than nine it shows the feeds, since two
// digits do not fit a cell.
func (m Model) beginnings(pl *plan.Plan) picture {
	if !portrait.Numbered(pl.Prop) {
		return m.voltage(pl)
	}
	ranks, signs := portrait.Beginnings(m.style, pl.Prop)
	return picture{of: pl.Prop, ranks: ranks, signs: signs, plan: true, means: []canvas.Name{portrait.Begins(pl.Prop)}}
}

// leastLamp is the height of a bulb's drawing with its legend, below which it is no disc.
const leastLamp = 7

// withLamp puts a bulb in the middle of the rows that its page leaves free, as large as they are, in the
// colour of its verdict, with one sign of it in the middle.
func (m Model) withLamp(page []string) []string {
	for len(page) < m.size.Height {
		page = append(page, "")
	}
	used := len(page)
	for used > 0 && style.Blank(page[used-1]) {
		used--
	}
	rows := len(page) - used - 1
	if m.plan == nil || !m.plan.Prop.Bulb() || rows < leastLamp {
		return page
	}
	k := markOf(m.plan.Power, m.plan.Prop.Supply.Volts, 0)
	sign, says := letters[k], [marks]string{holds: "holds", near: "near its lowest", low: "too low", dead: "no supply"}[k]
	look, disc, unknown := m.styleOf(k), "█", m.plan.BulbWireMissing()
	if unknown {
		look, sign, says = m.style.Doubt, "?", "volts not known"
	}
	if m.style.Depth == style.Letters {
		disc = "·"
	}
	drawn := []string{look.Filled().Render(sign) + m.style.Quiet.Render(" the bulb: "+says), ""}
	lamp := canvas.Placed(m.plan.Prop, nil, m.rightWidth()-2, rows-len(drawn), m.style.Depth).SignRows([]uint8{0}, []string{disc})
	lamp = slices.DeleteFunc(lamp, style.Blank)
	if unknown {
		lamp = canvas.Outline(lamp, disc)
	}
	for i, l := range lamp {
		from := max(0, strings.Index(l, disc))
		cells := []rune(strings.TrimRight(l[from:], " "))
		text := look.Render(string(cells))
		if mid := len(cells) / 2; i == len(lamp)/2 {
			text = look.Render(string(cells[:mid])) + look.Filled().Render(sign) + look.Render(string(cells[mid+1:]))
		}
		drawn = append(drawn, l[:from]+text)
	}
	return append(page[:used+1], style.Indent(drawn, 1)...)
}

// ranks is the mark of each pixel, or the feed that enters there.
func ranks(pl *plan.Plan) []uint8 {
	out := make([]uint8, pl.Prop.Pixels())
	for i := range out {
		out[i] = uint8(markOf(pl.Power, pl.Prop.Supply.Volts, i))
	}
	for _, f := range pl.Power.Feeds {
		if f.Pixel < len(out) {
			out[f.Pixel] = uint8(marks)
		}
	}
	return out
}

// signs are the letters of the marks, the worst last, and of a feed.
func (m Model) signs() []string {
	var out []string
	for k := range marks {
		out = append(out, m.sign(k))
	}
	return append(out, m.style.Strong.Render("F"))
}
