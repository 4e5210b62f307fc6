package eyes

import (
	"math/rand/v2"
	"slices"
)

// Trials of byWords, and how near a spot must come to count, in spacings.
const (
	wordTrials = 300
	wordReach  = 1.2
	leastWords = 12
)

// byWords is a view to start from by what the spots read: where most of a prop
// is as planned, a spot's slot names its place, and four of them make a view.
// The view that most of them fit is taken. It is a start and no more: whether
// it is right the marks and the spots say, as with every other.
//
// Where the data begins beside a pixel's first slot, most slots begin inside a
// pixel's, and which of two pixels is meant is open: first says which.
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
	for range 3 { // a view bends with each fit, so that more pairs come in
		v = v.fitted(best)
		best = l.fitting(v, known)
		if len(best) < leastWords {
			return view{}, false
		}
	}
	return v, true
}

// firsts are the slots at which the first pixel's data may begin, by what most
// spots read.
func (l *layer) firsts() []int {
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

// fitting is the pairs that a view brings together.
func (l *layer) fitting(v view, known []pair) []pair {
	var in []pair
	for _, p := range known {
		if distance(v.at(p.plan), p.picture) < wordReach*l.spacing {
			in = append(in, p)
		}
	}
	return in
}
