package power

import (
	"math"
	"sort"
)

// A Placement is the places of extra feeds with which no pixel falls below the
// chip's lowest voltage at full level.
type Placement struct {
	// The pixels at which the feeds join the rails, ascending; empty when none
	// is needed.
	Pixels []int
	// The least voltage with these feeds, volts, constant current.
	Lowest float64
	// Possible: some number of feeds is enough. Proven: fewer were shown not to
	// be enough; otherwise the work limit was reached.
	Possible, Proven bool
}

// PlaceFeeds finds the fewest extra feeds, all on the same wire (ohms of each
// conductor), that keep every pixel at minVolts or more when it draws amps.
//
// One fact makes the search exact: another feed never lowers a voltage while no
// pixel is above the supply, since the inverse of a resistor network's
// conductance matrix has no entry below 0. So when a set of places does not
// hold, none of its subsets does. This limits each feed to a window of places:
// the first one lies no further along than where feeds at all later pixels would
// still hold the pixels before them, and so on for the next feeds, and the same
// from the other end. Within the windows the search tries good guesses first,
// then every placement, and drops each beginning that does not hold even with
// feeds at all later pixels. work limits the number of pixels visited; Proven
// reports whether it was enough.
//
// Of the sets with the fewest feeds it takes one with a high lowest voltage, then
// moves each place to the nearest pixel of easy (such as at a joint, where there
// are pads and wires) if the set still holds.
func PlaceFeeds(n *Network, amps []float64, wire Rails, minVolts float64, work int, easy ...int) (Placement, error) {
	l, err := NewLadder(n)
	if err != nil {
		return Placement{}, err
	}
	s := newSearch(l, amps, wire, minVolts, work)
	s.easyPlaces = easy
	if s.holds() {
		return Placement{Lowest: s.sol.Lowest, Possible: true, Proven: true}, nil
	}
	s.set(0, s.n, true)
	if !s.holds() {
		return Placement{Lowest: s.sol.Lowest, Proven: true}, nil
	}
	return s.fewest(), nil
}

// search tries sets of extra feeds on one ladder.
type search struct {
	l *Ladder
	n int // pixels
	// Amps of each pixel at any voltage, and the least volts that each must have.
	amps     []float64
	minVolts float64
	// Voltage at which to stop improving: minVolts, until the number of feeds
	// is known.
	goal       float64
	easyPlaces []int // places that are easy to solder at
	wire       Rails // of a new feed, siemens
	on         []bool
	base       bothTaps // taps of the network as it is
	sol        *Solution
	// Pixels that may still be visited: a solution costs n.
	left int
	// Some pixels have no supply, and a feed may give it to them: find the dead
	// pixels again for each set.
	recheck bool
}

// bothTaps is the taps of both rails by pixel, siemens.
type bothTaps struct{ plus, minus []float64 }

func newSearch(l *Ladder, amps []float64, wire Rails, minVolts float64, work int) *search {
	l.same = l.same && wire.Plus == wire.Minus
	return &search{
		l: l, n: len(l.dead), amps: amps, minVolts: minVolts, goal: minVolts, left: work,
		wire:    Rails{conductance(wire.Plus), conductance(wire.Minus)},
		on:      make([]bool, len(l.dead)),
		base:    bothTaps{append([]float64(nil), l.plus.tap...), append([]float64(nil), l.minus.tap...)},
		recheck: l.nDead > 0,
	}
}

// set switches feeds on or off at the pixels from first to end-1.
func (s *search) set(first, end int, on bool) {
	for i := max(first, 0); i < end; i++ {
		s.on[i] = on
	}
}

// holds reports whether no pixel falls below minVolts with the feeds that are on.
func (s *search) holds() bool { return s.lowest() >= s.minVolts }

// lowest solves the ladder with the feeds that are on, and returns the lowest
// voltage.
func (s *search) lowest() float64 {
	s.left -= s.n
	for i, on := range s.on {
		p, m := s.base.plus[i], s.base.minus[i]
		if on {
			p, m = p+s.wire.Plus, m+s.wire.Minus
		}
		s.l.plus.tap[i], s.l.minus.tap[i] = p, m
	}
	s.l.fold()
	if s.recheck {
		s.l.findDead()
	}
	s.sol = s.l.Constant(s.sol, s.amps)
	return s.sol.Lowest
}

// fewest adds one feed after another where the voltage is lowest, and moves all
// of them until the drops between them are about equal. Once the windows allow
// the number of feeds, it also tries single moves and then every placement
// before it adds another.
func (s *search) fewest() Placement {
	var ahead, behind []int
	proven := !isLong(s.n)
	if proven {
		ahead, behind = s.windows(false), s.windows(true)
	}
	least := max(1, len(ahead), len(behind))
	at := s.roughPlaces()
	for k := len(at) + 1; k <= s.n; k++ {
		at = s.insert(at)
		if k < least {
			at = s.balance(at, 4)
			continue
		}
		at = s.balance(at, 25)
		if s.holdsAt(at) {
			return s.found(at, proven)
		}
		if s.left > 0 {
			if at = s.polish(at); s.holdsAt(at) {
				return s.found(at, proven)
			}
			lo, hi := s.bounds(k, ahead, behind)
			deep := make([]int, 0, k)
			s.set(0, s.n, false)
			if s.try(&deep, lo, hi) {
				return s.found(deep, proven)
			}
		}
		proven = proven && s.left > 0
	}
	return s.found(at, proven) // a feed everywhere holds
}

// roughPlaces adds several feeds at a time on a long prop, as long as they are
// not enough; on others it returns no places.
func (s *search) roughPlaces() []int {
	at := []int{}
	for isLong(s.n) {
		more := s.insertMany(at, 1+len(at)/12)
		if more = s.balance(more, 5); s.holdsAt(more) {
			break
		}
		at = more
	}
	return at
}

// windowsUpTo is the largest number of pixels for which windows are computed:
// on longer props they take too much time.
const windowsUpTo = 2000

// isLong reports whether a prop is too long for windows and for a search.
func isLong(pixels int) bool { return pixels > windowsUpTo }

func (s *search) holdsAt(at []int) bool {
	s.setOnly(at)
	return s.holds()
}

// found improves the places once their number is known.
func (s *search) found(at []int, proven bool) Placement {
	s.goal, s.left = math.MaxFloat64, min(200*s.n, placeWork)
	at = s.snap(s.polish(s.balance(at, 20)))
	s.setOnly(at)
	return Placement{Pixels: at, Lowest: s.lowest(), Possible: true, Proven: proven}
}

func (s *search) setOnly(at []int) {
	s.set(0, s.n, false)
	for _, i := range at {
		s.on[i] = true
	}
}

// windows returns the furthest pixel for the first, second, ... feed; with
// reverse, the nearest pixel for the last, last but one, ... feed.
func (s *search) windows(reverse bool) []int {
	var out []int
	place := func(i int) int {
		if reverse {
			return s.n - 1 - i
		}
		return i
	}
	// gap reports whether feeds everywhere but between from and to hold, both
	// counted in the direction of the search.
	gap := func(from, to int) bool {
		for i := range s.n {
			s.on[place(i)] = i <= from || i >= to
		}
		return s.holds()
	}
	for from := -1; !gap(from, s.n); {
		far := from + 1 + sort.Search(s.n-from-1, func(d int) bool { return !gap(from, from+1+d) }) - 1
		out = append(out, place(far))
		from = far
	}
	return out
}

// bounds are the first and last pixel of each of k feeds, from the windows of
// both directions.
func (s *search) bounds(k int, ahead, behind []int) (lo, hi []int) {
	lo, hi = make([]int, k), make([]int, k)
	for j := range k {
		lo[j], hi[j] = j, s.n-k+j
		if j < len(ahead) {
			hi[j] = min(hi[j], ahead[j])
		}
		if b := k - 1 - j; b < len(behind) {
			lo[j] = max(lo[j], behind[b])
		}
	}
	return lo, hi
}

// try extends at by every choice of places within the windows, furthest first,
// and reports whether one holds. Later places are off on entry and, when none
// holds, on return.
func (s *search) try(at *[]int, lo, hi []int) bool {
	j := len(*at)
	first, last := lo[j], hi[j]
	if j > 0 {
		first = max(first, (*at)[j-1]+1)
	}
	last = s.furthest(first, last)
	if j == len(lo)-1 {
		first = s.nearest(first, last)
	}
	for x := last; x >= first && s.left > 0; x-- {
		s.on[x] = true
		*at = append(*at, x)
		if j == len(lo)-1 {
			if s.holds() {
				return true
			}
		} else if s.try(at, lo, hi) {
			return true
		}
		*at = (*at)[:j]
		s.on[x] = false
	}
	return false
}

// furthest is the last place of the window for the next feed from which feeds at
// that and all later pixels hold; first-1 when there is none.
func (s *search) furthest(first, last int) int {
	n := sort.Search(last-first+1, func(d int) bool {
		s.set(first+d, s.n, true)
		ok := s.holds()
		s.set(first, s.n, false)
		return !ok
	})
	return first + n - 1
}

// nearest is the first place of the window for the last feed up to which feeds
// at all pixels of the window hold the pixels after it.
func (s *search) nearest(first, last int) int {
	if last < first {
		return first
	}
	n := sort.Search(last-first+1, func(d int) bool {
		s.set(first, first+d+1, true)
		ok := s.holds()
		s.set(first, s.n, false)
		return ok
	})
	return first + n
}
