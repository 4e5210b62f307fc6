package checkout

import (
	"slices"

	"example.org/ringout/internal/strip"
)

const (
	sampled   = 220  // hypotheses a probe is judged by
	fewSags   = 3    // of them with a fall of voltage
	littleSag = 0.15 // with less than this of the whole, one such will do
	openDown  = 1e-6 // a hypothesis with a smaller posterior is not tried
)

// sample picks the hypotheses to judge probes by: all that are open when they
// are few, else some of each family, spread evenly over its part of w, each
// representing an equal part of it. Positions ascend.
func (b *belief) sample(w []float64) (live []int, share []float64) {
	var open []int
	for i, s := range w {
		if s > openDown {
			open = append(open, i)
		}
	}
	if len(open) <= sampled {
		for _, i := range open {
			share = append(share, w[i])
		}
		return open, share
	}
	for from := 0; from < len(open); {
		to := from
		for to < len(open) && b.hyps[open[to]].sort() == b.hyps[open[from]].sort() {
			to++
		}
		live, share = systematic(open[from:to], b.hyps[open[from]].sag, w, live, share)
		from = to
	}
	return live, share
}

// systematic appends some hypotheses of one family.
func systematic(open []int, sag bool, w []float64, live []int, share []float64) ([]int, []float64) {
	sum := 0.0
	for _, i := range open {
		sum += w[i]
	}
	n := min(len(open), 2+int(sampled*sum))
	if sag && sum < littleSag {
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

// sort names the family and, for a pair, the other fault.
func (h *hypothesis) sort() [2]int32 { return [2]int32{h.family, h.with} }

// A choice is a probe with the answers it offers and what it would tell.
type choice struct {
	spec    *Spec
	answers []Token
	bits    float64
	why     string // instead of what it would tell; empty for that
}

// rate is bits per second of the builder's time. What it takes to read the
// question comes on top of the look itself.
func (c *choice) rate() float64 { return c.bits / (8 + questions[c.spec.Kind].seconds) }

// choose rates all proposals by the weights w and returns the best, or nil when
// none gives information. Probes asked before are left out. In a tie-break only
// evidence for or against the likeliest hypothesis counts. While a sound prop
// is likeliest, only plain looks at the whole prop are asked for.
func (s *Session) choose(w []float64, top int, tie bool) *choice {
	live, share := s.belief.sample(w)
	p := &proposer{f: s.field, hyps: s.belief.hyps, live: live, share: share, used: s.used}
	if len(s.steps) == 0 {
		return s.pick(p.plain(), p, top, tie) // the first question is about the whole prop
	}
	if s.nothingLit() {
		if c := s.pick(s.field.brightLooks(), p, top, tie); c != nil && c.bits >= littleBits {
			return c // whether anything lights at all comes first
		}
	}
	if s.belief.hyps[top].sound() && (tie || w[top] >= plainAt) {
		if c := s.pick(p.plain(), p, top, tie); c != nil && c.bits >= littleBits {
			return c
		}
	}
	return s.pick(p.all(), p, top, tie)
}

// nothingLit reports whether every look so far was at a dark prop.
func (s *Session) nothingLit() bool {
	return !slices.ContainsFunc(s.steps, func(st step) bool { return st.given < 0 || st.answers[st.given] != SeesNone })
}

// plainAt is the posterior of a sound prop from which on only plain looks are
// asked for.
const plainAt = 0.5

// pick returns the best of some probes.
func (s *Session) pick(specs []*Spec, p *proposer, top int, tie bool) *choice {
	specs = slices.DeleteFunc(slices.Clone(specs), func(spec *Spec) bool { return s.used[spec.key()] || s.unseen(spec) })
	hyps := append(slices.Clone(p.live), top)
	var found *choice
	for i, seen := range s.runThrough(specs, hyps) {
		c := judge(specs[i], seen[:len(p.live)], p.share)
		if tie {
			c.forOrAgainst(seen[:len(p.live)], p.share, seen[len(p.live)])
		}
		if len(c.answers) > 1 && (found == nil || c.rate() > found.rate()) {
			found = c
		}
	}
	return found
}

// unseen reports whether a probe asks for a pixel of which the builder could
// not tell before: another colour would not make it easier to see.
func (s *Session) unseen(spec *Spec) bool {
	return spec.row().onePixel && slices.ContainsFunc(s.steps, func(st step) bool {
		return st.given < 0 && st.spec.Kind == spec.Kind && st.spec.Run == spec.Run && st.spec.Pixel == spec.Pixel
	})
}

// runThrough gives, for each probe, what a person answers under each
// hypothesis. Each strip is made once, and probes that show the same share the
// light, which is what takes the time.
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
			continue // it was made before
		}
		for c := range scenes {
			look.scene = scenes[c]
			look.readAll(specs, rows, of[c], h, st, func(j int, t Token) { out[j][k] = t })
		}
	}
	return out
}

// readAll reads those of some probes that show the scene, on the strip of a
// hypothesis.
func (w *watcher) readAll(specs []*Spec, rows []*question, which []int, h *hypothesis, st *strip.Strip, put func(int, Token)) {
	lit := false
	for _, j := range which {
		if t, ok := w.placed(rows[j], specs[j], st); ok {
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

// scenes makes ready what probes show, once for those that show the same.
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

// judge finds the answers to offer and what they would tell. What they tell is
// worked out from the likeliest few: no one distinguishes eight colours for the
// price of five.
func judge(spec *Spec, seen []Token, share []float64) *choice {
	c := &choice{spec: spec, answers: offer(spec, seen, share)}
	few := likeliest(spec, seen, share)
	due := make([]float64, len(few))
	for i, t := range seen {
		if at := place(few, t); at >= 0 {
			due[at] += share[i]
		}
	}
	c.bits = gain(due, len(few))
	return c
}

// forOrAgainst judges by what speaks for or against the predicted answer only.
func (c *choice) forOrAgainst(seen []Token, share []float64, predicted Token) {
	at, like, unlike := place(c.answers, predicted), 0.0, 0.0
	for i, t := range seen {
		switch q := place(c.answers, t); {
		case q < 0:
		case q == at:
			like += share[i]
		default:
			unlike += share[i]
		}
	}
	c.bits = 0
	if at >= 0 {
		c.bits = gain([]float64{like, unlike}, len(c.answers))
	}
}
