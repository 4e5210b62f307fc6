package plan

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/plan"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/style"
)

// Rows of the chart of voltages.
const (
	leastChart = 7
	mostChart  = 12
)

// lines are the chart of voltages, the feeds, and the findings.
func (powerPage) lines(m Model, pl *plan.Plan, width, rows int) []string {
	var out []string
	if !pl.Prop.Bulb() { // a bulb has one voltage
		most := rows / 2
		if rows < 2*leastChart {
			most = rows - 1 // the last row says that more follows
		}
		out = append(m.chart(pl, width-2, max(leastChart, min(most, mostChart))), "")
	}
	out = append(out, m.feedLines(pl, width)...)
	out = append(out, "")
	for _, s := range pl.Power.Findings {
		lines := item("!", s, width)
		lines[0] = " " + m.style.Warn.Render("!") + lines[0][2:]
		out = append(out, lines...)
	}
	if e := pl.Power.Extra; pl.Power.MinVolts > 0 && e.Possible && len(e.Pixels) == 0 && !pl.Prop.Bulb() {
		out = append(out, item("-", "No more feeds are needed for full level.", width)...)
	}
	if width >= 64 { // on a narrow page each feed has it
		for i, f := range pl.Power.Feeds {
			if f.Check.FuseAmps > 0 { // feeds without a fuse are among the findings
				out = append(out, item("-", feedName(pl, i)+": "+f.Check.ShortText()+".", width)...)
			}
		}
	}
	what := "With every pixel dark it"
	if pl.Prop.Bulb() {
		what = "Dark, the bulb still"
	}
	return append(out, item("-", fmt.Sprintf("%s draws %s.", what, words.Amps(pl.Power.DarkAmps)), width)...)
}

// chart is the voltage along the pixels, each column in the colour of its worst pixel and
// with that pixel's letter below, so that it can be read without colours.
func (m Model) chart(pl *plan.Plan, width, height int) []string {
	r := pl.Power
	tight := height == leastChart // one row explains the signs, the axis has the chip's lowest voltage
	if !tight {
		height-- // two rows do
	}
	lines := r.Chart(width, height)
	left, grades := r.ChartColumns(width)
	worst := make([]mark, len(grades))
	for c := range worst {
		for i := c * r.Pixels / len(worst); i < max(c*r.Pixels/len(worst)+1, (c+1)*r.Pixels/len(worst)); i++ {
			worst[c] = max(worst[c], markOf(r, pl.Prop.Supply.Volts, i))
		}
	}
	feeds := len(lines) - 3 // the row below the bars, which shows where feeds enter
	for i, l := range lines {
		switch {
		case i < feeds:
			l = m.chartRow([]rune(l), left, worst)
		case i == feeds:
			l = m.chartRow(lettered([]rune(l), left, worst), left, worst)
		default:
			l = m.style.Quiet.Render(l)
		}
		lines[i] = " " + l
	}
	if feeds < 1 { // no room for bars
		return lines
	}
	from, _, _ := strings.Cut(lines[feeds-1], "V")
	from = "axis from " + strings.TrimSpace(ansi.Strip(from)) + " V"
	if tight {
		parts := append(m.counted(pl), "F feed")
		long := strings.Join(parts, "  ")
		lines[len(lines)-1] = " " + m.asDrawn(style.FirstFit(width, long, strings.ReplaceAll(long, "too low", "low"), strings.Join(parts[:len(parts)-1], "  ")), false)
		return lines
	}
	lines[len(lines)-1] = " " + m.asDrawn(chartCaption(width, strings.Contains(strings.Join(lines[:feeds], ""), "•")), false)
	parts := m.counted(pl)
	return append(lines, " "+m.asDrawn(style.FirstFit(width, strings.Join(append(parts, from), "  "), strings.Join(parts, "  ")), false))
}

// counted explains the letters with the number of pixels of each: a column shows the worst of
// its pixels, so that a few of another kind may have none.
func (m Model) counted(pl *plan.Plan) (out []string) {
	var n [marks]int
	for i := range pl.Power.Pixels {
		n[markOf(pl.Power, pl.Prop.Supply.Volts, i)]++
	}
	for k, says := range [marks]string{holds: "hold", near: "near", low: "too low", dead: "no supply"} {
		if n[k] > 0 {
			out = append(out, fmt.Sprintf("%s %d %s", letters[k], n[k], says))
		}
	}
	return out
}

// chartCaption explains the other signs of the chart.
func chartCaption(width int, likely bool) string {
	dots := ""
	if likely {
		dots = "• likely  "
	}
	return style.FirstFit(width,
		"bars: at worst  "+dots+"─ chip's lowest  F feed",
		"bars: worst  "+dots+"─ lowest  F feed",
		"F feed")
}

// lettered puts the letter of each column into the cells of a row that are free.
func lettered(row []rune, left int, worst []mark) []rune {
	for len(row) < left+len(worst) {
		row = append(row, ' ')
	}
	for c, k := range worst {
		switch row[left+c] {
		case ' ':
			row[left+c] = rune(letters[k][0])
		case '▲': // a feed has one sign, here and in the drawing
			row[left+c] = 'F'
		}
	}
	return row
}

// overBars reports whether a cell of the chart belongs to a line over the bars, which has
// another colour than they so that it is seen; the letter of a feed is no mark of its pixel.
func overBars(cell rune) bool { return cell == '─' || cell == '•' || cell == 'F' }

func (m Model) chartRow(row []rune, left int, worst []mark) string {
	if len(row) <= left {
		return m.style.Quiet.Render(string(row))
	}
	var b strings.Builder
	b.WriteString(m.style.Quiet.Render(string(row[:left])))
	cells := row[left:]
	for i := 0; i < len(cells); {
		j, look := i, m.styleOf(worst[i])
		if overBars(cells[i]) {
			look = m.style.Strong
		}
		for j < len(cells) && j < len(worst) && worst[j] == worst[i] && overBars(cells[j]) == overBars(cells[i]) {
			j++
		}
		text := string(cells[i:j])
		if worst[i] == near && m.style.Depth == style.Sixteen { // caution may have no colour there
			text = strings.ReplaceAll(text, "█", "▒")
		}
		b.WriteString(look.Render(text))
		i = j
	}
	return b.String()
}

// feedLines is a line a feed, two where there is little room.
func (m Model) feedLines(pl *plan.Plan, width int) []string {
	if width < 64 {
		return m.feedLinesNarrow(pl, width)
	}
	rows := [][]string{{"feed", "pixel", "amps", "lost", "wire", "fuse", "verdict"}}
	for i, f := range pl.Power.Feeds {
		lost, wire := lostIn(f)
		rows = append(rows, []string{feedName(pl, i), fmt.Sprint(f.Pixel + 1), words.Amps(f.Amps), lost,
			wire, fuseText(f.Check), m.verdict(f.Check)})
	}
	if pl.Prop.Bulb() { // it has one place
		for i := range rows {
			rows[i] = slices.Delete(rows[i], 1, 2)
		}
	}
	table := m.table(rows, width)
	out := table[:1:1]
	for i, f := range pl.Power.Feeds { // why a verdict is not good stands below it
		out = append(out, table[i+1])
		if why := f.Check.Why(); why != "" {
			for _, l := range style.Wrap(why, width-4) {
				out = append(out, "   "+l)
			}
		}
	}
	return out
}

// lostIn are the volts lost in a feed's wires and the wire; a wire that the file does not give
// has no figure.
func lostIn(f power.FeedReport) (lost, wire string) {
	if f.NoWire {
		return "not known", "not given"
	}
	return words.Volts(f.Drop), f.Wire
}

func (m Model) feedLinesNarrow(pl *plan.Plan, width int) []string {
	var out []string
	for i, f := range pl.Power.Feeds {
		at := fmt.Sprintf(" at pixel %d", f.Pixel+1)
		if pl.Prop.Bulb() {
			at = ""
		}
		first := fmt.Sprintf("%s%s: %s", m.style.Strong.Render(feedName(pl, i)), at, words.Amps(f.Amps))
		if !f.NoWire {
			first += fmt.Sprintf(", %s lost", words.Volts(f.Drop))
		}
		for _, l := range style.Wrap(first, width-2) {
			out = append(out, " "+l)
		}
		wire := f.Wire
		if f.NoWire {
			wire = "wire not given"
		}
		if f.Check.FuseAmps > 0 {
			wire += ", fuse " + fuseText(f.Check)
		}
		second := fmt.Sprintf("%s: %s", wire, m.verdict(f.Check))
		if why := f.Check.Why(); why != "" {
			second += ", " + why
		}
		if f.Check.FuseAmps > 0 {
			second += "; " + f.Check.ShortText()
		}
		for _, l := range style.Wrap(second, width-4) {
			out = append(out, "   "+l)
		}
	}
	return out
}

func fuseText(c power.FuseCheck) string {
	if c.FuseAmps == 0 {
		return "none"
	}
	return words.Given(c.FuseAmps, "A")
}

// verdict is the verdict on supply, wire and fuse of a feed, in its colour.
func (m Model) verdict(c power.FuseCheck) string {
	switch c.Verdict {
	case power.Bad:
		return m.style.Warn.Render(c.Word())
	case power.Doubtful:
		return m.style.Doubt.Render(c.Word())
	case power.Good:
		return m.style.Good.Render(c.Word())
	}
	return c.Word()
}

// feedName is the feed as the file has it.
func feedName(pl *plan.Plan, i int) string {
	if i < len(pl.Prop.Feeds) {
		return style.Clean(pl.Prop.Feeds[i].Name)
	}
	return style.Clean(pl.Power.Feeds[i].Name)
}
