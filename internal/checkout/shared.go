package checkout

import (
	"slices"

	"example.org/ringout/internal/strip"
)

// shared is the finding of a fault that nearly all of what is still open has in
// common, where no single explanation is likely: of two faults the first is
// known then, and the second is not located yet. It is nil when there is none.
func (s *Session) shared(standing []Suspect) *Finding {
	if s.stopped == "" || len(standing) == 0 || standing[0].Share >= likelyAt || s.belief.misses[s.now.top] > 0 {
		return nil
	}
	ft, part := s.commonest()
	at := slices.IndexFunc(s.field.hyps, func(h hypothesis) bool { return len(h.faults) == 1 && h.faults[0] == ft })
	if part < veryLikelyAt || at < 0 {
		return nil
	}
	f := &Finding{More: true, Share: part, Pixels: s.field.concerned([]strip.Fault{ft}), Because: s.because()}
	f.Sure, f.Percent = Certainty(part, true) // what is beside it may change what it is
	for i := range s.field.hyps {
		if h := &s.field.hyps[i]; h.twin == s.field.hyps[at].twin && !h.behind {
			for _, set := range s.field.alike(h.faults) {
				f.Causes = append(f.Causes, s.field.cause(set, strengths{}))
			}
		}
	}
	f.Title = f.Causes[0].Text + " Something else is wrong too: mend this first, then check again."
	return f
}

// commonest is the fault with the largest posterior over all explanations that
// it is part of.
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
