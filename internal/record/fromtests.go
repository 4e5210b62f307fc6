package record

import (
	"strings"

	"example.org/ringout/internal/checkout/bulb"
	"example.org/ringout/internal/checkout/joints"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
)

// Single tests are recorded as check-outs of their own. The caller adds time, prop,
// version and the prop file's text.

// FromFlex makes the entry of a flex test. It passes if every joint was bent and stayed
// steady.
func FromFlex(f *joints.Flex) Entry {
	e := Entry{Kind: "check-out", Test: FlexTest, Verdict: Pass, Notes: "flex test"}
	for _, l := range f.Findings() {
		e.Findings = append(e.Findings, Finding{Kind: "loose-joint", Text: l.Does.Sentence("the joint " + l.Quoted()), Pixel: l.Joint.FirstPixel + 1,
			Remedy: l.Does.Remedy(), Bring: []string{"solder and iron", "3-wire lead", "heat-shrink"}, Sure: 1})
		e.Verdict = Fail
	}
	if open := f.Open(); len(open) > 0 {
		e.Notes += "; not tested: " + strings.Join(open, ", ")
		if e.Verdict == Pass {
			e.Verdict = Stopped
		}
	}
	return e
}

// FromLoad makes the entry of a load test: its readings, and the resistance of every
// place that the fit can estimate.
func FromLoad(p *prop.Prop, readings []power.Reading, r power.FitResult) Entry {
	e := Entry{Kind: "check-out", Test: LoadTest, Notes: "load test: " + r.Text}
	for _, x := range readings {
		e.Volts = append(e.Volts, Reading{Pixel: x.Pixel + 1, Level: x.Level, Volts: x.Volts})
	}
	for _, s := range r.Suspects {
		if s.PlusMinus < mostPlusMinus {
			e.Joints = append(e.Joints, Joint{Name: placeOf(p, s), Ohms: s.Ohms, PlusMinus: s.PlusMinus / 2})
		}
	}
	switch r.Verdict {
	case power.FitGood:
		e.Verdict = Pass
	case power.FitFound:
		top := r.Suspects[0]
		e.Verdict = Fail
		e.Findings = []Finding{{Kind: "high-resistance", Text: r.Text, Sure: top.Weight,
			Remedy: []string{"Power off. Make both conductors of " + top.Name + " again, then measure again."},
			Bring:  []string{"solder and iron", "supply wire", "heat-shrink", "voltmeter"}}}
	case power.FitNone:
		e.Verdict = Fail
		e.Findings = []Finding{{Kind: "no-voltage", Text: r.Text, Sure: 1, Remedy: []string{"Power off. Look for a fuse, a screw or a wire that is off. It lies before the first place without voltage. Make it again, then run the load test again."},
			Bring: []string{"voltmeter", "fuses", "supply wire", "solder and iron"}}}
	case power.FitLowSupply:
		e.Verdict = Fail
		e.Findings = []Finding{{Kind: "low-supply", Text: r.Text, Sure: 1, Remedy: []string{"Power off. Fit the planned supply, or turn it up. Run the load test again."},
			Bring: []string{"voltmeter"}}}
	case power.FitCantTell:
		e.Verdict = Fail
		e.Findings = []Finding{{Kind: "high-resistance", Text: r.Text, Bring: []string{"voltmeter"},
			Remedy: []string{"Measure on both sides of each place named, at a higher level. Power off and make again the one where the volts drop. Run the load test again."}}}
	case power.FitPoor:
		e.Verdict = Fail
		e.Findings = []Finding{{Kind: "high-resistance", Text: r.Text, Bring: []string{"voltmeter"},
			Remedy: []string{poorRemedy}}}
	default:
		e.Verdict = Stopped
	}
	return e
}

// poorRemedy is the next step where no single place explains the readings.
const poorRemedy = "Compare chip, feeds and rails with the plan, and see that every pixel lights alike. Then run the load test again. If it still fits no one place, power off. Go over every joint and feed, nearest the supply first."

// placeOf names the place of a suspect as the record names joints: "inner ring to
// middle ring", or "at feed ...".
func placeOf(p *prop.Prop, s power.Suspect) string {
	if s.Run > 0 && s.Run < len(p.Runs) {
		return p.Runs[s.Run-1].Name + " to " + p.Runs[s.Run].Name
	}
	return "at " + s.Name
}

// mostPlusMinus is the uncertainty, in ohms, above which an estimate is dropped.
const mostPlusMinus = 2.0

// FromBulb makes the entry of a bulb's check, which is its whole check-out.
func FromBulb(r bulb.Result) Entry {
	e := Entry{Kind: "check-out", Verdict: Pass, Order: string(r.Order), Notes: "bulb: " + strings.Join(r.Lines, " ")}
	switch {
	case r.Unseen:
		e.Verdict = Stopped
	case !r.Good:
		e.Verdict = Fail
		e.Findings = []Finding{{Kind: "bulb", Text: strings.Join(r.Wrong, " ")}}
	}
	return e
}

// FromCount makes the entry of a roll call: its words, the pixels counted, 0 where the count is not
// settled, and whether it is as planned. Only the last lit pixel was looked at.
func FromCount(text string, pixels int, good bool) Entry {
	e := Entry{Kind: "check-out", Test: RollCall, Verdict: Pass, Notes: "roll call: " + text}
	switch {
	case pixels == 0:
		e.Verdict = Stopped
	case !good:
		e.Verdict = Fail
		e.Findings = []Finding{{Kind: "count", Text: text}}
	}
	return e
}
