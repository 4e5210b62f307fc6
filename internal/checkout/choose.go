package checkout

import (
	"slices"

	"example.org/ringout/internal/strip"
)

const (
	mostSampled = 220  // most hypotheses by which a probe is judged
	fewSags     = 3    // most of them in one family with a fall of voltage, which is slow to run
	minSagShare = 0.15 // below this posterior of such a family one of them is enough
	leastOpen   = 1e-6 // hypotheses with a smaller posterior are left out
)

// sample picks the hypotheses to judge probes by: all open ones when there are
// at most mostSampled, else a systematic sample of each family by the weights w.
// live holds indexes of b.hyps, ascending; share the weight that each stands for.
func (b *belief) sample(w []float64) (live []int, share []float64) {
	var open []int
	for i, s := range w {
		if s > leastOpen {
			open = append(open, i)
		}
	}
	if len(open) <= mostSampled {
		for _, i := range open {
			share = append(share, w[i])
		}
		return open, share
	}
	for from := 0; from < len(open); {
		to := from
		for to < len(open) && b.hyps[open[to]].familyKey() == b.hyps[open[from]].familyKey() {
			to++
		}
		live, share = sampleFamily(open[from:to], b.hyps[open[from]].sag, w, live, share)
		from = to
	}
	return live, share
}

// sampleFamily appends a systematic sample of one family: hypotheses at equal
// steps of the cumulated weight, each with the weight of its steps.
func sampleFamily(open []int, sag bool, w []float64, live []int, share []float64) ([]int, []float64) {
	sum := 0.0
	for _, i := range open {
		sum += w[i]
	}
	n := min(len(open), 2+int(mostSampled*sum))
	if sag && sum < minSagShare {
		n = 1 // slow to run
	} else if sag {
		n = min(n, fewSags)
	}
	if n == len(open) {
		for _, i := range open {
			live, share = append(live, i), append(share, w[i])
		}
		return live, share
	}
	step, next, run := sum/float64(n), sum/float64(n)/2, 0.0
	for _, i := range open {
		run += w[i]
		hits := 0
		for next < run && hits < n {
			next += step
			hits++
		}
		if hits > 0 {
			live, share = append(live, i), append(share, step*float64(hits))
		}
	}
	return live, share
}

// familyKey is the family and, for a pair, the hypothesis of the other fault.
func (h *hypothesis) familyKey() [2]int32 { return [2]int32{h.family, h.partner} }

// A choice is a probe with the answers it offers and their expected information.
type choice struct {
	spec    *Spec
	answers []Token
	bits    float64
	why     string // reason for asking, where it is not the information; else empty
}

// rate is the expected information in bits per second of the builder's time: 8 s
// to read the question (assumed), and the look itself.
func (c *choice) rate() float64 { return c.bits / (8 + questions[c.spec.Kind].seconds) }

// choose returns the proposal with the highest rate under the weights w, or nil
// when none gives information. Probes asked before are left out. In a tie-break
// only evidence for or against hypothesis top counts. While a sound prop has at
// least plainAt, plain looks at the whole prop come first.
func (s *Session) choose(w []float64, top int, tie bool) *choice {
	live, share := s.belief.sample(w)
	p := &proposer{f: s.field, hyps: s.belief.hyps, live: live, share: share, used: s.used}
	if len(s.steps) == 0 {
		return s.pick(p.plain(), p, top, tie) // the first question is about the whole prop
	}
	if s.nothingLit() {
		if c := s.pick(s.field.brightLooks(), p, top, tie); c != nil && c.bits >= leastBits {
			return c // first find a channel that lights at all
		}
	}
	if s.belief.hyps[top].sound() && (tie || w[top] >= plainAt) {
		if c := s.pick(p.plain(), p, top, tie); c != nil && c.bits >= leastBits {
			return c
		}
	}
	return s.pick(p.all(), p, top, tie)
}

// nothingLit reports whether every answer so far was SeesNone or "not sure".
func (s *Session) nothingLit() bool {
	return !slices.ContainsFunc(s.steps, func(st step) bool { return st.given < 0 || st.answers[st.given] != SeesNone })
}

// plainAt is the posterior of a sound prop from which plain looks come first.
const plainAt = 0.5

// pick returns the probe with the highest rate, without those asked before or
// of no use; nil when none is left.
func (s *Session) pick(specs []*Spec, p *proposer, top int, tie bool) *choice {
	specs = slices.DeleteFunc(slices.Clone(specs), func(spec *Spec) bool { return s.used[spec.key()] || s.unseen(spec) })
	hyps := append(slices.Clone(p.live), top)
	var found *choice
	for i, seen := range s.runThrough(specs, hyps) {
		c := judge(specs[i], seen[:len(p.live)], p.share)
		if tie {
			c.judgeTie(seen[:len(p.live)], p.share, seen[len(p.live)])
		}
		if len(c.answers) > 1 && (found == nil || c.rate() > found.rate()) {
			found = c
		}
	}
	return found
}

// unseen reports whether a probe asks for a pixel for which the builder was
// "not sure" before: another colour would not make it easier to see.
func (s *Session) unseen(spec *Spec) bool {
	return spec.row().onePixel && slices.ContainsFunc(s.steps, func(st step) bool {
		return st.given < 0 && st.spec.Kind == spec.Kind && st.spec.Run == spec.Run && st.spec.Pixel == spec.Pixel
	})
}

// runThrough returns the answer to each probe under each hypothesis, indexed by
// probe and position in hyps. Each strip is made once, and probes that send the
// same picture share its light, which takes most of the time.
func (s *Session) runThrough(specs []*Spec, hyps []int) [][]Token {
	out := make([][]Token, len(specs))
	var look watcher
	look.field = s.field
	scenes, of := s.scenes(specs, &look.light)
	rows := make([]*question, len(specs)) // looked up once, since there are many hypotheses
	for i, spec := range specs {
		out[i], rows[i] = make([]Token, len(hyps)), spec.row()
	}
	for k, i := range hyps {
		h := &s.belief.hyps[i]
		st, err := look.strip(h.faults)
		if err != nil {
			continue // cannot happen: newField made this strip
		}
		for c := range scenes {
			look.scene = scenes[c]
			look.readAll(specs, rows, of[c], h, st, func(j int, t Token) { out[j][k] = t })
		}
	}
	return out
}

// readAll answers those probes of specs, by index in which, that show the
// watcher's scene, on the strip of h.
func (w *watcher) readAll(specs []*Spec, rows []*question, which []int, h *hypothesis, st *strip.Strip, put func(int, Token)) {
	lit := false
	for _, j := range which {
		if t, ok := w.onePixel(rows[j], specs[j], st); ok {
			put(j, w.allowFor(rows[j], specs[j], h, t))
			continue
		}
		if !lit {
			w.shine(st)
			lit = true
		}
		put(j, w.answer(rows[j], specs[j], h))
	}
}

// scenes lays out the pictures of probes, one for all that send the same. of
// holds, for each scene, the indexes of its probes.
func (s *Session) scenes(specs []*Spec, p *strip.Pieces) (scenes []scene, of [][]int) {
	for j, spec := range specs {
		c := slices.IndexFunc(scenes, func(c scene) bool {
			return spec.Expected == nil && c.spec.Expected == nil && c.spec.Level == spec.Level && slices.Equal(c.spec.Paint, spec.Paint)
		})
		if c < 0 {
			c = len(scenes)
			scenes, of = append(scenes, scene{}), append(of, nil)
			scenes[c].ready(s.field, spec, p)
		}
		of[c] = append(of[c], j)
	}
	return scenes, of
}

// judge finds the answers to offer and their expected information. The
// information is that of the likeliest few answers: a person does not tell eight
// colours apart as quickly as five.
func judge(spec *Spec, seen []Token, share []float64) *choice {
	c := &choice{spec: spec, answers: offeredAnswers(spec, seen, share)}
	few := likelyAnswers(spec, seen, share)
	due := make([]float64, len(few))
	for i, t := range seen {
		if at := answerIndex(few, t); at >= 0 {
			due[at] += share[i]
		}
	}
	c.bits = information(due, len(few))
	return c
}

// judgeTie sets the information to that of two outcomes: the predicted answer
// or another.
func (c *choice) judgeTie(seen []Token, share []float64, predicted Token) {
	at, like, unlike := answerIndex(c.answers, predicted), 0.0, 0.0
	for i, t := range seen {
		switch q := answerIndex(c.answers, t); {
		case q < 0:
		case q == at:
			like += share[i]
		default:
			unlike += share[i]
		}
	}
	c.bits = 0
	if at >= 0 {
		c.bits = information([]float64{like, unlike}, len(c.answers))
	}
}
