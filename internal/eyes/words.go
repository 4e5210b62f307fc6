package eyes

import (
	"math/rand/v2"
	"slices"
)

// Trials of byWords, the largest distance of a spot that counts, in spacings, and
// the least number of such spots.
const (
	wordTrials = 300
	wordReach  = 1.2
	leastWords = 12
)

// byWords is a start view from the readings of the spots, assuming that most of the
// prop is as planned: a spot's slot then gives its place, and four of them a view.
// It takes the view that most spots fit, of random fours (RANSAC). Marks and spots
// decide about it as about every other view.
//
// first is the slot at which the data of the first pixel begins, not 0 when the
// controller's start slot is wrong.
func (l *layer) byWords(first int) (view, bool) {
	var known []pair
	for s, slot := range l.slot {
		if place := (slot - first) / l.chip; slot >= first && (slot-first)%l.chip == 0 && place < len(l.plan) {
			known = append(known, pair{l.plan[place], l.spots[s], 1})
		}
	}
	if len(known) < leastWords || l.straight() {
		return view{}, false
	}
	r := rand.New(rand.NewPCG(uint64(len(known)), 16)) // the same pictures give the same view
	start := viewFrom(tilt{}, l.from, l.to, l.pairOf(l.marks[0]), l.pairOf(l.marks[len(l.marks)-1]))
	var best []pair
	for range wordTrials {
		four := make([]pair, 4)
		for i := range four {
			four[i] = known[r.IntN(len(known))]
		}
		if in := l.fitting(start.fitted(four), known); len(in) > len(best) {
			best = in
		}
	}
	if len(best) < leastWords {
		return view{}, false
	}
	v := start
	for range 3 { // each fit is better, so that more pairs fit
		v = v.fitted(best)
		best = l.fitting(v, known)
		if len(best) < leastWords {
			return view{}, false
		}
	}
	return v, true
}

// firstSlots are the slots at which the data of the first pixel may begin, by the
// slots that most spots read.
func (l *layer) firstSlots() []int {
	count := make([]int, l.chip)
	for _, slot := range l.slot {
		if slot >= 0 {
			count[slot%l.chip]++
		}
	}
	if usual := slices.Index(count, slices.Max(count)); usual > 0 {
		return []int{usual, usual - l.chip}
	}
	return []int{0}
}

// fitting are the pairs that a view maps to within wordReach.
func (l *layer) fitting(v view, known []pair) []pair {
	var in []pair
	for _, p := range known {
		if distance(v.at(p.plan), p.picture) < wordReach*l.spacing {
			in = append(in, p)
		}
	}
	return in
}
