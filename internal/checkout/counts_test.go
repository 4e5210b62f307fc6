package checkout

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/strip"
)

// A run that is short or long by any amount is named with its count, or as
// "so many or more" where all that is beyond stays dark: no light tells then.
// What the builder sees is the true count's light, which need be none that the
// engine thinks of.
func TestACountOfAnyAmount(t *testing.T) {
	seeds := uint64(10)
	if long() {
		seeds = 1000
	} else {
		t.Log("10 counts; RINGOUT_LONG=1 takes 1,000")
	}
	firm, all := 0, 0
	for seed := range seeds {
		p := randomProp(seed)
		if p.Pixels() == 1 {
			continue
		}
		rng := rand.New(rand.NewPCG(seed, 0))
		truth := strip.Fault{Kind: strip.Count, Run: rng.IntN(len(p.Runs))}
		planned := p.Runs[truth.Run].Pixels
		if truth.N = 1 + rng.IntN(2*p.Pixels()); planned > 1 && rng.IntN(2) == 0 {
			truth.N = -1 - rng.IntN(planned-1)
		}
		s, err := New(p, Options{})
		require.NoError(t, err)
		st, err := s.field.sound.With(truth)
		require.NoError(t, err)
		finish(t, s, st)
		f := s.Findings()[0]
		after := p.Pixels() - p.FirstPixel(truth.Run) - planned
		if truth.Run == len(p.Runs)-1 {
			after = strip.CountsApart(p)
		}
		assert.True(t, slices.ContainsFunc(f.Causes, func(c Cause) bool {
			if len(c.Faults) != 1 || c.Faults[0].Run != truth.Run || c.Faults[0].Kind != strip.Count {
				return false
			}
			found := c.Faults[0]
			return found == truth && truth.N <= after || found.OrMore && found.N == after+1 && truth.N > after
		}), "seed %d, %v of %v: %s (%s), %v", seed, truth, s.field.sizes, f.Title, f.Certainty(), s.Stopped())
		if all++; f.Sure.Firm() {
			firm++
		}
	}
	assert.GreaterOrEqual(t, firm, all*97/100, "certain or very likely")
}
