package check

import (
	"slices"
	"strings"

	"example.org/ringout/internal/checkout/bulb"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/words"
)

// A meter is the reading of the demo's voltmeter at the place of the question.
type meter struct {
	volts float64
	known bool
}

// voltmeter is the voltage of the simulated prop at the place of the reading, once the
// light of the step has been sent.
func (p testPage) voltmeter(m Model) meter {
	if !m.bench.demo || m.light.off || m.bench.snap.Want.Serial != m.light.serial || m.bench.snap.Want.Level != m.want().Level {
		return meter{}
	}
	at := p.now()
	s, err := strip.New(m.bench.prop, m.demo.hidden...)
	if at.Typed != single.VoltsLine || err != nil {
		return meter{}
	}
	volts, err := s.Volts(m.bench.snap.Sent)
	if err != nil {
		return meter{}
	}
	return meter{volts[at.Marks[0].First], true}
}

// text is the display of a meter with two places, cut as the plan's volts are.
func (v meter) text() string { return strings.TrimSuffix(words.Volts(v.volts), " V") }

// items are the demo's items beside the answers of a step.
func (d demo) items(m Model, p testPage) []item {
	switch {
	case !m.bench.demo || p.now().Typed != single.VoltsLine:
		return nil
	case d.meter.known:
		return []item{{key: "t", digit: none, text: "take the reading: " + d.meter.text() + " V", far: "take " + d.meter.text() + " V"}}
	}
	return []item{{key: "t", digit: none, text: "the meter is being read", quiet: true}}
}

// hint says what the demo does by itself at a step; empty for nothing.
func (d demo) hint(m Model, p testPage) string {
	b, isBulb := p.trial.Test.(single.BulbTest)
	switch {
	case !m.bench.demo:
	case p.trial.Kind() == single.Flex:
		return "the simulated joints bend by themselves: look at the light after this one"
	case isBulb:
		if at, _ := b.Next(); at.Step == bulb.Unplugged {
			return "a simulated bulb has no cable to pull: say so with its last answer"
		}
	}
	return ""
}

// secret is the hidden faults and whether this test has found them; empty while they must
// not be told.
func (p resultPage) secret(m Model) (put, verdict string) {
	r := p.result
	switch {
	case !m.bench.demo || !m.opt.Faulty || !p.known || !r.Whole:
		return "", ""
	case p.kind == single.Load && r.Fit != nil:
		return metered(m.bench.prop, *r.Fit, m.demo.hidden)
	case p.kind == single.Flex:
		return bent(m.bench.prop, r.Here, m.demo.hidden)
	case p.kind == single.Bulb:
		return slotted(m.bench.prop, r.Good, p.order, m.demo.hidden)
	}
	return "", ""
}

// metered is the hidden faults, and whether a load test has found them.
func metered(p *prop.Prop, fit power.FitResult, hidden []strip.Fault) (put, verdict string) {
	if len(hidden) == 0 {
		verdict = "This test did not see that it is sound."
		if fit.Verdict == power.FitGood {
			verdict = "Found to be sound, and it is."
		}
		return "Nothing was put into this prop.", verdict
	}
	i := slices.IndexFunc(hidden, func(f strip.Fault) bool { return strip.FactsOf(f.Kind).Unlit })
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

// measurable reports whether a fault changes the voltage.
func measurable(faults []strip.Fault) bool {
	return slices.ContainsFunc(faults, func(f strip.Fault) bool { return f.Kind.MovesVolts() })
}

// suspected reports whether a load test's suspect is at the place of a fault.
func suspected(p *prop.Prop, s power.Suspect, f strip.Fault) bool {
	if f.Run > 0 || s.Run > 0 {
		return s.Run == f.Run
	}
	return s.Feed == strip.FeedOf(p)
}

// bent is the hidden faults, and whether a flex test has found them.
func bent(p *prop.Prop, loose []show.Span, hidden []strip.Fault) (put, verdict string) {
	if len(hidden) == 0 {
		if len(loose) == 0 {
			verdict = "Found to be sound, and it is."
		}
		return "Nothing was put into this prop.", verdict
	}
	i := slices.IndexFunc(hidden, func(f strip.Fault) bool { return strip.FactsOf(f.Kind).Unsteady })
	if i < 0 || !slices.ContainsFunc(prop.Joints(p), func(j prop.Joint) bool { return j.FirstPixel == hidden[i].Pixel }) {
		return "It is nothing that bending a joint shows: the check-out finds it.", ""
	}
	verdict = "It was not found."
	if slices.ContainsFunc(loose, func(sp show.Span) bool { return sp.First == hidden[i].Pixel }) {
		verdict = "Found."
	}
	return hidden[i].Sentence(p), verdict
}

// slotted is the hidden faults, and whether a bulb's check has found them.
func slotted(p *prop.Prop, good bool, order prop.Order, hidden []strip.Fault) (put, verdict string) {
	if len(hidden) == 0 {
		if good {
			verdict = "Found to be sound, and it is."
		}
		return "Nothing was put into this prop.", verdict
	}
	for _, f := range hidden {
		var built prop.Found
		if !f.Built(&built, p) || built.Order == "" {
			continue
		}
		if verdict = "It was not found."; order == built.Order {
			verdict = "Found."
		}
	}
	return sentences(p, hidden), verdict
}
