package checkout

import (
	"math"
	"slices"
)

// The second look. A tired person answers one look in fifty wrong, mostly as a sound prop would be
// answered, and a fault that shows in one look only is glued up with the prop then. So a prop is signed
// off only when every fault that is not rare would have shown in two looks, with two pictures or two questions.

// leastSecond is the least part of all props that has the faults which a second look shows. For less it is not asked.
const leastSecond = 0.01

// secondLook is the look to ask for next so that faults show in two; its spec is nil when what
// is left is rare. It is found once for each answer.
func (s *Session) secondLook() *choice {
	if s.second == nil {
		s.second = s.findSecondLook()
	}
	return s.second
}

// findSecondLook is the first of the second looks without an answer that shows enough of what one look alone has tried.
func (s *Session) findSecondLook() *choice {
	specs := slices.DeleteFunc(s.field.secondLooks(), s.answered)
	live, share := s.triedOnce()
	for i, seen := range s.runThrough(specs, append(slices.Clone(live), 0)) {
		sound, shown := seen[len(live)], 0.0
		for k, t := range seen[:len(live)] {
			if t != sound && t.definite() {
				shown += share[k]
			}
		}
		if shown >= leastSecond {
			return &choice{spec: specs[i], answers: offeredAnswers(specs[i], seen, append(share, 1))}
		}
	}
	return &choice{}
}

// answered reports whether a question has an answer, also when it was asked once more; not sure is none.
func (s *Session) answered(spec *Spec) bool {
	return slices.ContainsFunc(s.steps, func(st step) bool {
		first := st.spec.first()
		return st.given >= 0 && first.key() == spec.key()
	})
}

// secondLooks are the looks in the order in which they are asked for: the wiring in other colours, then
// the place at which a loose contact begins, so that no one is asked to bend twice in a row.
// A prop of one pixel has neither: all its colours together show one that is lost, and it is bent
// in another light. Whether its white is there at all stays with one look: that is seen in use.
func (f *field) secondLooks() []*Spec {
	p := &proposer{f: f}
	if f.pixels == 1 {
		p.add(Spec{Kind: AskEven, Paint: even(HueWhite, 1), Base: HueWhite})
		p.add(Spec{Kind: AskSteady, Paint: even(HueGreen, 1)})
		return p.out
	}
	wiring := AskRuns
	if len(f.sizes) == 1 { // the question for the run has no other answer than the first
		wiring = AskBefore
	}
	p.add(Spec{Kind: wiring, Paint: f.complements().paint()})
	bands := newPainter(f.pixels, HueRed)
	for i := range bands {
		bands[i] = bandHues[i*len(bandHues)/len(bands)]
	}
	p.add(Spec{Kind: AskStaysLit, Paint: bands.paint()})
	return p.out
}

// complements is the picture of the wiring question in the complements of its colours: every pixel shows in
// one of the two what each of red, green and blue does. White has no complement; the last white
// channel takes its place.
func (f *field) complements() painter {
	out, whites := f.landmarked(0), f.whites()
	for i, h := range out {
		switch h {
		case HueDark:
		case HueWhite:
			out[i] = whites[len(whites)-1]
		default:
			out[i] = (White ^ h.name()).hue()
		}
	}
	return out
}

// triedOnce is a sample of the faults that at most one answer speaks against, with the part of all props
// that each stands for. Falls of voltage are left out: only the look at both ends shows a weak one, and the load
// test, which is asked for wherever it can be done, measures it.
func (s *Session) triedOnce() (live []int, share []float64) {
	w := make([]float64, len(s.field.hyps))
	for i := range w {
		if h := &s.field.hyps[i]; !h.moreAfter && !h.sag && h.sameLight != 0 {
			w[i] = math.Exp(s.belief.prior[i]) // 0 for all but the first with the same light
		}
	}
	all, parts := s.belief.sample(w)
	for k, i := range all {
		if s.speaksAgainst(i) <= 1 {
			live, share = append(live, i), append(share, parts[k])
		}
	}
	s.dropPredictions()
	return live, share
}

// speaksAgainst is how many answers contradict hypothesis i, counted up to 2. A question that was asked once
// more counts once.
func (s *Session) speaksAgainst(i int) (n int) {
	for k := range s.steps {
		if s.isFinal(k) && s.misses(k, i) {
			if n++; n == 2 {
				break
			}
		}
	}
	return n
}
