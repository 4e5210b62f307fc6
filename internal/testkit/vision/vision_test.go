package vision

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// Greys stay grey for every eye: the rows of each matrix sum to 1.
func TestGreysStayGrey(t *testing.T) {
	for _, k := range Kinds() {
		for _, row := range matrices[k] {
			assert.InDelta(t, 1, row[0]+row[1]+row[2], 2e-6, k)
		}
		r, g, b := Seen(k, [3]uint8{120, 120, 120})
		assert.Equal(t, [3]uint8{120, 120, 120}, [3]uint8{r, g, b}, k)
	}
}

// Red and green move together for an eye without long or middle cones, blue and
// yellow keep apart; for one without short cones it is the other way round.
func TestWhatEachEyeConfuses(t *testing.T) {
	see := func(k Kind, c [3]uint8) [3]uint8 {
		r, g, b := Seen(k, c)
		return [3]uint8{r, g, b}
	}
	// Two lights of about the same luminance, so that hue alone tells them apart.
	red, green := [3]uint8{200, 60, 60}, [3]uint8{50, 130, 50}
	for _, k := range []Kind{Protan, Deutan} {
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
