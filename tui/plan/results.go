package plan

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/plan"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// headline is the summary of the results: one line, or in full for the page of power.
func (m Model) headline(width int) []string {
	st := m.style
	first := m.reckonedWith(width)
	if m.planOf != m.serial || m.working {
		first += st.Accent.Render("  working")
	}
	switch {
	case m.failed != "":
		out := []string{first}
		for _, l := range style.Wrap(words.Capital(m.failed), width-2) {
			out = append(out, " "+st.Warn.Render(l))
		}
		return out
	case m.plan == nil:
		return []string{first, " Working it out."}
	case m.pageNow().short() || m.layout() == narrow:
		return []string{first, m.shortest(m.plan, width)}
	case m.size.Height < lowAir && !m.plan.Prop.Bulb():
		return []string{first, m.shortest(m.plan, width), m.held(m.plan, width)}
	}
	out := []string{first, m.amps(m.plan, width), m.lowest(m.plan, width)}
	if m.plan.Prop.Bulb() && m.plan.Power.Holds {
		return out // a bulb has one voltage
	}
	return append(out, m.held(m.plan, width))
}

// reckonedWith is the level and the colour of the plan, with the keys that change them; none while keys
// type text.
func (m Model) reckonedWith(width int) string {
	st := m.style
	level, colour := st.Strong.Render(words.Percent(m.level)), st.Strong.Render(m.colourNow().Name)
	bare := fmt.Sprintf(" Plan: level %s, %s", level, colour)
	if m.keyless() {
		return bare
	}
	up, down := m.levelKeys()
	steps := st.Accent.Render(screen.Either(up, down, "level").Help().Key)
	keyed := fmt.Sprintf(" Plan: %s level %s, %s %s", steps, level, st.Accent.Render("c"), colour)
	return style.FirstFit(width, bare+"  "+steps+" level  "+st.Accent.Render("c")+" colour", keyed, bare)
}

func (m Model) amps(pl *plan.Plan, width int) string {
	s := pl.Power.Supply
	verdict := m.style.Good.Render("good")
	if s.Load == power.Bad {
		verdict = m.style.Warn.Render("too much")
	}
	line := ""
	for _, t := range []string{" Draws %s; the supply gives %s for hours on end: %s", " Draws %s; the supply gives %s: %s", " Draws %s of %s: %s"} {
		line = fmt.Sprintf(t, m.style.Strong.Render(pl.Power.AmpsText()+" A"), words.Amps(s.Limit), verdict)
		if ansi.StringWidth(line) <= width {
			break
		}
	}
	return line
}

func (m Model) lowest(pl *plan.Plan, width int) string {
	c, p := pl.Power.Constant, pl.Prop
	if c.Dead > 0 {
		return m.style.Warn.Render(fmt.Sprintf(" No supply: %d pixels from %d on", c.Dead, c.DeadAt+1))
	}
	if pl.BulbWireMissing() {
		return style.FirstFit(width, " Volts at the bulb not known: its wire is not given", " Volts not known: its wire is not given")
	}
	v := words.Volts(c.Lowest)
	if pl.Power.Holds {
		v = m.style.Strong.Render(v)
	} else {
		v = m.style.Warn.Render(v)
	}
	if p.Bulb() {
		return " At the bulb " + v
	}
	line := fmt.Sprintf(" Lowest %s at pixel %d", v, c.At+1)
	sags := fmt.Sprintf("; likely about %s", words.Volts(pl.Power.Sagging.Lowest))
	for _, more := range []string{", " + m.inRun(p, c.At) + sags, sags, ", " + m.inRun(p, c.At)} {
		if ansi.StringWidth(line+more) <= width {
			return line + more
		}
	}
	return line
}

// inRun is a pixel as its run counts it.
func (m Model) inRun(p *prop.Prop, pixel int) string {
	r, at := p.Find(pixel)
	if r < 0 {
		return "outside every run"
	}
	return fmt.Sprintf("%d of %s", at+1, style.Clean(p.Runs[r].Name))
}

// held is the level up to which every pixel has its volts, and up to which the supply is
// large enough.
func (m Model) held(pl *plan.Plan, width int) string {
	r := pl.Power
	level := func(share float64) string {
		return m.style.Strong.Render(fmt.Sprintf("%d %%", power.FloorPercent(share)))
	}
	volts := words.Volts(r.MinVolts)
	switch {
	case !r.HoldsDark:
		return m.style.Warn.Render(" ! Below " + volts + " even dark")
	case r.HoldLevel < 0.01:
		return " Every pixel gets " + volts + " below level 1 % only"
	}
	if r.SupplyLevel < 1 && r.HoldLevel < 1 { // two limits: the lower one counts
		most, other := r.HoldLevel, fmt.Sprintf("the supply alone allows %s", level(r.SupplyLevel))
		why := "for " + volts + " at every pixel"
		if r.SupplyLevel < r.HoldLevel {
			most, why, other = r.SupplyLevel, "for the supply", volts+" at every pixel alone allows "+level(r.HoldLevel)
		}
		use := " Use level " + level(most) + " at most"
		return style.FirstFit(width, use+", "+why+"; "+other, use+", "+why, use+", "+strings.TrimSuffix(why, " at every pixel"), use)
	}
	return style.FirstFit(width, fmt.Sprintf(" Every pixel gets %s up to level %s", volts, level(r.HoldLevel)),
		fmt.Sprintf(" %s up to level %s", volts, level(r.HoldLevel)))
}

// shortest is the summary on one line, with the problems in words if they fit.
func (m Model) shortest(pl *plan.Plan, width int) string {
	r := pl.Power
	amps := fmt.Sprintf("%s of %s", r.AmpsText(), words.Amps(r.Supply.Limit))
	volts, at := words.Volts(r.Constant.Lowest), fmt.Sprintf(" at pixel %d", r.Constant.At+1)
	if pl.Prop.Bulb() {
		at = ""
	}
	fuse := ""
	for _, f := range r.Feeds {
		if fuse == "" && f.Check.Verdict == power.Bad {
			fuse = ", " + m.style.Warn.Render("! "+f.Check.Word())
		}
	}
	bad := func(is bool, word, figure, usual string) string {
		if is {
			return m.style.Warn.Render(word + figure)
		}
		return m.style.Strong.Render(usual + figure)
	}
	if pl.BulbWireMissing() {
		return " " + bad(r.Supply.Load == power.Bad, "Too much: ", amps, "") + ", wire not given" + fuse
	}
	line := ""
	for _, at := range []string{at, ""} {
		line = " " + bad(r.Supply.Load == power.Bad, "Too much: ", amps, "") + ", " + bad(!r.Holds, "too low: ", volts+at, "lowest ") + fuse
		if ansi.StringWidth(line) <= width {
			return line
		}
	}
	tight := fmt.Sprintf("%s of %s", words.Figure(r.Amps), words.Amps(r.Supply.Limit))
	if r.Supply.Load != power.Bad {
		tight = words.Amps(r.Amps)
	}
	much, low := "", " lowest"
	if r.Supply.Load == power.Bad {
		much = " too much"
	}
	if !r.Holds {
		low = " too low"
	}
	for _, amps := range []string{tight, words.Amps(r.Amps)} {
		line = " " + bad(much != "", "", amps+much, "") + ", " + bad(!r.Holds, "", volts+low, "") + fuse
		if ansi.StringWidth(line) <= width {
			break
		}
	}
	return line
}

// pageLines are all lines of the page shown, cached until the input changes.
func (m Model) pageLines(width int) []string {
	if m.plan == nil {
		return nil
	}
	d, p, rows := m.drawn, m.pageNow(), m.pageRows()
	if d.linesOf == m.plan && d.linesPage == p && d.linesW == width && d.linesH == rows {
		return d.lines
	}
	out := p.lines(m, m.plan, width, rows)
	d.linesOf, d.linesPage, d.linesW, d.linesH, d.lines = m.plan, p, width, rows, out
	return out
}

func (countsPage) lines(m Model, pl *plan.Plan, width, _ int) []string {
	p := pl.Prop
	runs := "runs"
	if len(p.Runs) == 1 {
		runs = "run"
	}
	out := []string{fmt.Sprintf(" %s of %s in %d %s", m.style.Strong.Render(fmt.Sprintf("%d pixels", p.Pixels())), style.Clean(p.Chip.Name), len(p.Runs), runs), ""}
	for l := range strings.Lines(pl.Counts(width - 1)) {
		l = style.Clean(strings.TrimRight(l, "\n"))
		if l != "" && l[0] != ' ' {
			out = append(out, " "+m.style.Strong.Render(l))
			continue
		}
		out = append(out, hanging(l, width-1)...)
	}
	return out
}

// hanging is a line of a table; where it is too wide it goes on below, further in.
func hanging(l string, width int) []string {
	if style.Width(l) <= width {
		return []string{l}
	}
	indent := l[:len(l)-len(strings.TrimLeft(l, " "))]
	lines := style.Wrap(strings.Join(strings.Fields(l), " "), width-len(indent)-2)
	for i := range lines {
		lines[i] = indent + lines[i]
		if i == 0 {
			indent += "  "
		}
	}
	return lines
}

// lines are the patch, a line a run, and what is free after it.
func (addressPage) lines(m Model, pl *plan.Plan, width, _ int) []string {
	p := pl.Prop
	var out []string
	for _, l := range style.Wrap(fmt.Sprintf("Host %s, %s, %d slots a pixel", m.style.Strong.Render(style.Clean(p.Address.HostName())), p.Chip.Order, p.Chip.Order.Slots()), width-2) {
		out = append(out, " "+l)
	}
	out = append(out, "")
	rows := [][]string{{"run", "pixels", "from", "to", "travel"}}
	if p.Bulb() {
		rows[0][4] = ""
	}
	for i, r := range pl.Rows {
		rows = append(rows, []string{m.rowName(pl, i), fmt.Sprintf("%d to %d", r.FirstPixel, r.LastPixel),
			fmt.Sprintf("U%d S%d", r.FirstUniverse, r.FirstSlot), fmt.Sprintf("U%d S%d", r.LastUniverse, r.LastSlot), r.Travel})
	}
	out = append(out, m.table(rows, width)...)
	if len(p.Parts) > 0 {
		rows = [][]string{{"part", "pixels", ""}}
		for _, t := range p.Parts {
			empty := ""
			if t.Empty {
				empty = "empty: no light"
			}
			rows = append(rows, []string{style.Clean(t.Name), fmt.Sprintf("%d to %d", t.First+1, t.Last+1), empty})
		}
		out = append(append(out, ""), m.table(rows, width)...)
	}
	say := func(format string, args ...any) {
		for _, l := range style.Wrap(fmt.Sprintf(format, args...), width-2) {
			out = append(out, " "+l)
		}
	}
	out = append(out, "")
	say("U is a universe, S a slot.")
	for _, h := range prop.Hosts([]*prop.Prop{p}) {
		if h.NextUniverse == 0 {
			say("%d slots; none is free after them.", h.Slots)
			continue
		}
		say("%d slots; the next free is U%d S%d.", h.Slots, h.NextUniverse, h.NextSlot)
	}
	if p.Bulb() {
		return out // a single pixel is never split
	}
	own := p.Address.Packing
	say("Packing is %s.", own.About())
	switch n := len(pl.Other); {
	case n == 0:
		say("With packing %s it does not fit.", own.Other().About())
	case !prop.SameSlots(pl.Rows, pl.Other):
		say("With packing %s it ends at U%d S%d.", own.Other().About(), pl.Other[n-1].LastUniverse, pl.Other[n-1].LastSlot)
	}
	return out
}

// rowName is the run of a row of the patch, with its number where the drawing beside it has that.
func (m Model) rowName(pl *plan.Plan, i int) string {
	name := style.Clean(pl.Rows[i].Run)
	if m.layout() == wide && portrait.Numbered(pl.Prop) && len(pl.Rows) == len(pl.Prop.Runs) {
		name = fmt.Sprintf("%d %s", i+1, name)
	}
	return name
}

// table sets rows in columns below their headings. In a narrow window the first column is
// shortened, then the last ones are left out.
func (m Model) table(rows [][]string, width int) []string {
	wide := make([]int, len(rows[0]))
	for _, r := range rows {
		for i, c := range r {
			wide[i] = max(wide[i], ansi.StringWidth(c))
		}
	}
	cols, rest := len(wide), 0
	for {
		rest = 1
		for _, w := range wide[1:cols] {
			rest += w + 2
		}
		if cols <= 2 || rest+min(wide[0], 14) <= width {
			break
		}
		cols--
	}
	wide[0] = min(wide[0], max(4, width-rest))
	var out []string
	for i, r := range rows {
		l := " "
		for c := range cols {
			if c > 0 {
				l += "  "
			}
			l += style.Cell(r[c], wide[c])
		}
		if i == 0 {
			l = m.style.Quiet.Render(l)
		}
		out = append(out, l)
	}
	return out
}

// lines are warnings of the file, cautions, and assumptions.
func (safetyPage) lines(m Model, pl *plan.Plan, width, _ int) []string {
	var out []string
	section := func(head string, all []string) {
		if len(all) == 0 {
			return
		}
		if len(out) > 0 {
			out = append(out, "")
		}
		out = append(out, " "+m.style.Strong.Render(head))
		for _, s := range all {
			out = append(out, item("-", s, width)...)
		}
	}
	var doubts []string
	for _, d := range m.doc.Doubts() {
		doubts = append(doubts, fmt.Sprintf("%s: %s: %s.", d.Key, d.Text, d.Hint))
	}
	section("Look again", doubts)
	section("Cautions", pl.Power.Cautions)
	section("Assumed", pl.Power.Assumed)
	return out
}

// item is a sentence after a mark, wrapped.
func item(mark, s string, width int) []string {
	lines := style.Wrap(style.Clean(s), width-4)
	for i, l := range lines {
		if i == 0 {
			lines[i] = " " + mark + " " + l
		} else {
			lines[i] = "   " + l
		}
	}
	return lines
}
