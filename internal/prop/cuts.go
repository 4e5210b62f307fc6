package prop

import (
	"fmt"
	"math"
	"sort"
)

// A Piece is a length to cut from a reel or coil.
type Piece struct {
	Name   string
	Metres float64
	Inches bool // show it in inches
}

// A Reel is one reel or coil and what is cut from it.
type Reel struct {
	Pieces []Piece
	Left   float64 // metres left over
}

// A CutPlan assigns pieces to reels. It takes the fewest reels and, among plans with as
// few, leaves the longest offcut on the last one.
type CutPlan struct {
	Reel    float64 // metres on a full reel
	Reels   []Reel
	TooLong []Piece // longer than a reel, so not in Reels; make each of several runs with joints between
	Proven  bool    // no plan takes fewer reels; false only for very many different pieces
	AtLeast int     // lower bound on the reels of any plan, from the sum of lengths
}

// maxStates limits the exact search: 20 pieces all of different lengths, or any number
// of a few lengths (1000 of one, 30 each of four).
const maxStates = 1 << 20

// PlanCuts assigns the pieces to reels of the given length in metres. A cut takes no
// length. Lengths are compared to 0.01 mm.
func PlanCuts(pieces []Piece, reel float64) (CutPlan, error) {
	plan := CutPlan{Reel: reel, Proven: true}
	if !(reel > 0) {
		return plan, fmt.Errorf("the reel has no length: give its length, such as \"5 m\" or \"25 ft\"")
	}
	s := &pieceStock{reel: hundredths(reel)}
	var fits []Piece
	for _, p := range pieces {
		if !(p.Metres > 0) {
			return plan, fmt.Errorf("piece %q has no length: give it one", p.Name)
		}
		if hundredths(p.Metres) > s.reel {
			plan.TooLong = append(plan.TooLong, p)
			continue
		}
		s.add(p)
		fits = append(fits, p)
	}
	if len(fits) == 0 {
		return plan, nil
	}
	plan.AtLeast = s.bound()
	var groups [][]Piece
	if s.states() <= maxStates {
		groups = s.exact()
	} else {
		groups = firstFit(fits, s.reel)
		plan.Proven = len(groups) == plan.AtLeast
	}
	for _, g := range groups {
		plan.Reels = append(plan.Reels, filled(g, reel))
	}
	return plan, nil
}

// SayTooLong says that a piece is longer than a reel, and what to do.
func (c CutPlan) SayTooLong(p Piece) string {
	n := int(math.Ceil(p.Metres/c.Reel - roundingSlack))
	return fmt.Sprintf("%s is %s long and a reel holds %s: make it of %d runs with joints between, or take a longer reel; it is not in this plan",
		p.Name, FormatLength(p.Metres, p.Inches), FormatLength(c.Reel, p.Inches), n)
}

func filled(g []Piece, reel float64) Reel {
	r := Reel{Pieces: g, Left: reel}
	for _, p := range g {
		r.Left -= p.Metres
	}
	if r.Left < 1e-5 {
		r.Left = 0
	}
	return r
}

// hundredths is a length in units of 0.01 mm, for exact sums: four pieces that add up to 25
// ft fit a coil of 25 ft.
func hundredths(metres float64) int64 { return int64(math.Round(metres * 1e5)) }

// A pieceStock groups pieces of equal length.
type pieceStock struct {
	reel   int64
	size   []int64
	pieces [][]Piece // by size
}

func (s *pieceStock) add(p Piece) {
	f := hundredths(p.Metres)
	for i, have := range s.size {
		if have == f {
			s.pieces[i] = append(s.pieces[i], p)
			return
		}
	}
	s.size = append(s.size, f)
	s.pieces = append(s.pieces, []Piece{p})
}

// bound is a lower bound on the reels: the sum of lengths over one reel, or the number
// of pieces longer than half a reel, which cannot share one.
func (s *pieceStock) bound() int {
	sum, big := int64(0), 0
	for i, f := range s.size {
		sum += f * int64(len(s.pieces[i]))
		if 2*f > s.reel {
			big += len(s.pieces[i])
		}
	}
	return max(big, int((sum+s.reel-1)/s.reel))
}

// states is the number of subsets the exact search visits; pieces of equal length are
// interchangeable.
func (s *pieceStock) states() int {
	n := 1
	for _, p := range s.pieces {
		if n *= len(p) + 1; n > maxStates {
			return maxStates + 1
		}
	}
	return n
}

// A partialCut is the best way to cut a subset of the pieces: the fewest reels, then the
// least used of the last reel. Without its last piece a best way is still best for the
// smaller subset, so dynamic programming over subsets is exact.
type partialCut struct {
	reels int32
	last  int32 // index of the size of the piece cut last
	used  int64 // length used of the last reel, in units of 0.01 mm
}

func (s *pieceStock) exact() [][]Piece {
	step := make([]int, len(s.size))
	n := 1
	for i, p := range s.pieces {
		step[i] = n
		n *= len(p) + 1
	}
	best := make([]partialCut, n)
	best[0] = partialCut{1, -1, 0}
	for at := 1; at < n; at++ {
		best[at] = s.bestOf(best, step, at)
	}
	return s.trace(best, step)
}

func (s *pieceStock) bestOf(best []partialCut, step []int, at int) partialCut {
	out := partialCut{reels: math.MaxInt32}
	for i, f := range s.size {
		if at/step[i]%(len(s.pieces[i])+1) == 0 {
			continue
		}
		from := best[at-step[i]]
		next := partialCut{from.reels, int32(i), from.used + f}
		if next.used > s.reel {
			next = partialCut{from.reels + 1, int32(i), f}
		}
		if next.reels < out.reels || next.reels == out.reels && next.used < out.used {
			out = next
		}
	}
	return out
}

// trace follows the last pieces back from the full set and assigns them to reels.
func (s *pieceStock) trace(best []partialCut, step []int) [][]Piece {
	at := len(best) - 1
	groups := make([][]Piece, best[at].reels)
	left := make([]int, len(s.size))
	for at > 0 {
		b := best[at]
		i := b.last
		groups[b.reels-1] = append(groups[b.reels-1], s.pieces[i][left[i]])
		left[i]++
		at -= step[i]
	}
	for _, g := range groups {
		longestFirst(g)
	}
	return groups
}

func longestFirst(g []Piece) {
	sort.SliceStable(g, func(a, b int) bool { return g[a].Metres > g[b].Metres })
}

// firstFit puts each piece, longest first, on the first reel with room.
func firstFit(pieces []Piece, reel int64) [][]Piece {
	sorted := append([]Piece(nil), pieces...)
	longestFirst(sorted)
	var groups [][]Piece
	var room []int64
next:
	for _, p := range sorted {
		f := hundredths(p.Metres)
		for i := range room {
			if room[i] >= f {
				room[i] -= f
				groups[i] = append(groups[i], p)
				continue next
			}
		}
		groups = append(groups, []Piece{p})
		room = append(room, reel-f)
	}
	return groups
}

// StripPieces lists the lengths of strip to cut for a prop: whole pixels, pad to pad.
func StripPieces(p *Prop) []Piece {
	var out []Piece
	for _, r := range p.Runs {
		if l := StripLength(r.Pixels, p.Chip); l > 0 && r.Shape.Kind != String { // a string of pixels is not cut from a reel
			out = append(out, Piece{r.Name, l, p.Inches})
		}
	}
	return out
}

// TubePieces lists the lengths of tube to cut for a prop, as the file gives them.
func TubePieces(p *Prop) []Piece {
	var out []Piece
	for _, r := range p.Runs {
		if r.Cut > 0 {
			out = append(out, Piece{r.Name, r.Cut, p.Inches})
		}
	}
	return out
}
