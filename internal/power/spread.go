package power

import (
	"math"
	"slices"
	"sort"
)

// insert adds a place at the pixel with the lowest voltage, or at the nearest
// free one.
func (s *search) insert(at []int) []int {
	s.setOnly(at)
	s.lowest()
	low := s.sol.At
	if s.sol.Dead > 0 {
		low = s.sol.DeadAt
	}
	for d := 0; ; d++ {
		for _, i := range []int{low + d, low - d} {
			if i >= 0 && i < s.n && !s.on[i] {
				at = append(append([]int(nil), at...), i)
				sort.Ints(at)
				return at
			}
		}
	}
}

// insertMany adds up to n places from one solution: the lowest pixel of each of
// the lowest stretches between feeds.
func (s *search) insertMany(at []int, n int) []int {
	if n == 1 {
		return s.insert(at)
	}
	s.setOnly(at)
	s.lowest()
	var lows []int // of each stretch
	low := 0
	for i := range s.n {
		if s.sol.Volts(i) < s.sol.Volts(low) {
			low = i
		}
		if s.on[i] || s.base.plus[i] > 0 || i == s.n-1 {
			lows, low = append(lows, low), min(i+1, s.n-1)
		}
	}
	sort.Slice(lows, func(a, b int) bool { return s.sol.Volts(lows[a]) < s.sol.Volts(lows[b]) })
	out := slices.Clone(at)
	for _, i := range lows {
		if len(out) < len(at)+n && !s.on[i] {
			s.on[i] = true
			out = append(out, i)
		}
	}
	if len(out) == len(at) {
		return s.insert(at)
	}
	slices.Sort(out)
	return out
}

// balance moves all places up to so many times towards equal voltage drops
// between feeds, and returns the best set of them.
func (s *search) balance(at []int, times int) []int {
	best, bestAt := -math.MaxFloat64, at
	for round := range times {
		if isLong(s.n) && s.left <= 0 && round > 2 {
			break // a long prop, and the work limit is reached
		}
		s.setOnly(at)
		low := s.lowest()
		if low > best {
			best, bestAt = low, at
		}
		if low >= s.goal {
			break
		}
		to := s.balanced(at)
		if slices.Equal(to, at) {
			break
		}
		at = to
	}
	return bestAt
}

// balanced is one such move, from the solution of at. Between two fixed marks
// (feeds of the prop, ends of rails) the stretches share the length in proportion
// to their length over the square root of their drop, since the drop grows with
// the square of the length: with i amps and r ohms a metre, L metres fed at both
// ends lose i·r·L²/8 a rail, fed at one end i·r·L²/2.
func (s *search) balanced(at []int) []int {
	to := make([]int, 0, len(at))
	var from, start int  // the last fixed mark, and the start of the current stretch
	var moving []float64 // weights of the stretches since that mark
	low := s.l.net.Volts // of the current stretch
	stretch := func(end int) {
		moving = append(moving, float64(end-start+1)/math.Sqrt(max(s.l.net.Volts-low, 1e-9)))
		low, start = s.sol.Volts(min(end, s.n-1)), end
	}
	stay := func(end int) {
		stretch(end)
		var all, sum float64
		for _, want := range moving {
			all += want
		}
		for _, want := range moving[:len(moving)-1] {
			sum += want
			to = append(to, from+int(math.Round(float64(end-from)*sum/all)))
		}
		moving, from = nil, end
	}
	for i := range s.n {
		if i > 0 && s.l.plus.link[i] == 0 {
			stay(i - 1)
			from, start, low = i, i, s.sol.Volts(i)
		}
		low = min(low, s.sol.Volts(i))
		if s.on[i] {
			stretch(i)
		}
		if s.base.plus[i] > 0 {
			stay(i)
		}
	}
	stay(s.n - 1)
	to, _ = spaced(to, s.n)
	return to
}

// polish moves one place at a time while that raises the lowest voltage.
func (s *search) polish(at []int) []int {
	at = append([]int(nil), at...)
	s.setOnly(at)
	best := s.lowest()
	for step := max(1, s.n/(4*len(at))); step > 0; step /= 2 {
		for moved := true; moved && best < s.goal && s.left > 0; {
			moved = false
			for j := range at {
				moved = s.shift(at, j, step, &best) || moved
			}
		}
	}
	sort.Ints(at)
	return at
}

// shift moves place j by a step to either side if that raises the lowest
// voltage above best.
func (s *search) shift(at []int, j, step int, best *float64) (moved bool) {
	for _, to := range []int{at[j] - step, at[j] + step} {
		if to < 0 || to >= s.n || s.on[to] || s.left <= 0 {
			continue
		}
		s.on[at[j]], s.on[to] = false, true
		if v := s.lowest(); v > *best+1e-12 {
			*best, at[j], moved = v, to, true
		} else {
			s.on[at[j]], s.on[to] = true, false
		}
	}
	return moved
}

// snap moves each place to the nearest easy one if the set still holds and there
// is work left.
func (s *search) snap(at []int) []int {
	easy := slices.Clone(s.easyPlaces)
	slices.Sort(easy)
	easy = slices.Compact(easy)
	for j := range at {
		to, ok := nearestFree(easy, at[j], at)
		if !ok || s.left <= 0 {
			continue
		}
		moved := slices.Clone(at)
		moved[j] = to
		slices.Sort(moved)
		if s.holdsAt(moved) {
			at = moved
		}
	}
	return at
}

// nearestFree is the place of easy (ascending) nearest to at and not taken; false
// when all are taken.
func nearestFree(easy []int, at int, taken []int) (int, bool) {
	up, _ := slices.BinarySearch(easy, at)
	down := up - 1
	for up < len(easy) || down >= 0 {
		var to int
		if down < 0 || up < len(easy) && easy[up]-at <= at-easy[down] {
			to, up = easy[up], up+1
		} else {
			to, down = easy[down], down-1
		}
		if !slices.Contains(taken, to) {
			return to, true
		}
	}
	return 0, false
}

// spaced makes places ascending and distinct, from 0 to n-1; false when there are
// more than n.
func spaced(at []int, n int) ([]int, bool) {
	sort.Ints(at)
	var free int // the first place after the one before
	for j := range at {
		at[j] = max(at[j], free)
		free = at[j] + 1
	}
	for j := range at {
		at[j] = min(at[j], n-len(at)+j)
	}
	return at, len(at) <= n
}
