package check

import (
	"slices"
	"strings"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/underway"
	"example.org/ringout/patterns"
)

// Parts of the screen that only the demo has: a simulated prop that can be taken apart
// and measured, and a hidden fault that is told at the end.

// whole stands for the finished prop where a run alone has its index.
const whole = -1

// A demo is the state of the simulated prop.
type demo struct {
	hidden  []strip.Fault // its faults
	onBench int           // run that lies on the bench alone; whole for the finished prop
	meter   meter         // in a load test
	again   bool          // the prop is being mended: check it again when it is back
	part    underway.Part // what is checked then
	mended  []record.Finding
}

// layBench puts the checked part on the simulated bench: one run before it is joined to
// the others, or the finished prop.
func layBench(m Model) Model {
	want := whole
	if m.shown && !m.page.traits(m).first {
		want = m.of.part.Run()
	}
	if !m.bench.demo || m.opt.Lay == nil || m.bench.prop == nil || want == m.demo.onBench {
		return m
	}
	p := m.bench.prop
	if want >= 0 {
		p = m.of.sub
	}
	if err := m.opt.Lay(p, want); err != nil {
		m.note = sentence(err)
		return m
	}
	m.demo.onBench, m.bench.look.Light = want, nil
	return m
}

// lit is the light of the checked part, nil until it has arrived.
func lit(m Model) strip.Light {
	l := m.bench.look.Light
	switch {
	case slices.ContainsFunc(l, func(r []patterns.Colour) bool { return r == nil }):
		return nil
	case m.of.part.Way == underway.Joined && len(l) == len(m.bench.prop.Runs):
		return cut(m.bench.prop, l, m.of.first, m.of.first+m.of.sub.Pixels()-1)
	case m.of.sub == nil || len(l) != len(m.of.sub.Runs):
		return nil
	}
	return l
}

// cut is the light of pixels first to last of the plan, with extra pixels at the end of
// a run.
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

// A secret is the hidden faults of the demo's prop and the findings.
type secret struct {
	prop   *prop.Prop
	of     subject
	st     state
	hidden []strip.Fault
}

func secretOf(m Model) secret { return secret{m.bench.prop, m.of, m.st, m.demo.hidden} }

// A verdict is whether what was hidden was found.
type verdict struct {
	found bool
	text  string
}

// reveal is the hidden faults in words, and whether they were found.
func (s secret) reveal() (put string, v verdict) {
	switch {
	case len(s.hidden) == 0 && len(s.st.Mended) > 0:
		return "Its fault is mended, and nothing else was put in.", compared(s.of.sub, s.st.findings, nil)
	case len(s.hidden) == 0:
		return "Nothing was put into this prop.", compared(s.of.sub, s.st.findings, nil)
	case onlyMetered(s.hidden):
		return "Something was put in that light at these levels hardly tells: a voltmeter does. Go through the load test, on the page before this.", verdict{}
	case s.notInPart():
		return "Something was put into this prop, but it does not show here.", compared(s.of.sub, s.st.findings, nil)
	}
	return sentences(s.prop, s.hidden), s.compare()
}

func sentences(p *prop.Prop, faults []strip.Fault) string {
	var out []string
	for _, f := range faults {
		out = append(out, f.Sentence(p))
	}
	return strings.Join(out, " ")
}

// onlyMetered reports whether only a voltmeter finds the faults.
func onlyMetered(faults []strip.Fault) bool {
	return !slices.ContainsFunc(faults, func(f strip.Fault) bool { return !strip.FactsOf(f.Kind).Unlit })
}

// notInPart reports whether the hidden faults do not show in the checked part.
func (s secret) notInPart() bool {
	switch s.of.part.Way {
	case underway.Joined:
		return s.looks(nil)
	case underway.Unbuilt:
		return len(strip.Alone(s.prop, s.of.part.Run(), s.of.sub, s.hidden)) == 0
	}
	return false
}

// compare is the verdict on the findings for the checked part.
func (s secret) compare() verdict {
	switch s.of.part.Way {
	case underway.Whole:
		return compared(s.prop, s.st.findings, s.hidden)
	case underway.Unbuilt:
		return compared(s.of.sub, s.st.findings, strip.Alone(s.prop, s.of.part.Run(), s.of.sub, s.hidden))
	}
	for i, f := range s.st.findings {
		if !slices.ContainsFunc(f.Causes, func(c checkout.Cause) bool { return s.looks(c.Faults) }) {
			continue
		}
		if i == 0 && f.Sure.Firm() {
			return verdict{true, "Found as far as this part tells: it looks just like that."}
		}
		return onTheList
	}
	return notFound
}

// The verdicts on faults that were not found for certain.
var (
	onTheList = verdict{text: "It is on the short list."}
	notFound  = verdict{text: "It was not found."}
)

// looks reports whether the checked part of the finished prop has the same light as with
// these faults only.
func (s secret) looks(faults []strip.Fault) bool {
	x, errX := strip.New(s.prop, s.hidden...)
	y, errY := strip.New(s.of.sub, faults...)
	if errX != nil || errY != nil {
		return false
	}
	n := s.of.sub.Pixels()
	a := x.Lay(append(make(patterns.Frame, s.of.first), variedFrame(n)...)).Slots()
	b := y.Lay(variedFrame(n)).Slots()
	part := func(l strip.Light) strip.Light { return cut(s.prop, l, s.of.first, s.of.first+n-1) }
	return sameLight(part(x.Light(a)), y.Light(b)) && sameLight(part(x.LightOpen(nil, a)), y.LightOpen(nil, b))
}

func sameLight(a, b strip.Light) bool {
	return slices.EqualFunc(a, b, func(r, s []patterns.Colour) bool { return slices.Equal(r, s) })
}

// compared is the verdict whether a finding names the hidden faults of p, or faults with
// the same light.
func compared(p *prop.Prop, found []checkout.Finding, hidden []strip.Fault) verdict {
	for i, f := range found {
		named := f.Good && len(hidden) == 0 || slices.ContainsFunc(f.Causes, func(c checkout.Cause) bool { return same(c.Faults, hidden) })
		looks := f.Good && looksAlike(p, nil, hidden) || slices.ContainsFunc(f.Causes, func(c checkout.Cause) bool { return looksAlike(p, c.Faults, hidden) })
		switch {
		case !named && !looks:
			continue
		case i > 0 || !f.Sure.Firm():
			return onTheList
		case !named:
			return verdict{true, "Found as far as light tells: it looks just like that."}
		}
		return namedBy(f)
	}
	return notFound
}

// namedBy is the verdict on a finding that names what was hidden.
func namedBy(f checkout.Finding) verdict {
	switch {
	case f.Good:
		return verdict{true, "Found to be sound, and it is."}
	case len(f.Causes) > 1:
		return verdict{true, "Found: it is one of those that look alike."}
	}
	return verdict{true, "Found."}
}

// looksAlike reports whether two sets of faults have the same light.
func looksAlike(p *prop.Prop, a, b []strip.Fault) bool {
	x, errA := strip.New(p, a...)
	y, errB := strip.New(p, b...)
	if errA != nil || errB != nil || x.Flickers() != y.Flickers() {
		return false
	}
	sent := x.Lay(variedFrame(p.Pixels())).Slots()
	return sameLight(x.Light(sent), y.Light(sent)) && sameLight(x.LightOpen(nil, sent), y.LightOpen(nil, sent))
}

// variedFrame is a frame in which nearly all pixels differ.
func variedFrame(n int) patterns.Frame {
	f := make(patterns.Frame, n)
	for i := range f {
		f[i] = patterns.Colour{R: uint8(1 + i*7), G: uint8(3 + i*31 + i/256), B: uint8(5 + i*101 + i/128), W: uint8(7 + i*59), C: uint8(9 + i*13)}
	}
	return f
}

func same(a, b []strip.Fault) bool {
	if len(a) != len(b) {
		return false
	}
	for _, f := range a {
		if !slices.ContainsFunc(b, f.Same) {
			return false
		}
	}
	return true
}
