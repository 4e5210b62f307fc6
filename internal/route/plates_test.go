package route

import (
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// plateOf makes a random plate: holes on a lattice of one metre, and sometimes nested
// pieces, a start and a lead.
func plateOf(dice *rand.Rand, holes int) *Plate {
	p := &Plate{Reach: 1 + 2*dice.Float64(), Tucked: 20}
	wide := int(math.Ceil(math.Sqrt(2*float64(holes)))) + 1
	for _, c := range dice.Perm(wide * wide)[:holes] {
		p.Holes = append(p.Holes, Hole{Point{float64(c % wide), float64(c / wide)}, -1})
	}
	if dice.IntN(2) == 0 {
		p.givePieces(dice, wide)
	}
	if dice.IntN(2) == 0 {
		p.Start = &Point{4 * (dice.Float64() - 0.5), 4 * (dice.Float64() - 0.5)}
		p.Lead = []float64{0, 0.5 + 2*dice.Float64()}[dice.IntN(2)]
	}
	return p
}

// givePieces divides the plate into words from left to right and the words into
// letters. Some holes belong to no piece.
func (p *Plate) givePieces(dice *rand.Rand, wide int) {
	words, letters := 1+dice.IntN(3), 1+dice.IntN(3)
	for w := range words {
		p.Pieces = append(p.Pieces, Piece{Name: "word", In: -1})
		for range letters {
			p.Pieces = append(p.Pieces, Piece{Name: "letter", In: w * (letters + 1)})
		}
	}
	for i, h := range p.Holes {
		w := int(h.X) * words / wide
		switch dice.IntN(6) {
		case 0:
		case 1:
			p.Holes[i].Piece = w * (letters + 1)
		default:
			p.Holes[i].Piece = w*(letters+1) + 1 + dice.IntN(letters)
		}
	}
}

// figures computes from the definition, without the code under test: whether the holes
// of every piece are consecutive, the pixels tucked away, the length in metres, and the
// most pixels tucked away in one step.
func figures(p *Plate, order []int) (whole bool, dark int, length float64, most int) {
	tuck := func(d, reach float64) int {
		k := 0
		for reach*float64(k+1)*(1+1e-9) < d {
			k++
		}
		return k
	}
	if p.Start != nil {
		d := math.Hypot(p.Start.X-p.Holes[order[0]].X, p.Start.Y-p.Holes[order[0]].Y)
		length = d
		if p.Lead > 0 && d > p.Lead*(1+1e-9) {
			dark = 1 + tuck(d-p.Lead, p.Reach)
		}
		most = dark
	}
	for i := 1; i < len(order); i++ {
		a, b := p.Holes[order[i-1]], p.Holes[order[i]]
		d := math.Hypot(a.X-b.X, a.Y-b.Y)
		k := tuck(d, p.Reach)
		dark, length, most = dark+k, length+d, max(most, k)
	}
	return piecesWhole(p, order), dark, length, most
}

func piecesWhole(p *Plate, order []int) bool {
	for k := range p.Pieces {
		stretches, inside := 0, false
		for _, h := range order {
			in := false
			for q := p.Holes[h].Piece; q >= 0; q = p.Pieces[q].In {
				in = in || q == k
			}
			if in && !inside {
				stretches++
			}
			inside = in
		}
		if stretches > 1 {
			return false
		}
	}
	return true
}

// sound checks a route against the definition.
func sound(t require.TestingT, p *Plate, r Route) {
	sorted := slices.Clone(r.Order)
	slices.Sort(sorted)
	require.Len(t, sorted, len(p.Holes))
	for i, h := range sorted {
		require.Equal(t, i, h, "every hole once")
	}
	whole, dark, length, most := figures(p, r.Order)
	require.True(t, whole, "every piece in one stretch")
	require.Equal(t, dark, r.Dark, "pixels tucked away")
	require.InDelta(t, length, r.Length, 1e-6*(1+length))
	require.LessOrEqual(t, most, p.Tucked)
	require.LessOrEqual(t, r.LeastDark, r.Dark)
	require.LessOrEqual(t, r.LeastLength, r.Length)
	sum := 0
	for _, k := range r.Tucked {
		sum += k
	}
	require.Equal(t, dark, sum, "counted where they are")
}

// bruteForce tries every order.
func bruteForce(p *Plate) (dark int, length float64) {
	order := make([]int, len(p.Holes))
	for i := range order {
		order[i] = i
	}
	dark, length = math.MaxInt, math.Inf(1)
	var try func(k int)
	try = func(k int) {
		if k == len(order) {
			whole, d, l, most := figures(p, order)
			if whole && most <= p.Tucked && (d < dark || d == dark && l < length) {
				dark, length = d, l
			}
			return
		}
		for i := k; i < len(order); i++ {
			order[k], order[i] = order[i], order[k]
			try(k + 1)
			order[k], order[i] = order[i], order[k]
		}
	}
	try(0)
	return dark, length
}

func TestBestOfAllOrders(t *testing.T) {
	rounds := 120
	for seed := range rounds {
		p := plateOf(rand.New(rand.NewPCG(uint64(seed), 3)), 1+seed%7)
		dark, length := bruteForce(p)
		r, err := Solve(p)
		require.NoError(t, err)
		sound(t, p, r)
		require.Equal(t, dark, r.Dark, "seed %d", seed)
		require.InDelta(t, length, r.Length, 1e-9, "seed %d", seed)
		require.True(t, r.Shortest(), "seed %d: so few holes are proven: %+v", seed, r)
	}
}

// The bounds, by which larger plates are proven, are never above the best of all
// orders, and prove most of these plates.
func TestBoundsHoldForAllOrders(t *testing.T) {
	proven, rounds := 0, 150
	for seed := range rounds {
		p := plateOf(rand.New(rand.NewPCG(uint64(seed), 6)), 2+seed%6)
		dark, length := bruteForce(p)
		g := newGrid(p)
		r := g.prove(g.nearestFirst())
		sound(t, p, r)
		require.LessOrEqual(t, r.LeastDark, dark, "seed %d", seed)
		if r.LeastDark == dark {
			require.LessOrEqual(t, r.LeastLength, length*(1+1e-9)+1e-9, "seed %d", seed)
		}
		if r.Fewest() {
			require.Equal(t, dark, r.Dark, "seed %d", seed)
		}
		if r.Shortest() {
			proven++
			require.InDelta(t, length, r.Length, 2e-6*length, "seed %d", seed)
		}
	}
	require.Greater(t, proven, rounds*9/10)
}

// Routes of random plates of up to 60 holes, 500 with RINGOUT_LONG, fit the definition.
func TestEveryPlateHasASoundRoute(t *testing.T) {
	plates, most := 4, 60
	if os.Getenv("RINGOUT_LONG") != "" {
		plates, most = 20, 500
	}
	for seed := range plates {
		dice := rand.New(rand.NewPCG(uint64(seed), 4))
		p := plateOf(dice, 1+dice.IntN(most))
		r, err := Solve(p)
		require.NoError(t, err)
		sound(t, p, r)
	}
}

// Plates of 300 holes: loose on a lattice, with a cord too short for many steps,
// and in words of letters.
func BenchmarkSolve300(b *testing.B) {
	dice := rand.New(rand.NewPCG(5, 5))
	loose, short, words := plateOf(dice, 300), plateOf(dice, 300), plateOf(dice, 300)
	loose.Reach, short.Reach = 3, 1.2
	for i := range loose.Holes {
		loose.Holes[i].Piece, short.Holes[i].Piece = -1, -1
	}
	for words.Pieces == nil {
		words = plateOf(dice, 300)
	}
	for name, p := range map[string]*Plate{"loose": loose, "short": short, "words": words} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := Solve(p); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
