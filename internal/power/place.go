package power

import (
	"math"
	"sort"
)

// A Placement is where more feeds go so that no pixel falls below the chip's
// lowest voltage at full level.
type Placement struct {
	// Each feed joins the rails at one of these, ascending; empty when none is
	// needed.
	Pixels []int
	// The least voltage with them, volts, constant current.
	Lowest float64
	// Possible: some number of feeds is enough. Proven: fewer were shown not to
	// be enough; otherwise the work limit was reached.
	Possible, Proven bool
}

// PlaceFeeds finds the fewest extra feeds, all on the same wire (ohms of each
// conductor), that keep every pixel at minVolts or more when it draws amps.
//
// It relies on one fact: another feed, or another wire, lowers no voltage
// anywhere while none is above the supply: currents of resistors have one sign,
// the inverse of their matrix has no entry below 0. So a set that does not hold
// is proof against each of its subsets. From that come windows: however the
// others lie, the first extra feed is no further along than where everything
// after it could just be saved by feeds everywhere beyond, and so on for the
// second, and the same from the other end. Within the windows the search tries
// good guesses, then every placement, cutting off each start that even feeds
// everywhere beyond it could not save. work bounds the pixels visited, so that
// a screen stays quick; Proven reports whether it was enough.
//
// Among as many feeds it takes places that leave the most voltage, except that
// a place moves to the nearest of the handy ones (such as joints, where there
// are pads and wires already) where that holds as well.
func PlaceFeeds(n *Network, amps []float64, wire Rails, minVolts float64, work int, handy ...int) (Placement, error) {
	l, err := NewLadder(n)
	if err != nil {
		return Placement{}, err
	}
	s := newSearch(l, amps, wire, minVolts, work)
	s.handy = handy
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
	// Amps of each pixel, whatever its voltage, and the least volts it is to have.
	amps     []float64
	minVolts float64
	// Voltage at which to stop improving: minVolts, until the number of feeds
	// is known.
	goal  float64
	handy []int // places that are easy to solder at
	wire  Rails // of a new feed, siemens
	on    []bool
	base  bothTaps // taps of the network as it is
	sol   *Solution
	// Pixels that may still be visited: a solution costs n.
	left int
	// Pixels are cut off, and a feed may bring them back: look again each time.
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

// set switches the places from first up to but not including end.
func (s *search) set(first, end int, on bool) {
	for i := max(first, 0); i < end; i++ {
		s.on[i] = on
	}
}

// holds solves with the places that are on.
func (s *search) holds() bool { return s.lowest() >= s.minVolts }

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

// fewest adds one feed after another where the voltage is lowest, with all of
// them moved until the stretches between them sag alike; from the number on
// that the windows leave possible, it also looks closer before it goes on.
func (s *search) fewest() Placement {
	var ahead, behind []int
	if s.n <= windowsUpTo {
		ahead, behind = s.windows(false), s.windows(true)
	}
	least := max(1, len(ahead), len(behind))
	proven := s.n <= windowsUpTo
	at := s.rush()
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

// rush adds feeds by the handful on long props, as long as that is not enough.
func (s *search) rush() []int {
	at := []int{}
	for s.n > windowsUpTo {
		more := s.insertMany(at, 1+len(at)/12)
		if more = s.balance(more, 5); s.holdsAt(more) {
			break
		}
		at = more
	}
	return at
}

// windowsUpTo is the most pixels for which the windows are worth their time.
const windowsUpTo = 2000

func (s *search) holdsAt(at []int) bool {
	s.only(at)
	return s.holds()
}

// found improves the places once their number is known.
func (s *search) found(at []int, proven bool) Placement {
	s.goal, s.left = math.Inf(1), min(200*s.n, placeWork)
	at = s.snap(s.polish(s.balance(at, 20)))
	s.only(at)
	return Placement{Pixels: at, Lowest: s.lowest(), Possible: true, Proven: proven}
}

func (s *search) only(at []int) {
	s.set(0, s.n, false)
	for _, i := range at {
		s.on[i] = true
	}
}

// windows gives how far along the first, second, ... feed can be at most; with
// reverse, the same counted from the last pixel and the last feed.
func (s *search) windows(reverse bool) []int {
	var out []int
	place := func(i int) int {
		if reverse {
			return s.n - 1 - i
		}
		return i
	}
	// gap: everything on but the places in (from, to), counted along the way
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

// bounds makes one window a feed for k feeds.
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

// try extends the places in at by every choice within the windows, furthest
// first, and reports whether all hold. Places beyond at are off on entry and,
// when it fails, on return.
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

// furthest is the last place of the window at which the next feed still leaves
// something to be saved by feeds everywhere beyond; first-1 when there is none.
func (s *search) furthest(first, last int) int {
	n := sort.Search(last-first+1, func(d int) bool {
		s.set(first+d, s.n, true)
		ok := s.holds()
		s.set(first, s.n, false)
		return !ok
	})
	return first + n - 1
}

// nearest is the first place of the window at which the last feed, with feeds
// everywhere from the one before up to it, still saves what lies beyond.
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
