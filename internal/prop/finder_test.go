package prop

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The search finds what the walk finds, with runs without pixels anywhere.
func TestFinderFindsAsTheWalk(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := &Prop{}
		for _, n := range rapid.SliceOfN(rapid.IntRange(0, 3), 0, 8).Draw(t, "pixels") {
			p.Runs = append(p.Runs, Run{Pixels: n})
		}
		in := p.Finder()
		for i := -2; i < 26; i++ {
			run, at := p.Find(i)
			r, a := in.Find(i)
			require.Equal(t, []int{run, at}, []int{r, a}, "pixel %d", i)
		}
	})
}
