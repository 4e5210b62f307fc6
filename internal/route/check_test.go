package route

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// row is a plate of holes at the given places along a line, in metres.
func row(reach float64, tucked int, at ...float64) *Plate {
	p := &Plate{Reach: reach, Tucked: tucked}
	for _, x := range at {
		p.Holes = append(p.Holes, Hole{Point{x, 0}, -1})
	}
	return p
}

// By hand: a step of length d takes ceil(d/reach) cords, and one tucked pixel fewer
// than cords.
func TestTuck(t *testing.T) {
	p := row(0.1, 4, 0)
	for _, r := range []struct {
		step float64
		want int
	}{{0, 0}, {0.05, 0}, {0.1, 0}, {0.1000001, 1}, {0.2, 1}, {0.3, 2}, {0.30001, 3}, {1, 9}} {
		assert.Equal(t, r.want, p.Tuck(r.step), "%g", r.step)
	}
	p.Lead = 0.25
	for _, r := range []struct {
		step float64
		want int
	}{{0.25, 0}, {0.26, 1}, {0.35, 1}, {0.36, 2}, {0.45, 2}} {
		assert.Equal(t, r.want, p.TuckLead(r.step), "%g", r.step)
	}
	p.Lead = 0
	assert.Zero(t, p.TuckLead(99), "a lead of any length")
}

func TestGaps(t *testing.T) {
	assert.Empty(t, row(1, 1, 0, 2, 4).Gaps(), "two cords with a pixel between them reach 2 m")
	gaps := row(1, 0, 0, 1, 2, 5, 6, 9.5).Gaps()
	require.Len(t, gaps, 2)
	assert.Equal(t, Gap{Holes: []int{3, 4}, Piece: -1, From: 3, To: 2, Step: 3, Tucking: 2}, gaps[0])
	assert.Equal(t, Gap{Holes: []int{5}, Piece: -1, From: 5, To: 4, Step: 3.5, Tucking: 3}, gaps[1])

	torn := row(1, 0, 0, 1, 2, 3)
	torn.Pieces = []Piece{{"ends", -1}}
	torn.Holes[0].Piece, torn.Holes[3].Piece = 0, 0
	assert.Equal(t, []Gap{{Holes: []int{3}, Piece: 0, From: 3, To: 0, Step: 3, Tucking: 2}}, torn.Gaps())

	far := row(1, 1, 3, 4)
	far.Start, far.Lead = &Point{0, 0}, 0.5
	assert.Equal(t, []Gap{{Holes: []int{0, 1}, Piece: -1, Start: true, From: 0, To: -1, Step: 3, Tucking: 3}}, far.Gaps())
	far.Tucked = 3
	assert.Empty(t, far.Gaps())
}

// A plate without gaps may still have no route: in a star of three arms, one step from
// arm to arm is too long.
func TestNoRouteThoughNoGap(t *testing.T) {
	p := &Plate{Reach: 1}
	for _, at := range []Point{{0, 0}, {1, 0}, {2, 0}, {-1, 0}, {-2, 0}, {0, 1}, {0, 2}} {
		p.Holes = append(p.Holes, Hole{at, -1})
	}
	require.Empty(t, p.Gaps())
	_, err := Solve(p)
	var step *StepError
	require.ErrorAs(t, err, &step)
	assert.Equal(t, 1, step.Enough, "with one pixel tucked away in a step there is a route")
	assert.Zero(t, step.Allowed)
	assert.ErrorContains(t, err, "no route was found")
	p.Tucked = 1
	r, err := Solve(p)
	require.NoError(t, err)
	sound(t, p, r)
	assert.True(t, r.Shortest())
}

func TestPlatesThatAreNone(t *testing.T) {
	deep := row(1, 0, 0, 1)
	for k := range 5 {
		deep.Pieces = append(deep.Pieces, Piece{"p", k - 1})
	}
	deep.Holes[0].Piece = 3
	_, err := Solve(deep)
	require.NoError(t, err, "four one in another")
	deep.Holes[0].Piece = 4
	_, err = Solve(deep)
	require.ErrorContains(t, err, "hole 0 lies in 5 pieces one in another, and 4 is the most")

	large := row(1, 0)
	large.Holes = make([]Hole, MaxHoles+1)
	later, outside := row(1, 0, 0), row(1, 0, 0)
	later.Pieces = []Piece{{"a", 0}}
	outside.Holes[0].Piece = 0
	for want, p := range map[string]*Plate{
		"the plate has no holes":                           row(1, 0),
		"the plate has 1001 holes, and 1000 is the most":   large,
		"the reach of the cord is 0 m":                     row(0, 0, 1),
		"piece 0 lies in piece 0, which is not an earlier": later,
		"hole 0 is of piece 0, which is not there":         outside,
	} {
		_, err := Solve(p)
		require.ErrorContains(t, err, want)
		assert.Empty(t, p.Gaps())
	}
}

// Solve does not change the plate, and finds the same route twice.
func TestSameAgain(t *testing.T) {
	p := plateOf(rand.New(rand.NewPCG(2, 8)), 25)
	a, err := Solve(p)
	require.NoError(t, err)
	b, err := Solve(p)
	require.NoError(t, err)
	assert.Equal(t, a, b)
	along := p.Along(a.Order)
	assert.Equal(t, a.Tucked, along.Tucked)
	assert.Equal(t, a.Dark, along.Dark)
	assert.InDelta(t, a.Length, along.Length, 1e-12)
	assert.Equal(t, len(p.Holes)+a.Dark, a.Pixels())
}
