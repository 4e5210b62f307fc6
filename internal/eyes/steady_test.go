package eyes

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// A ribbon is five pixels before a camera that is simulated, apart from the
// decoder: what each looks like in a frame of a look, and what else changes.
type ribbon struct {
	light func(look, frame, place int) vec
	room  func(look, frame, x, y int) float64 // nil for a dark one
	shake float64
}

const ribbonLooks, ribbonFrames = 6, 8

// watched is what is seen of a ribbon of which place 4 is dark.
func (b ribbon) watched(t *testing.T) *Result {
	r := rand.New(rand.NewPCG(9, 9))
	s := &Scene{Looks: []Look{{Kind: Black}, {Kind: All}, {Kind: All, Index: 1}, {Kind: Code}, {Kind: Code, Index: 1}, {Kind: Code, Index: 2}}}
	out := &Result{Measures: Measures{Spacing: 10}, moved: make([]Point, ribbonLooks)}
	for i := range 5 {
		out.Places = append(out.Places, Place{At: Point{30 + 10*float64(i), 40}, State: Read, Reading: Reading{lost: -1}})
	}
	out.Places[3].State = Dark
	clips := make([]Clip, ribbonLooks)
	for k := range clips {
		for f := range ribbonFrames {
			clips[k].Add(b.frame(r, out.Places, k, f))
		}
	}
	out.Watch(s, clips)
	require.True(t, out.Watched)
	return out
}

func (b ribbon) frame(r *rand.Rand, places []Place, look, frame int) Picture {
	p := NewPicture(120, 80)
	dx, dy := b.shake*(2*r.Float64()-1), b.shake*(2*r.Float64()-1)
	for i := range p.W * p.H {
		x, y := i%p.W, i/p.W
		sum := vec{0.01, 0.01, 0.01}
		if b.room != nil {
			v := float32(b.room(look, frame, x, y))
			sum = sum.plus(vec{v, v, v})
		}
		for n, one := range places {
			if n == 3 || look == 0 && b.light(look, frame, n) == (vec{}) {
				continue
			}
			d := Point{float64(x) - one.At.X - dx, float64(y) - one.At.Y - dy}
			sum = sum.plus(b.light(look, frame, n).times(float32(math.Exp(-(d.X*d.X + d.Y*d.Y) / 8))))
		}
		for c := range 3 {
			p.Pix[3*i+c] = uint16(65535 * clamp(float64(sum[c])+0.01*r.NormFloat64(), 0, 1))
		}
	}
	return p
}

// atRest is a sound ribbon: a colour a look.
func atRest(look, _, place int) vec {
	out := vec{}
	if look > 0 {
		out[(look+place)%3] = 0.5
	}
	return out
}

// Light that goes and returns within a hold is seen, and where; a hand that
// shakes, a look that comes late and a dark pixel are not taken for it.
func TestLightThatComesAndGoesIsSeen(t *testing.T) {
	loose := func(look, frame, place int) vec {
		if place >= 2 && (look == 2 && frame == 3 || look == 4 && frame >= 2 && frame < 5) {
			return vec{}
		}
		return atRest(look, frame, place)
	}
	for _, r := range []struct {
		name     string
		ribbon   ribbon
		unsteady []int
		beside   bool
	}{
		{"at rest", ribbon{light: atRest}, nil, false},
		{"in a hand that shakes", ribbon{light: atRest, shake: 1.2}, nil, false},
		{"loose before place 3", ribbon{light: loose}, []int{2, 4}, false},
		{"the same, in a hand that shakes", ribbon{light: loose, shake: 0.8}, []int{2, 4}, false},
		{"other colours at times, as bright", ribbon{light: func(look, frame, place int) vec {
			if v := atRest(look, frame, place); look == 0 || place != 1 || frame%4 > 1 {
				return v
			}
			return atRest(look+1, frame, place)
		}}, []int{1}, false},
		{"two looks come late", ribbon{light: func(look, frame, place int) vec {
			if look > 3 && frame < 3 {
				return atRest(look-1, frame, place)
			}
			return atRest(look, frame, place)
		}}, nil, false},
		{"one dip in all", ribbon{light: func(look, frame, place int) vec {
			if look == 3 && frame == 4 {
				return vec{}
			}
			return atRest(look, frame, place)
		}}, nil, false},
		{"someone walks by", ribbon{light: loose, room: func(look, frame, x, _ int) float64 {
			if look == 2 && x > 10*frame && x < 10*frame+40 {
				return 0
			}
			return 0.3
		}}, nil, true},
		{"someone comes to stand there", ribbon{light: atRest, room: func(look, _, x, _ int) float64 {
			if look == 3 && x < 20 {
				return 0.3
			}
			return 0
		}}, nil, true},
	} {
		t.Run(r.name, func(t *testing.T) {
			got := r.ribbon.watched(t)
			var unsteady []int
			for i, p := range got.Places {
				if p.Unsteady > 0 {
					unsteady = append(unsteady, i)
				}
			}
			require.Equal(t, r.unsteady, unsteady)
			// What may be caused by a person who passes is not sure: that place 4 is dark,
			// and that light comes and goes.
			require.Equal(t, map[bool]State{true: Unread, false: Dark}[r.beside], got.Places[3].State)
			walks := r.name == "someone walks by"
			require.Equal(t, map[bool]State{true: Unread, false: Read}[walks], got.Places[2].State)
			require.Equal(t, Read, got.Places[0].State)
			require.Equal(t, r.beside, got.Beside > 0)
			require.Equal(t, len(unsteady) > 0 && !r.beside, got.Flickers())
			require.False(t, got.Sparks)
		})
	}
}

// A pixel that flashes while black is sent has spoilt data; a loose contact has
// nothing to flash with.
func TestFlashesInTheBlackLookAreSparks(t *testing.T) {
	got := ribbon{light: func(look, frame, place int) vec {
		if place == 4 && frame%3 == 0 {
			return vec{0.9, 0.9, 0}
		}
		return atRest(look, frame, place)
	}}.watched(t)
	require.True(t, got.Sparks)
	require.Positive(t, got.Places[4].Unsteady)
}

// Where there are no frames, nothing is noted and nothing is claimed.
func TestNothingIsWatchedWithoutFrames(t *testing.T) {
	for _, clips := range [][]Clip{nil, make([]Clip, 2), {{Side: 1, W: 1, H: 1, Frames: [][]uint8{{1}}}, {Side: 1, W: 1, H: 1, Frames: [][]uint8{{1}}}}} {
		r := &Result{Places: make([]Place, 1), moved: make([]Point, 2)}
		r.Watch(&Scene{Looks: []Look{{Kind: Black}, {Kind: All}}}, clips)
		require.False(t, r.Watched)
		require.Zero(t, r.Unsteady())
	}
}
