package vision

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func see(k Kind, c [3]uint8) [3]uint8 {
	r, g, b := Seen(k, c)
	return [3]uint8{r, g, b}
}

// Greys stay grey for every eye: the rows of each matrix sum to 1.
func TestGreysStayGrey(t *testing.T) {
	for k, m := range matrices {
		for _, row := range m {
			assert.InDelta(t, 1, row[0]+row[1]+row[2], 2e-6, k)
		}
	}
	for _, k := range Kinds() {
		assert.Equal(t, [3]uint8{120, 120, 120}, see(k, [3]uint8{120, 120, 120}), k)
	}
}

// What is derived from the confusion points is what Smith and Pokorny give as the long and
// middle cones' answers to X, Y and Z (Vision Research 15, 1975, as Vienot, Brettel and
// Mollon 1999 print them; figures from memory). They scale them to sum to luminance.
func TestFundamentalsAreThePublishedOnes(t *testing.T) {
	published := [2][3]float64{{0.15514, 0.54312, -0.03286}, {-0.15514, 0.45684, 0.03286}}
	for cone, row := range published {
		for i, want := range row {
			assert.InDelta(t, want, fundamentals[cone][i], 1e-4, "cone %d", cone)
		}
	}
	for i, want := range []float64{0, 1, 0} {
		assert.InDelta(t, want, fundamentals[0][i]+fundamentals[1][i], 1e-12)
	}
	assert.InDeltaSlice(t, []float64{0, 0, 1}, fundamentals[2][:], 1e-12, "short cones answer to Z alone")
}

// The table's matrices remove the component along the published lines of confusion. Without
// long or middle cones nothing of it remains; without short cones a sixth remains, since the
// table shifts their response instead of removing it.
func TestMatricesLoseTheLinesOfConfusion(t *testing.T) {
	for _, row := range []struct {
		kind    Kind
		left    float64 // of a light along the direction that fares worst
		degrees float64 // between that and the line of confusion
	}{{Protan, 1e-6, 1.5}, {Deutan, 1e-6, 0.6}, {Tritan, 0.16, 6.6}} {
		m := matrices[row.kind]
		worst := weakest(m)
		assert.Less(t, length(times(m, worst)), row.left, row.kind)
		p := confusion[map[Kind]int{Protan: 0, Deutan: 1, Tritan: 2}[row.kind]]
		line := times(inverse(primaries), [3]float64{p[0], p[1], 1 - p[0] - p[1]})
		angle := math.Acos(math.Abs(dot(worst, line))/length(line)) * 180 / math.Pi
		assert.Less(t, angle, row.degrees, row.kind)
	}
}

// weakest is the direction, of length 1, that a matrix makes least of: by power iteration
// of the inverse.
func weakest(m [3][3]float64) [3]float64 {
	turned := m
	for r := range m {
		for c := range m {
			turned[r][c] = m[c][r]
		}
	}
	back, forth := inverse(m), inverse(turned)
	v := [3]float64{1, -0.5, 0.3}
	for range 50 {
		v = times(back, times(forth, v))
		n := length(v)
		for i := range v {
			v[i] /= n
		}
	}
	return v
}

func dot(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func length(v [3]float64) float64 { return math.Sqrt(dot(v, v)) }

// What an eye takes a colour for differs from it in the missing cone's answer alone, and
// is taken for itself: the definition of the second model.
func TestOnlyTheMissingConeAnswersOtherwise(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		part := rapid.Float64Range(0, 1)
		in := [3]float64{part.Draw(t, "r"), part.Draw(t, "g"), part.Draw(t, "b")}
		for k, cone := range missing {
			out := withoutCone(cone, in)
			a, b := cones(in), cones(out)
			for i := range a {
				if i != cone {
					assert.InDelta(t, a[i], b[i], 1e-9, k)
				}
			}
			again := withoutCone(cone, out)
			for i := range out {
				assert.InDelta(t, out[i], again[i], 1e-6, k)
			}
		}
	})
}

// The two models agree on what is hard: pairs that are plainly apart for the usual eye
// and near each other for one model are nearer for the other too. Tried on a grid of
// colours; the models differ in detail, so that the least agreement is asked.
func TestTheModelsAgree(t *testing.T) {
	pairs := map[Kind]Kind{Protan: ProtanCones, Deutan: DeutanCones, Tritan: TritanCones}
	steps := []uint8{0, 85, 170, 255}
	var grid [][3]uint8
	for _, r := range steps {
		for _, g := range steps {
			for _, b := range steps {
				grid = append(grid, [3]uint8{r, g, b})
			}
		}
	}
	for one, other := range pairs {
		near, agree := 0, 0
		for i, a := range grid {
			for _, b := range grid[:i] {
				if usual := Apart(a, b); usual > 30 && Apart(see(one, a), see(one, b)) < usual/3 {
					near++
					if Apart(see(other, a), see(other, b)) < usual*2/3 {
						agree++
					}
				}
			}
		}
		assert.Greater(t, near, 20, one)
		assert.Greater(t, float64(agree), 0.9*float64(near), "%s: of %d pairs %d are near in both", one, near, agree)
	}
}

// Red and green move together for an eye without long or middle cones, blue and
// yellow keep apart; for one without short cones it is the other way round.
func TestWhatEachEyeConfuses(t *testing.T) {
	// Two lights of about the same luminance, so that hue alone tells them apart.
	red, green := [3]uint8{200, 60, 60}, [3]uint8{50, 130, 50}
	for _, k := range []Kind{Protan, Deutan, ProtanCones, DeutanCones} {
		assert.Less(t, Apart(see(k, red), see(k, green)), Apart(red, green)/2, k)
	}
	assert.Greater(t, Apart(see(Tritan, red), see(Tritan, green)), Apart(red, green)/2)
}

// WCAG 2.1: black on white is 21 to 1, a colour on itself 1 to 1. CIE 1976: white
// has L* 100, black 0, so they lie 100 apart.
func TestMeasuresAtTheirEnds(t *testing.T) {
	black, white := [3]uint8{}, [3]uint8{255, 255, 255}
	assert.InDelta(t, 21, Contrast(black, white), 1e-9)
	assert.InDelta(t, 1, Contrast(white, white), 1e-9)
	assert.InDelta(t, 100, Apart(black, white), 0.1)
	// #777777 on white is 4.48 to 1 (the known pair just below 4.5).
	assert.InDelta(t, 4.48, Contrast([3]uint8{0x77, 0x77, 0x77}, white), 0.01)
}

func TestUsualEyesSeeWhatIsThere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := rapid.Byte()
		c := [3]uint8{b.Draw(t, "r"), b.Draw(t, "g"), b.Draw(t, "b")}
		r, g, bl := Seen(Usual, c)
		assert.Equal(t, c, [3]uint8{r, g, bl})
	})
}
