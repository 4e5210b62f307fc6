package canvas

import (
	"slices"
)

// OutsideSign is a dark pixel outside the chosen part, smaller than one in it. It is
// ASCII, so that it differs from DarkSign on a screen without UTF-8 too.
const OutsideSign = "."

// SetPart chooses n pixels of the plan from first on, counted from 0 in data order: dark
// pixels outside them get OutsideSign. With n of 0 all are chosen.
func (c *Canvas) SetPart(first, n int) {
	part := [2]int{first, n}
	if c.part == part {
		return
	}
	c.part, c.outside, c.drawn = part, nil, false
	if n == 0 || c.fine { // two pixels in a cell have no room for a sign
		return
	}
	c.outside = make([]bool, 0, len(c.flat))
	begin := 0 // of the run, in the plan
	for r, count := range c.counts {
		planned := 0
		if r < len(c.planned) {
			planned = c.planned[r]
		}
		for i := range count { // extra pixels belong to the last planned one
			at := begin + min(i, planned-1)
			c.outside = append(c.outside, at < first || at >= first+n)
		}
		begin += planned
	}
}

// headOutside reports whether an arrowhead is of a run that is all outside the chosen part.
func (c *Canvas) headOutside(head int) bool {
	if c.outside == nil {
		return false
	}
	first := 0
	for r, n := range c.headsOf {
		if head < n {
			return !slices.Contains(c.outside[first:first+c.counts[r]], false)
		}
		head -= n
		first += c.counts[r]
	}
	return false
}

// outsideOf reports whether all pixels of a place are dark and outside the chosen part.
func (c *Canvas) outsideOf(s *spot) bool {
	if c.outside == nil || !s.now[0].Dark() {
		return false
	}
	return !slices.ContainsFunc(s.up, func(i int32) bool { return !c.outside[i] })
}
