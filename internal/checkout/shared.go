package checkout

import (
	"cmp"
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
	at := slices.IndexFunc(s.field.hyps, func(h hypothesis) bool { return len(h.faults) == 1 && h.faults[0] == ft })
	if part < veryLikelyAt || at < 0 {
		return nil
	}
	f := &Finding{More: true, Share: part, Pixels: s.field.pixelsOf([]strip.Fault{ft}), Because: s.reasons()}
	f.Sure, f.Percent = Certainty(part, true) // likely at most: the second fault may hide a detail of it
	for _, x := range s.alikeBeside(ft, s.field.hyps[at].sameLight) {
		f.Causes = append(f.Causes, s.field.cause([]strip.Fault{x}, strengths{}))
	}
	sorting.Stable(f.Causes, func(a, b Cause) int { return cmp.Compare(effort(a), effort(b)) })
	f.Title = f.Causes[0].Text + " Something else is wrong too: mend this first, then check again."
	return f
}

// alikeBeside are the faults of a class (hypothesis.sameLight) that have the same light as ft
// also together with the other fault of the likeliest explanation. Two faults
// that look the same alone may differ then: a stuck channel is dark without
// supply but lights without data.
func (s *Session) alikeBeside(ft strip.Fault, class int32) []strip.Fault {
	m, out := stripBuilder{field: s.field}, []strip.Fault{ft}
	print := func(x strip.Fault) (uint64, bool) {
		set := []strip.Fault{x}
		for _, y := range s.belief.hyps[s.now.top].faults {
			if y != ft {
				set = append(set, y)
			}
		}
		st, err := m.strip(set)
		if err != nil {
			return 0, false
		}
		return m.fingerprint(st), true
	}
	want, _ := print(ft)
	for i := range s.field.hyps {
		if h := &s.field.hyps[i]; h.sameLight == class && !h.moreAfter && h.faults[0] != ft {
			if got, ok := print(h.faults[0]); ok && got == want {
				out = append(out, h.faults[0])
			}
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
