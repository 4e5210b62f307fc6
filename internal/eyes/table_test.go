package eyes

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The weights of the ternary Golay code [11,6,5] are published: MacWilliams
// and Sloane, The Theory of Error-Correcting Codes, chapter 20: 1 word of
// weight 0, 132 of 5, 132 of 6, 330 of 8, 110 of 9, 24 of 11.
func TestTheCodeHasThePublishedWeights(t *testing.T) {
	count := map[int]int{}
	for _, w := range codes[0].all(6) {
		n := 0
		for _, d := range w {
			if d != 0 {
				n++
			}
		}
		count[n]++
	}
	require.Equal(t, map[int]int{0: 1, 5: 132, 6: 132, 8: 330, 9: 110, 11: 24}, count)
}

// Every pair of words is compared digit by digit, without the code's algebra.
func TestAnyTwoWordsDifferInFiveLooks(t *testing.T) {
	for _, n := range []int{2, 3, 4, 9, 10, 27, 28, 50, 81, 82, 150, 243, 244, 600, 729, 730, 1000, MaxPixels} {
		words, err := Table(n)
		require.NoError(t, err)
		require.Len(t, words, n)
		for i, a := range words {
			for j := range i {
				differ := 0
				for k, d := range words[j] {
					if a[k] != d {
						differ++
					}
				}
				if differ < Distance {
					t.Fatalf("%d pixels: words %d and %d differ in %d looks only", n, j+1, i+1, differ)
				}
			}
		}
	}
}

func TestWordsAreOfSeveralColoursAndNeighboursDifferInMost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, MaxPixels).Draw(t, "pixels")
		words, err := Table(n)
		require.NoError(t, err)
		for i, w := range words {
			seen := map[uint8]int{}
			for _, d := range w {
				require.Less(t, d, uint8(3))
				seen[d]++
			}
			for d, n := range seen {
				require.LessOrEqual(t, n, len(w)-2, "without slot %d word %d has hardly a look", d, i+1)
			}
			if i > 0 && n > 9 {
				require.GreaterOrEqual(t, 10*Differ(w, words[i-1]), 7*len(w), "words %d and %d", i, i+1)
			}
		}
	})
}

// The lengths are those of the prototype's table: 13, 14, 15 and 17 looks with
// the black one and one a slot.
func TestTheSequenceIsAsLongAsThePrototypes(t *testing.T) {
	for pixels, looks := range map[int]int{50: 13, 150: 14, 600: 15, 1000: 17} {
		words, err := Table(pixels)
		require.NoError(t, err)
		require.Len(t, Looks(3, len(words[0])), looks, "%d pixels", pixels)
	}
}

func TestMorePixelsThanWordsAreRefused(t *testing.T) {
	for _, n := range []int{-1, 0, MaxPixels + 1} {
		_, err := Table(n)
		require.Error(t, err)
	}
}
