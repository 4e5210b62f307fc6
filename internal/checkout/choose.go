package checkout

import "slices"

const (
	sampled  = 220  // hypotheses a probe is judged by
	openDown = 1e-6 // a hypothesis with less of the whole is not looked at
)

// sample picks the hypotheses to judge probes by: all that are open when they
// are few, else some of each family, spread evenly over its share, each
// standing for an equal part of it. Positions ascend.
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
		live, share = systematic(open[from:to], w, live, share)
		from = to
	}
	return live, share
}

// systematic appends some hypotheses of one family.
func systematic(open []int, w []float64, live []int, share []float64) ([]int, []float64) {
	sum := 0.0
	for _, i := range open {
		sum += w[i]
	}
	n := min(len(open), 3+int(sampled*sum))
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
func (h *hypothesis) sort() [2]int { return [2]int{h.family, h.with} }

// A choice is a probe with the answers it offers and what it would tell.
type choice struct {
	spec    *Spec
	answers []Token
	bits    float64
}

// worth is bits per second of the builder's time. What it takes to read the
// question comes on top of the look itself.
func (c *choice) worth() float64 { return c.bits / (8 + c.spec.seconds()) }

// choose judges all proposals and gives the best; nil when none tells
// anything. Probes asked before are left out. In a duel only what speaks for or
// against the likeliest hypothesis counts. While a sound prop is likeliest, only
// plain looks at the whole are asked for.
func (s *Session) choose(w []float64, top int, duel bool) *choice {
	live, share := s.belief.sample(w)
	p := &proposer{f: s.field, hyps: s.belief.hyps, live: live, share: share, used: s.used}
	if len(s.belief.hyps[top].faults) == 0 && (duel || w[top] >= plainShare) {
		if c := s.pick(p.plain(), p, top, duel); c != nil && c.bits >= littleBits {
			return c
		}
	}
	return s.pick(p.all(), p, top, duel)
}

// pick is the best of some probes.
func (s *Session) pick(specs []*Spec, p *proposer, top int, duel bool) *choice {
	specs = slices.DeleteFunc(slices.Clone(specs), func(spec *Spec) bool { return s.used[spec.key()] || s.unseen(spec) })
	hyps := append(slices.Clone(p.live), top)
	var found *choice
	for i, seen := range s.runThrough(specs, hyps) {
		c := judge(specs[i], seen[:len(p.live)], p.share)
		if duel {
			c.odds(seen[:len(p.live)], p.share, seen[len(p.live)])
		}
		if len(c.answers) > 1 && (found == nil || c.worth() > found.worth()) {
			found = c
		}
	}
	return found
}

// unseen reports whether a probe asks for a pixel of which the builder could
// not tell before: another colour would not make it easier to see.
func (s *Session) unseen(spec *Spec) bool {
	return spec.Kind == AskPlace && slices.ContainsFunc(s.steps, func(st step) bool {
		return st.given < 0 && st.spec.Kind == AskPlace && st.spec.Run == spec.Run && st.spec.Pixel == spec.Pixel
	})
}

// runThrough gives, for each probe, what a person answers under each
// hypothesis. Probes that show the same share the light, which is what takes
// the time.
func (s *Session) runThrough(specs []*Spec, hyps []int) [][]Token {
	out := make([][]Token, len(specs))
	var look watcher
	var same []int
	for i, spec := range specs {
		if out[i] != nil {
			continue
		}
		same = same[:0]
		for j := i; j < len(specs); j++ {
			if specs[j].Level == spec.Level && slices.Equal(specs[j].Paint, spec.Paint) {
				same, out[j] = append(same, j), make([]Token, len(hyps))
			}
		}
		look.watch(s.field, spec)
		for k, h := range hyps {
			look.shine(s.belief.hyps[h].strip)
			for _, j := range same {
				out[j][k] = look.answer(specs[j], &s.belief.hyps[h])
			}
		}
	}
	return out
}

// judge finds the answers to offer and what they would tell. What they tell is
// worked out from the likeliest few: nobody tells eight colours apart for the
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

// odds judges by what stands for or against the predicted answer only.
func (c *choice) odds(seen []Token, share []float64, predicted Token) {
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

// plainShare is the share of a sound prop from which on only plain looks are
// asked for.
const plainShare = 0.5
