package checkout

import (
	"cmp"
	"fmt"
	"slices"

	"example.org/ringout/internal/sorting"
	"example.org/ringout/internal/strip"
)

// shared is the finding of a fault that nearly all open explanations have in
// common, when no single explanation is likely: the first of two faults is known
// and the second is not located. It is nil when there is none.
func (s *Session) shared(standing []Suspect) *Finding {
	if s.stopped == "" || len(standing) == 0 || standing[0].Share >= likelyAt || s.belief.contradicted[s.now.top] > 0 {
		return nil
	}
	ft, part := s.commonest()
	if part < veryLikelyAt || s.field.alone(ft) < 0 {
		return nil
	}
	f := &Finding{More: true, Share: part, Pixels: s.field.pixelsOf([]strip.Fault{ft}), Because: s.reasons()}
	f.Sure, f.Percent = Certainty(part, true) // likely at most: the second fault may hide a detail of it
	for _, x := range s.alikeBeside(ft) {
		f.Causes = append(f.Causes, s.field.cause([]strip.Fault{x}, strengths{}))
	}
	sorting.Stable(f.Causes, func(a, b Cause) int { return cmp.Compare(effort(a), effort(b)) })
	f.Causes = s.network.sourceAfter(s.field, f.Causes)
	f.Title = f.Causes[0].Text + " Something else is wrong too: mend this first, then check again."
	return f
}

// pairsToo are the causes of a suspect. Of a likely pair they are also the pairs in which
// another fault takes the place of one of the two and all looks the same: who mends what is
// named alone would mend the wrong thing.
func (f *field) pairsToo(su Suspect) [][]strip.Fault {
	if len(su.Causes) != 1 || len(su.Causes[0]) != 2 || su.Share < likelyAt {
		return su.Causes
	}
	out, pair := su.Causes[:1:1], su.Causes[0]
	m := stripBuilder{field: f}
	want, _ := m.lightOf(pair)
	for k, ft := range pair {
		for _, x := range f.alikeAlone(ft) {
			both := slices.Clone(pair)
			both[k] = x
			if got, ok := m.lightOf(both); ok && got == want && len(out) < mostListed {
				out = append(out, both)
			}
		}
	}
	return out
}

// startsElsewhere is a cause beside the first run soldered in backwards, where all is dark: the
// wiring may begin at another run than planned, or at the other end, and stop there. No light
// tells these apart, so one cause names them all; its faults are one of them.
func (f *field) startsElsewhere(causes []Cause) []Cause {
	last := len(f.sizes) - 1
	first := strip.Fault{Kind: strip.RunBackwards}
	if last < 1 || !slices.ContainsFunc(causes, func(c Cause) bool { return len(c.Faults) == 1 && c.Faults[0] == first }) {
		return nil
	}
	return []Cause{{
		Faults: []strip.Fault{{Kind: strip.RunsSwapped, Run2: last}, {Kind: strip.RunBackwards, Run: last}},
		Text:   "The data lead goes to another run than planned; no data gets into that one.",
		Remedy: fmt.Sprintf("Power off. Follow the data lead from the controller: it must reach the first pixel of %s. The arrows there must point away from the lead.", f.runText(0)),
	}}
}

// lightOf is the fingerprint of a strip with some faults; false for a set that the prop
// cannot have.
func (m *stripBuilder) lightOf(faults []strip.Fault) (uint64, bool) {
	st, err := m.strip(faults)
	if err != nil {
		return 0, false
	}
	return m.fingerprint(st), true
}

// alone is the index of the explanation that is one fault and nothing else; -1 for none.
func (f *field) alone(ft strip.Fault) int {
	return slices.IndexFunc(f.hyps, func(h hypothesis) bool { return len(h.faults) == 1 && h.faults[0] == ft })
}

// alikeAlone are the other faults with the light of a fault, where each is there alone.
func (f *field) alikeAlone(ft strip.Fault) (out []strip.Fault) {
	at := f.alone(ft)
	if at < 0 {
		return nil
	}
	class := f.hyps[at].sameLight
	for i := range f.hyps {
		if h := &f.hyps[i]; h.sameLight == class && !h.moreAfter && h.faults[0] != ft {
			out = append(out, h.faults[0])
		}
	}
	return out
}

// alikeBeside are the faults that have the same light as ft also together with the other
// fault of the likeliest explanation. Two faults that look the same alone may differ then:
// a stuck channel is dark without supply but lights without data.
func (s *Session) alikeBeside(ft strip.Fault) []strip.Fault {
	m, out := stripBuilder{field: s.field}, []strip.Fault{ft}
	light := func(x strip.Fault) (uint64, bool) {
		set := []strip.Fault{x}
		for _, y := range s.belief.hyps[s.now.top].faults {
			if y != ft {
				set = append(set, y)
			}
		}
		return m.lightOf(set)
	}
	want, _ := light(ft)
	for _, x := range s.field.alikeAlone(ft) {
		if got, ok := light(x); ok && got == want {
			out = append(out, x)
		}
	}
	return out
}

// commonest is the fault with the largest sum of posteriors over all hypotheses
// that contain it, and that sum.
func (s *Session) commonest() (ft strip.Fault, part float64) {
	by := map[strip.Fault]float64{}
	for i, w := range s.now.each {
		if w <= 0 {
			continue
		}
		for _, x := range s.belief.hyps[i].faults {
			if by[x] += w; by[x] > part {
				ft, part = x, by[x]
			}
		}
	}
	return ft, part
}
