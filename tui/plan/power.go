package plan

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/plan"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/style"
)

// lines are the strip with the volts along it, what to do, and the feeds.
func (powerPage) lines(m Model, pl *plan.Plan, width, rows int) []string {
	var out []string
	if !pl.Prop.Bulb() { // a bulb has one voltage
		said := m.voltsAt(pl, width)
		if m.layout() != wide { // else the drawing stands beside the page
			out = append(m.strips(pl, width, rows), "")
			m.drawn.strips = len(out) - 1
		}
		out = append(append(out, said...), "")
	}
	for _, s := range pl.Power.Findings {
		lines := item("!", s, width)
		lines[0] = " " + m.style.Warn.Render("!") + lines[0][2:]
		out = append(out, lines...)
	}
	if e := pl.Power.Extra; pl.Power.MinVolts > 0 && e.Possible && len(e.Pixels) == 0 && !pl.Prop.Bulb() {
		out = append(out, item("-", "No more feeds are needed for full level.", width)...)
	}
	what := "With every pixel dark it"
	if pl.Prop.Bulb() {
		what = "Dark, the bulb still"
	}
	out = append(out, item("-", fmt.Sprintf("%s draws %s.", what, words.Amps(pl.Power.DarkAmps)), width)...)
	out = append(append(out, ""), m.feedLines(pl, width)...)
	if width >= tableWidth { // on a narrow page each feed has it
		for i, f := range pl.Power.Feeds {
			if f.Check.FuseAmps > 0 { // feeds without a fuse are among the findings
				out = append(out, item("-", feedName(pl, i)+": "+f.Check.ShortText()+".", width)...)
			}
		}
	}
	return out
}

// tableWidth is the width from which the feeds are a table.
const tableWidth = 64

// Rows of the drawing on the page of power, with its legend: a low page is the drawing but for the note
// that more follows, with an empty row above it.
const (
	lowBody   = 14
	leastBody = 7
	moreRows  = 2
)

// strips is the prop in few rows, with a letter for the voltage of each pixel. Where the legend in full leaves no
// empty row below it, it is in short.
func (m Model) strips(pl *plan.Plan, width, rows int) []string {
	high, shown := max(leastBody, rows/2), m.voltage(pl)
	if rows < lowBody {
		high = max(min(leastBody, rows), rows-moreRows)
	}
	shown.rows = true
	said := m.legendRows(width, high, shown)
	if first, after := m.below(shown, width, high, said).Used(); said+1+after-first > high {
		shown.short = true
		said = m.legendRows(width, high, shown)
	}
	return style.WithoutEnd(m.grid(shown, width, high, said))
}

// mostVolts is the most pixels whose volts are named.
const mostVolts = 8

// voltsAt are the volts where data enters and leaves each run, or with many runs those at the feeds, and
// the lowest, each in the colour of its mark.
func (m Model) voltsAt(pl *plan.Plan, width int) []string {
	r := pl.Power
	var at []int
	for i, run := range pl.Prop.Runs {
		if first := pl.Prop.FirstPixel(i); run.Pixels > 0 {
			at = append(at, first, first+run.Pixels-1)
		}
	}
	if len(at) >= mostVolts {
		at = at[:0]
		for _, f := range r.Feeds[:min(len(r.Feeds), mostVolts-1)] {
			at = append(at, f.Pixel)
		}
	}
	at = slices.DeleteFunc(append(at, r.Constant.At), func(i int) bool { return i < 0 || i >= r.Pixels })
	slices.Sort(at)
	text := ""
	for i, pixel := range slices.Compact(at) {
		say := m.styleOf(markOf(r, pl.Prop.Supply.Volts, pixel)).Render(strings.TrimSuffix(words.Volts(r.Constant.Volts(pixel)), " V"))
		switch i {
		case 0:
			text = fmt.Sprintf("Volts: %s at pixel %d", say, pixel+1)
		default:
			text += fmt.Sprintf(", %s\u00a0at\u00a0%d", say, pixel+1)
		}
	}
	return style.Indent(style.Wrap(text+fmt.Sprintf("; the chip needs\u00a0%.2f.", r.MinVolts), width-2), 1)
}

// feedLines is a line a feed, two where there is little room.
func (m Model) feedLines(pl *plan.Plan, width int) []string {
	if width < tableWidth {
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
		first := fmt.Sprintf("%s%s: %s", m.style.Strong.Render(feedName(pl, i)), at, f.Check.LoadText())
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
