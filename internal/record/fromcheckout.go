package record

import (
	"slices"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// FromCheckout makes the entry of a check-out of p from its questions and findings.
// left means that the builder ended it early. The caller adds time, version, the prop
// file's text and notes.
func FromCheckout(p *prop.Prop, asked []checkout.AnsweredQuestion, found []checkout.Finding, left bool) Entry {
	e := Entry{Kind: "check-out", Prop: p.Name, Verdict: verdictOf(found, left)}
	for _, a := range asked {
		e.Steps = append(e.Steps, Step{Probe: string(a.Kind), Question: a.Question, Answer: a.Text()})
	}
	for _, f := range found {
		e.Findings = append(e.Findings, findingsOf(p, f)...)
	}
	if len(found) > 0 && found[0].Sure.Firm() {
		e.setFound(p, found[0])
		e.Notes = found[0].Untried
	}
	return e
}

// verdictOf is Pass or Fail only if the check-out ended in a finding.
func verdictOf(found []checkout.Finding, left bool) Verdict {
	switch {
	case len(found) == 0 || found[0].Absent:
		return Stopped
	case found[0].Sure.Firm() && found[0].Good:
		return Pass
	case found[0].Sure.Firm():
		return Fail
	case left, slices.ContainsFunc(found, func(f checkout.Finding) bool { return f.Good }):
		return Stopped
	}
	return Fail // several explanations, none of them a sound prop
}

// findingsOf splits a finding into record findings, one for each fault of the most
// likely cause.
func findingsOf(p *prop.Prop, f checkout.Finding) []Finding {
	out := Finding{Kind: "network", Text: f.Title, Sure: float64(f.Percent) / 100, Certainty: f.Certainty(), Because: f.Because}
	if f.Unknown != nil {
		out.Kind, out.Remedy = "unknown", []string{f.Unknown.Next}
		out.Because = append(slices.Clone(out.Because), "closest: "+f.Unknown.Closest.Text)
		for _, m := range f.Unknown.Misfits() {
			out.Because = append(out.Because, "does not fit it: "+m)
		}
		return []Finding{out}
	}
	for _, m := range f.Against {
		out.Because = append(slices.Clone(out.Because), "does not fit it: "+m)
	}
	switch {
	case f.Good:
		out.Kind = "good"
		return []Finding{out}
	case f.Absent:
		out.Kind = "absent"
	}
	for _, c := range f.Causes {
		if c.Remedy != "" && !slices.Contains(out.Remedy, c.Remedy) {
			out.Remedy = append(out.Remedy, c.Remedy)
		}
	}
	if len(f.Causes) == 0 || len(f.Causes[0].Faults) == 0 { // it lies on the way to the prop
		return []Finding{out}
	}
	if f.More {
		out.Remedy = append(out.Remedy, "Something else is wrong after it: mend this first, then check again.")
	}
	var all []Finding
	for _, ft := range f.Causes[0].Faults {
		one := out
		one.Kind, one.Text = string(ft.Kind), ft.Sentence(p)
		if len(f.Causes[0].Faults) == 1 {
			one.Text = f.Causes[0].Text // as it was said, with the range of a strength
		}
		one.place(p, ft)
		one.Bring = strip.FactsOf(ft.Kind).Bring(p.Chip)
		all = append(all, one)
	}
	return all
}

// place sets where a fault is, with pixels from 1.
func (f *Finding) place(p *prop.Prop, ft strip.Fault) {
	name := func(run int) string {
		if run >= 0 && run < len(p.Runs) {
			return p.Runs[run].Name
		}
		return ""
	}
	switch strip.FactsOf(ft.Kind).Scope {
	case strip.AtPixel, strip.FromPixel, strip.ChipsFrom:
		run, at := p.Find(ft.Pixel)
		f.Run, f.Pixel, f.InRun = name(run), ft.Pixel+1, at+1
	case strip.OneRun, strip.TwoRuns:
		f.Run = name(ft.Run)
	}
	if ft.OfChannel() {
		f.Channel = ft.Channel.String()
	}
}

// setFound sets counts, direction and colour order as far as the finding implies them:
// all of them for a good prop, only its own for a fault.
func (e *Entry) setFound(p *prop.Prop, f checkout.Finding) {
	for _, r := range p.Runs {
		run := Run{Name: r.Name, Planned: r.Pixels}
		if f.Good {
			run.Found, run.Travel = r.Pixels, "as planned"
		}
		e.Runs = append(e.Runs, run)
	}
	if f.Good {
		e.Order = string(p.Chip.Order)
		return
	}
	if len(f.Causes) != 1 {
		return // another explanation remains
	}
	built, ok := checkout.AsBuilt(p, f.Causes[0].Faults)
	if !ok {
		return
	}
	for run, n := range built.Pixels {
		e.Runs[run].Found = n
	}
	for run := range built.Reverse {
		e.Runs[run].Travel = "reversed"
	}
	e.Order = string(built.Order)
}
