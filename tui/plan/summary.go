package plan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/plan"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/sorting"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// headline is the summary of the results: one line, or in full for the page of power and for all pages where the
// drawing is beside them, so that it keeps its place. On a narrow page the large words say the result.
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
	case m.layout() == narrow:
		return append([]string{first}, m.wiresFirst()...)
	case m.pageNow().short() && m.layout() == middle:
		return []string{first, m.shortest(m.plan, width)}
	case m.size.Height < lowHead && !m.plan.Prop.Bulb():
		return []string{first, m.advised(m.plan, width)}
	}
	out := append([]string{first}, m.wiresFirst()...)
	out = append(out, m.amps(m.plan, width), m.lowest(m.plan, width))
	if m.plan.Prop.Bulb() && m.plan.Power.Holds {
		return out // a bulb has one voltage
	}
	return append(out, m.held(m.plan, width))
}

// wiresFirst is what the wires carry, in a line, where that is less than the plan has.
func (m Model) wiresFirst() []string {
	if m.plan == nil || m.wires(m.plan.Power) == "" {
		return nil
	}
	return []string{" " + m.wires(m.plan.Power)}
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
	keyed := fmt.Sprintf(" Plan: level %s (%s), %s (%s)", level, steps, colour, st.Accent.Render("c"))
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

// A limit is what holds the level down.
type limit struct {
	level  float64 // 0 to 1
	reason string  // why the level is no higher
	alone  string  // what would allow another level
}

// limits are what holds the level below full, the lowest first.
func limits(r *power.Report) []limit {
	volts := words.Volts(r.MinVolts) + " at every pixel"
	all := []limit{{r.WireLevel, "for the wires", "the wires carry"}, {r.HoldLevel, "for " + volts, volts + " alone allows"},
		{r.SupplyLevel, "for the supply", "the supply alone allows"}}
	all = slices.DeleteFunc(all, func(l limit) bool { return l.level >= 1 })
	sorting.Stable(all, func(a, b limit) int { return cmp.Compare(a.level, b.level) })
	return all
}

// held is the level up to which every pixel has its volts, and up to which supply and wires are
// large enough.
func (m Model) held(pl *plan.Plan, width int) string {
	r := pl.Power
	volts := words.Volts(r.MinVolts)
	switch {
	case !r.HoldsDark:
		return m.style.Warn.Render(" ! Below " + volts + " even dark")
	case r.HoldLevel < 0.01:
		return " Every pixel gets " + volts + " below level 1 % only"
	}
	percent := func(share float64) string {
		return m.style.Strong.Render(fmt.Sprintf("%d %%", power.FloorPercent(share)))
	}
	if all := limits(r); len(all) > 1 || len(all) == 1 && r.WireLevel < 1 { // the lowest counts
		use, why := " Use level "+percent(all[0].level)+" at most", ", "+all[0].reason
		forms := []string{use + why, use + strings.TrimSuffix(why, " at every pixel"), use}
		if len(all) > 1 {
			forms = append([]string{use + why + "; " + all[1].alone + " " + percent(all[1].level)}, forms...)
		}
		return style.FirstFit(width, forms...)
	}
	return style.FirstFit(width, fmt.Sprintf(" Every pixel gets %s up to level %s", volts, percent(r.HoldLevel)),
		fmt.Sprintf(" %s up to level %s", volts, percent(r.HoldLevel)))
}

// advised is one line with a problem of the plan and the level to use; the large words above it have the amps
// where those are too many. The summary where there is no problem.
func (m Model) advised(pl *plan.Plan, width int) string {
	r, problem := pl.Power, ""
	switch {
	case !r.HoldsDark || r.HoldLevel < 0.01:
		return m.held(pl, width)
	case r.Level > r.WireLevel:
		problem = wiresCarry(r)[0]
	case !r.Holds:
		problem = words.Volts(r.Constant.Lowest) + " too low"
	case r.Supply.Load == power.Bad:
		problem = words.Amps(r.Amps) + " too much"
	}
	if problem == "" || len(limits(r)) == 0 {
		return m.shortest(pl, width)
	}
	level := m.style.Strong.Render(fmt.Sprintf("%d %%", power.FloorPercent(limits(r)[0].level)))
	problem = " " + m.style.Warn.Render(problem)
	return style.FirstFit(width, problem+": use level "+level+" at most", problem+": level "+level+" at most", problem)
}

// wires says what level the wires carry where that is less than full level, as a problem where the plan's
// level is above it; empty where they carry all.
func (m Model) wires(r *power.Report) string {
	if r.WireLevel >= 1 {
		return ""
	}
	says := wiresCarry(r)[0]
	if r.Level > r.WireLevel {
		return m.style.Warn.Render(says)
	}
	return m.style.Strong.Render(says)
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
	forms := []string{}
	for _, at := range []string{at, ""} {
		forms = append(forms, " "+bad(r.Supply.Load == power.Bad, "Too much: ", amps, "")+", "+bad(!r.Holds, "too low: ", volts+at, "lowest ")+fuse)
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
		forms = append(forms, " "+bad(much != "", "", amps+much, "")+", "+bad(!r.Holds, "", volts+low, "")+fuse)
	}
	if wires := m.wires(r); wires != "" { // first, and alone where there is no room
		for i := range forms {
			forms[i] = " " + wires + "," + forms[i]
		}
		forms = append(forms[2:], " "+wires)
	}
	return style.FirstFit(width, forms...)
}
