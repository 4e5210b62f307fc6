package plan

import (
	"slices"
	"strings"

	"example.org/ringout/internal/plan"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// drawing is the prop with a letter for the voltage of each pixel and the direction of
// data, and a legend below, in exactly height rows.
func (m Model) drawing(width, height int) []string {
	out := make([]string, height)
	if m.plan == nil {
		return out
	}
	d := m.drawn
	if d.gridOf != m.plan || d.gridW != width || d.gridH != height {
		d.gridOf, d.gridW, d.gridH = m.plan, width, height
		d.grid = m.grid(m.plan, width, height)
	}
	copy(out, d.grid)
	return out
}

func (m Model) grid(pl *plan.Plan, width, height int) []string {
	if height < 2 || width < 4 {
		return nil
	}
	below := func(rows int) *canvas.Canvas {
		return canvas.Placed(pl.Prop, nil, width-2, height-rows, m.style.Depth).Apart(pl.Prop, width-2, height-rows)
	}
	said := canvas.LegendRows(min(2, height-1), below, func(c *canvas.Canvas, _ int) (int, []canvas.Name) {
		return width - 2, names(pl, c)
	})
	c := below(said)
	var legend, out []string
	lines, _ := canvas.Legend(width-2, said, names(pl, c)...)
	for _, l := range lines {
		legend = append(legend, style.Cell(" "+m.asDrawn(l, true), width))
	}
	for _, l := range c.SignRows(ranks(pl), m.signs()) {
		out = append(out, " "+l)
	}
	return canvas.Under(legend, out, height)
}

// leastLamp is the height of a bulb's drawing with its legend, below which it is no disc.
const leastLamp = 9

// withLamp puts a bulb on the rows that its page leaves free, in the colour of its verdict.
func (m Model) withLamp(page []string) []string {
	for len(page) < m.size.Height {
		page = append(page, "")
	}
	used := len(page)
	for used > 0 && style.Blank(page[used-1]) {
		used--
	}
	rows := min(len(page)-used-1, 15)
	if m.plan == nil || !m.plan.Prop.Bulb() || rows < leastLamp {
		return page
	}
	width := min(m.rightWidth()-2, 3*rows)
	c := canvas.Placed(m.plan.Prop, nil, width, rows-2, m.style.Depth)
	k := markOf(m.plan.Power, m.plan.Prop.Supply.Volts, 0)
	sign, says := letters[k], [marks]string{holds: "holds", near: "near", low: "too low", dead: "no supply"}[k]
	if m.plan.BulbWireMissing() {
		k, sign, says = near, "○", "volts not known"
	}
	sign = m.styleOf(k).Filled().Render(sign)
	drawn := append([]string{sign + m.style.Quiet.Render(" the bulb: "+says), ""}, c.SignRows([]uint8{0}, []string{sign})...)
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

// signs are the letters of the marks, the worst last, and of a feed, in filled cells: they are
// seen from two metres.
func (m Model) signs() []string {
	var out []string
	for k := range marks {
		out = append(out, m.styleOf(k).Filled().Render(letters[k]))
	}
	return append(out, m.style.Strong.Render("F"))
}

// asDrawn is a line of the legend with its signs as they are drawn: in filled cells in the
// drawing, without in the chart.
func (m Model) asDrawn(line string, filled bool) string {
	parts := strings.Split(line, "  ")
	for i, part := range parts {
		sign, means, _ := strings.Cut(part, " ")
		k := slices.Index(letters[:], sign)
		switch {
		case k >= 0 && filled:
			sign = m.signs()[k]
		case k >= 0:
			sign = m.styleOf(mark(k)).Render(sign)
		case sign == "F" || sign != "" && overBars([]rune(sign)[0]):
			sign = m.style.Strong.Render(sign)
		default:
			sign = m.style.Quiet.Render(sign)
		}
		parts[i] = sign + " " + m.style.Quiet.Render(means)
	}
	return strings.Join(parts, "  ")
}

// meanings explain the letters that are drawn.
func meanings(drawn func(mark) bool) (out []string) {
	for k, meaning := range [marks]string{holds: "# holds", near: "+ near", low: "! too low", dead: "x no supply"} {
		if drawn(mark(k)) {
			out = append(out, meaning)
		}
	}
	return out
}

// names are what the letters and the signs of the way mean.
func names(pl *plan.Plan, c *canvas.Canvas) []canvas.Name {
	drawn, out := ranks(pl), []canvas.Name{c.Scale()}
	for _, meaning := range append(meanings(func(k mark) bool { return slices.Contains(drawn, uint8(k)) }), "F feed") {
		out = append(out, canvas.Named(meaning))
	}
	return append(out, c.SignNames()...)
}
