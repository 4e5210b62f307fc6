package checkout

import (
	"cmp"
	"slices"
)

const (
	sampled  = 220  // hypotheses a probe is judged by
	openDown = 1e-6 // a hypothesis with less of the whole is not looked at
)

// sample picks the hypotheses to judge probes by: all that are open when they
// are few, else some of each family, spread evenly over its share, each
// standing for an equal part of it. Positions ascend.
func (f *field) sample(w []float64) (live []int, share []float64) {
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
		for to < len(open) && f.hyps[open[to]].family == f.hyps[open[from]].family {
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

// A choice is a probe with the answers it offers and what it would tell.
type choice struct {
	spec    *Spec
	answers []Token
	bits    float64
}

// worth is bits per second of the builder's time. What it takes to read the
// question comes on top of the look itself.
func (c *choice) worth() float64 { return c.bits / (3 + c.spec.seconds()) }

// choose judges all proposals and gives the best; nil when none tells
// anything. Probes in used were asked before. In a duel only what speaks for
// or against the likeliest hypothesis counts.
func (f *field) choose(w []float64, used map[string]bool, duel bool) *choice {
	live, share := f.sample(w)
	var all []choice
	var look watcher
	seen := make([]Token, len(live))
	for _, s := range f.proposals(live, share) {
		if used[s.key()] {
			continue
		}
		look.watch(f, s)
		for i, h := range live {
			seen[i] = look.sees(f.hyps[h].strip)
		}
		answers := offer(s, seen, share)
		if len(answers) < 2 {
			continue
		}
		due := make([]float64, len(answers))
		for i, t := range seen {
			if at := place(answers, t); at >= 0 {
				due[at] += share[i]
			}
		}
		if duel {
			due = oddsOf(due, answers, seen[slices.Index(live, best(w))])
		}
		all = append(all, choice{s, answers, gain(due, len(answers))})
	}
	if len(all) == 0 {
		return nil
	}
	top := slices.MaxFunc(all, func(a, b choice) int { return cmp.Compare(a.worth(), b.worth()) })
	return &top
}

// oddsOf keeps of the shares only what stands for or against the answer that
// the likeliest hypothesis predicts.
func oddsOf(due []float64, answers []Token, predicted Token) []float64 {
	at, sum := place(answers, predicted), 0.0
	for _, d := range due {
		sum += d
	}
	if at < 0 {
		return []float64{sum}
	}
	return []float64{due[at], sum - due[at]}
}
