package check

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// What is only there in the demo: a simulated prop that can be taken apart and
// measured, and a secret to be told at the end.

// whole is the part that stands for all of the prop.
const whole = -1

// layBench lays on the simulated bench what is checked: one run before it is
// joined to the others, or the finished prop.
func (m Model) layBench() Model {
	want := whole
	if m.shown && m.part >= 0 && !inPlace(m.prop, m.part) && m.page != startPage && m.page != runsPage {
		want = m.part
	}
	if !m.demo || m.opt.Lay == nil || m.prop == nil || want == m.onBench {
		return m
	}
	p := m.prop
	if want >= 0 {
		p = m.sub
	}
	if err := m.opt.Lay(p, want); err != nil {
		m.note = sentence(err)
		return m
	}
	m.onBench, m.look.Light = want, nil
	return m
}

// lit is the light of what is checked, nil until it has come.
func (m Model) lit() strip.Light {
	l := m.look.Light
	switch {
	case slices.ContainsFunc(l, func(r []patterns.Colour) bool { return r == nil }):
		return nil
	case m.part >= 0 && inPlace(m.prop, m.part) && len(l) == len(m.prop.Runs):
		return cut(m.prop, l, m.first, m.first+m.sub.Pixels()-1)
	case m.sub == nil || len(l) != len(m.sub.Runs):
		return nil
	}
	return l
}

// cut is the light of pixels first to last of the plan. Where they end with
// their run, pixels beyond the plan belong to them.
func cut(p *prop.Prop, l strip.Light, first, last int) (out strip.Light) {
	for run := range l {
		at := p.FirstPixel(run)
		from, to := max(first-at, 0), min(last-at+1, p.Runs[run].Pixels)
		switch {
		case from >= to:
			continue
		case to == p.Runs[run].Pixels:
			to = len(l[run])
		}
		to = min(to, len(l[run]))
		out = append(out, l[run][min(from, to):to])
	}
	return out
}

// secret is what was put into the demo's prop, and whether it was found.
func (m Model) secret() (put, verdict string) {
	hidden := m.opt.Hidden
	switch {
	case len(hidden) == 0 && len(m.mended) > 0:
		return "Its fault is mended, and nothing else was put in.", compared(m.sub, m.st.findings, nil)
	case len(hidden) == 0:
		return "Nothing was put into this prop.", compared(m.sub, m.st.findings, nil)
	case onlyMetered(hidden):
		return "Something was put in that light at these levels hardly tells: a voltmeter does. Go through the load test, on the page before this.", ""
	case m.elsewhere():
		return "Something was put into this prop, but it does not show here.", compared(m.sub, m.st.findings, nil)
	}
	return sentences(m.prop, hidden), m.compare()
}

func sentences(p *prop.Prop, faults []strip.Fault) string {
	var out []string
	for _, f := range faults {
		out = append(out, f.Sentence(p))
	}
	return strings.Join(out, " ")
}

// onlyMetered reports whether the faults take a voltmeter to find.
func onlyMetered(faults []strip.Fault) bool {
	return !slices.ContainsFunc(faults, func(f strip.Fault) bool { return f.Kind != strip.Resistance })
}

// elsewhere reports whether the part that was checked looks sound, whatever is
// hidden in the whole prop.
func (m Model) elsewhere() bool {
	switch {
	case m.part < 0:
		return false
	case inPlace(m.prop, m.part):
		return m.partLooks(nil)
	}
	return len(strip.Alone(m.prop, m.part, m.sub, m.opt.Hidden)) == 0
}

// compare says whether the findings name what is hidden in what was checked.
func (m Model) compare() string {
	switch {
	case m.part < 0:
		return compared(m.prop, m.st.findings, m.opt.Hidden)
	case !inPlace(m.prop, m.part):
		return compared(m.sub, m.st.findings, strip.Alone(m.prop, m.part, m.sub, m.opt.Hidden))
	}
	for i, f := range m.st.findings {
		for _, c := range f.Causes {
			switch {
			case !m.partLooks(c.Faults):
			case i == 0 && f.Sure.Firm():
				return "Found as far as this part tells: it looks just like that."
			default:
				return "It is on the short list."
			}
		}
	}
	return "It was not found."
}

// partLooks reports whether a part of the finished prop looks just as it would
// with these faults in it alone.
func (m Model) partLooks(faults []strip.Fault) bool {
	x, errX := strip.New(m.prop, m.opt.Hidden...)
	y, errY := strip.New(m.sub, faults...)
	if errX != nil || errY != nil {
		return false
	}
	n := m.sub.Pixels()
	a := x.Lay(append(make(patterns.Frame, m.first), motley(n)...)).Slots()
	b := y.Lay(motley(n)).Slots()
	part := func(l strip.Light) strip.Light { return cut(m.prop, l, m.first, m.first+n-1) }
	return sameLight(part(x.Light(a)), y.Light(b)) && sameLight(part(x.LetGo(nil, a)), y.LetGo(nil, b))
}

func sameLight(a, b strip.Light) bool {
	return slices.EqualFunc(a, b, func(r, s []patterns.Colour) bool { return slices.Equal(r, s) })
}

// A meter is what the demo's voltmeter shows at the place asked about.
type meter struct {
	volts float64
	known bool
}

// readMeter holds the demo's voltmeter to the simulated prop, once the light
// that is asked about has been sent.
func (m Model) readMeter() meter {
	d, load := m.drill.(*loadDrill)
	if !load || m.page != drillPage || !m.demo || m.dark || m.snap.Want.Serial != m.show || m.snap.Want.Level != m.want().Level {
		return meter{}
	}
	at, more := d.l.Next()
	s, err := strip.New(m.prop, m.opt.Hidden...)
	if !more || err != nil {
		return meter{}
	}
	volts, err := s.Volts(m.snap.Sent)
	if err != nil {
		return meter{}
	}
	return meter{volts[at.Pixel], true}
}

// text is the display of a meter with two places.
func (v meter) text() string { return fmt.Sprintf("%.2f", v.volts) }

// metered is what was put in, and whether a load test has found it.
func metered(p *prop.Prop, fit power.FitResult, hidden []strip.Fault) (put, verdict string) {
	if len(hidden) == 0 {
		verdict = "This test did not see that it is sound."
		if fit.Verdict == power.FitGood {
			verdict = "Found to be sound, and it is."
		}
		return "Nothing was put into this prop.", verdict
	}
	i := slices.IndexFunc(hidden, func(f strip.Fault) bool { return f.Kind == strip.Resistance })
	if i < 0 && fit.Verdict != power.FitGood && measurable(hidden) {
		return sentences(p, hidden), "The readings show it, though a load test is for joints and feeds."
	}
	if i < 0 {
		if fit.Verdict != power.FitGood {
			verdict = "Pixels that stay dark mislead a load test."
		}
		return "It is nothing in the copper of joints and feeds: the check-out finds it.", verdict
	}
	verdict = "It was not found."
	for k, s := range fit.Named() {
		switch {
		case !suspected(p, s, hidden[i]):
		case k == 0 && fit.Verdict == power.FitFound, len(fit.Suspects) == 1:
			verdict = "Found."
		default:
			verdict = "It is on the short list."
		}
	}
	return hidden[i].Sentence(p), verdict
}

// measurable reports whether a fault other than Resistance changes volts.
func measurable(faults []strip.Fault) bool {
	return slices.ContainsFunc(faults, func(f strip.Fault) bool {
		return f.Kind == strip.Sag || f.Kind == strip.NoSupply || f.Kind == strip.RailLost
	})
}

// suspected reports whether a load test's suspect is where a fault was put in.
func suspected(p *prop.Prop, s power.Suspect, f strip.Fault) bool {
	if f.Run > 0 || s.Run > 0 {
		return s.Run == f.Run
	}
	return s.Feed == strip.FeedOf(p)
}

// bent is what was put in, and whether a flex test has found it.
func bent(p *prop.Prop, loose []show.Span, hidden []strip.Fault) (put, verdict string) {
	if len(hidden) == 0 {
		if len(loose) == 0 {
			verdict = "Found to be sound, and it is."
		}
		return "Nothing was put into this prop.", verdict
	}
	i := slices.IndexFunc(hidden, func(f strip.Fault) bool { return f.Kind == strip.Flicker })
	if i < 0 || !slices.ContainsFunc(prop.Joints(p), func(j prop.Joint) bool { return j.FirstPixel == hidden[i].Pixel }) {
		return "It is nothing that bending a joint shows: the check-out finds it.", ""
	}
	verdict = "It was not found."
	if slices.ContainsFunc(loose, func(sp show.Span) bool { return sp.First == hidden[i].Pixel }) {
		verdict = "Found."
	}
	return hidden[i].Sentence(p), verdict
}

// slotted is what was put in, and whether a bulb's check has found it.
func slotted(p *prop.Prop, e record.Entry, hidden []strip.Fault) (put, verdict string) {
	if len(hidden) == 0 {
		if e.Verdict == record.Pass {
			verdict = "Found to be sound, and it is."
		}
		return "Nothing was put into this prop.", verdict
	}
	if i := slices.IndexFunc(hidden, func(f strip.Fault) bool { return f.Kind == strip.WrongOrder }); i >= 0 {
		verdict = "It was not found."
		if e.Order == string(hidden[i].Order) {
			verdict = "Found."
		}
	}
	return sentences(p, hidden), verdict
}
