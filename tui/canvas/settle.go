package canvas

import (
	"cmp"
	"math"
	"slices"
)

// settle moves pixels that share a place to a free place beside it. In a loose drawing it also
// moves pixels that touch a neighbour on their line. ideal holds the exact positions, on the
// rounded ones, which it changes. It returns the number of pixels still hidden. The shortest
// moves come first, and pixels that mirror each other move together.
func settle(ideal, on [][]spotAt, g grid) (hidden int) {
	s := settling{ideal: ideal, on: on, by: g, taken: make([]int, (g.cols+2)*(g.lines+2)), loose: closest(ideal, g) >= looseFrom}
	n := 0
	for r := range on {
		for k := range on[r] {
			s.add(on[r][k], 1)
			n++
		}
	}
	if crowded := n - s.places; float64(crowded) <= crowd*float64(n) { // else there are too few free places
		for range 3 {
			s.pass()
		}
	}
	return n - s.places
}

// closest is the least distance of two consecutive pixels, in columns.
func closest(ideal [][]spotAt, g grid) float64 {
	least := math.Inf(1)
	for _, run := range ideal {
		for k := 1; k < len(run); k++ {
			d := run[k].minus(run[k-1])
			least = min(least, math.Hypot(d.x, d.y*g.shape()))
		}
	}
	return least
}

// A settling is the state of settle: exact and drawn positions of the pixels, the number of
// pixels in each place, with a place more on each side of the grid, and the number of places
// with pixels.
type settling struct {
	ideal, on [][]spotAt
	by        grid
	taken     []int
	places    int
	loose     bool
	other     map[pixelOf]pixelOf // the pixel's mirror image
}

// A pixelOf is a pixel of a run.
type pixelOf struct{ run, pixel int }

// mirror pairs the pixels that are mirror images about the middle column.
func (s *settling) mirror() {
	const fine = 256 // steps per place
	key := func(at spotAt) [2]int { return [2]int{int(math.Round(at.x * fine)), int(math.Round(at.y * fine))} }
	at := map[[2]int]pixelOf{}
	s.each(func(p pixelOf) { at[key(s.ideal[p.run][p.pixel])] = p })
	s.other = map[pixelOf]pixelOf{}
	s.each(func(p pixelOf) {
		k := key(s.across(s.ideal[p.run][p.pixel]))
		for _, d := range [][2]int{{0, 0}, {1, 0}, {-1, 0}, {0, 1}, {0, -1}} { // allow for rounding
			if o, ok := at[[2]int{k[0] + d[0], k[1] + d[1]}]; ok && o != p {
				s.other[p] = o
				return
			}
		}
	})
}

// each calls do for every pixel.
func (s *settling) each(do func(pixelOf)) {
	for r := range s.on {
		for k := range s.on[r] {
			do(pixelOf{r, k})
		}
	}
}

// across mirrors a place about the middle column.
func (s *settling) across(at spotAt) spotAt { return spotAt{float64(s.by.cols-1) - at.x, at.y} }

// A move puts a pixel in a free place. cost is the squared distance from its exact position,
// see movesOf.
type move struct {
	of   pixelOf
	to   spotAt
	cost float64
}

// pass makes the moves that are still needed and possible, the cheapest first. A pixel with a
// mirror image moves only if the image can move too.
func (s *settling) pass() {
	var moves []move
	s.each(func(p pixelOf) {
		if s.crowded(s.on[p.run][p.pixel]) {
			moves = append(moves, s.movesOf(p)...)
		}
	})
	if len(moves) > 0 && s.other == nil {
		s.mirror()
	}
	slices.SortStableFunc(moves, func(a, b move) int { return cmp.Compare(a.cost, b.cost) })
	for _, m := range moves {
		if !s.crowded(s.on[m.of.run][m.of.pixel]) {
			continue
		}
		if o, ok := s.other[m.of]; !ok {
			s.try(m)
		} else if back := s.across(m.to); back != m.to {
			from := s.on[m.of.run][m.of.pixel]
			if s.try(m) && !s.try(move{of: o, to: back}) {
				s.put(m.of, from)
			}
		}
	}
}

// try moves a pixel if its new place is free and, in a loose drawing, touches no neighbour.
func (s *settling) try(m move) bool {
	from := s.on[m.of.run][m.of.pixel]
	if s.at(m.to) > 0 {
		return false
	}
	s.put(m.of, m.to)
	if s.loose && s.beside(m.to) {
		s.put(m.of, from)
		return false
	}
	return true
}

// put moves a pixel to a place.
func (s *settling) put(p pixelOf, to spotAt) {
	s.add(s.on[p.run][p.pixel], -1)
	s.add(to, 1)
	s.on[p.run][p.pixel] = to
}

// add changes the number of pixels in a place.
func (s *settling) add(to spotAt, by int) {
	n := &s.taken[s.index(to)]
	s.places -= min(1, *n)
	*n += by
	s.places += min(1, *n)
}

// at is the number of pixels in a place of the grid or right beside it.
func (s *settling) at(place spotAt) int { return s.taken[s.index(place)] }

func (s *settling) index(at spotAt) int { return (int(at.y)+1)*(s.by.cols+2) + int(at.x) + 1 }

// crowded reports whether a place has more than one pixel or, in a loose drawing, touches a
// neighbour.
func (s *settling) crowded(at spotAt) bool { return s.at(at) > 1 || s.loose && s.beside(at) }

// beside reports whether the place to the left or right is taken.
func (s *settling) beside(at spotAt) bool {
	return s.at(spotAt{at.x - 1, at.y}) > 0 || s.at(spotAt{at.x + 1, at.y}) > 0
}

// movesOf lists the moves of a pixel to the free places around it. The cost is the squared
// distance in columns, rounded to a millionth so that mirrored moves cost exactly the same.
func (s *settling) movesOf(p pixelOf) (out []move) {
	at, want := s.on[p.run][p.pixel], s.ideal[p.run][p.pixel]
	for _, d := range []spotAt{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, 1}, {1, -1}, {-1, 1}, {-1, -1}} {
		to := at.plus(d, 1)
		off := spotAt{to.x - want.x, (to.y - want.y) * s.by.shape()}
		const far = 2.25 // columns
		if to.x < 0 || to.y < 0 || to.x >= float64(s.by.cols) || to.y >= float64(s.by.lines) || s.at(to) > 0 || off.length() > far {
			continue
		}
		out = append(out, move{p, to, math.Round(1e6 * off.length() * off.length())})
	}
	return out
}
