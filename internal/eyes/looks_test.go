package eyes

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/patterns"
	"example.org/ringout/patterns/flash"
)

func sceneOf(t require.TestingT, pixels, slots int) *Scene {
	words, err := Table(pixels)
	require.NoError(t, err)
	return &Scene{Slots: slots, Words: words, Looks: Looks(slots, len(words[0]))}
}

var orders = [][]patterns.Channel{
	{patterns.Green, patterns.Red, patterns.Blue},
	{patterns.Blue, patterns.Red, patterns.Green},
	{patterns.Red, patterns.Green, patterns.Blue, patterns.White},
}

func TestEachPixelLightsOneSlotInEveryLookButBlack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		channels := rapid.SampledFrom(orders).Draw(t, "channels")
		s := sceneOf(t, rapid.IntRange(1, 800).Draw(t, "pixels"), len(channels))
		for _, l := range s.Looks {
			for i, c := range s.Frame(nil, l, channels) {
				lit := 0
				for k, ch := range channels {
					if c.Get(ch) > 0 {
						lit++
						require.Equal(t, uint8(255), c.Get(ch))
						require.True(t, s.Lit(l, i*s.Slots+k))
					}
				}
				require.Equal(t, l.Kind != Black, lit == 1, "look %s, pixel %d: %d slots lit", l.Name(), i+1, lit)
			}
		}
	})
}

// The flash rule is measured on the whole sequence as it runs, run twice.
func TestTheSequenceKeepsTheFlashRule(t *testing.T) {
	require.GreaterOrEqual(t, Hold, MinHold)
	for _, channels := range orders {
		for _, pixels := range []int{1, 2, 3, 50, 300, 1000} {
			s := sceneOf(t, pixels, len(channels))
			m := flash.NewMeter(pixels, flash.Changes)
			at := time.Duration(0)
			for _, step := range append(s.Steps(), s.Steps()...) {
				require.False(t, m.Add(s.Frame(nil, step.Look, channels), at).TooFast(), "%d pixels, look %s", pixels, step.Look.Name())
				at += step.Hold
			}
		}
	}
}

func TestEveryLookIsHeldLongEnough(t *testing.T) {
	s := sceneOf(t, 300, 3)
	held, all := map[string]time.Duration{}, time.Duration(0)
	for _, step := range s.Steps() {
		held[step.Look.Name()] += step.Hold
		all += step.Hold
	}
	require.Equal(t, s.Duration(), all)
	require.Len(t, held, len(s.Looks))
	for name, d := range held {
		require.GreaterOrEqual(t, d, MinHold, name)
	}
	require.Equal(t, 2*EdgeHold, held["black"])
	require.Less(t, s.Duration(), 16*time.Second, "a quarter of a minute")
}
