package vision

import (
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

// Long and middle cones together answer to luminance (Smith and Pokorny scale them so).
func TestFundamentalsSumToLuminance(t *testing.T) {
	for i, want := range []float64{0, 1, 0} {
		assert.InDelta(t, want, fundamentals[0][i]+fundamentals[1][i], 1e-4)
	}
}

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
