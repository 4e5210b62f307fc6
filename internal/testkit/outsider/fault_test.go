package outsider

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestEveryFaultShows: with every fault that is put in, one of some plain looks
// has another light than the sound prop has, at rest or while joints are bent.
func TestEveryFaultShows(t *testing.T) {
	single, more := Kinds()
	for _, kind := range append(single, more...) {
		for seed := range uint64(20) {
			g := deal(kind, seed)
			require.Equal(t, kind != "good", g.looksWrong(), "%s of %s, seed %d", kind, g.Name, seed)
		}
	}
}

// looksWrong reports whether a look at the prop is unlike the plan's.
func (g *game) looksWrong() bool {
	n, sound := g.Plan.Total()*len(g.Order), g.build()
	for first := range len(g.Order) + 1 {
		slots := make([]byte, n)
		for at := range slots {
			if (at+first)%(len(g.Order)+1) == 0 || first == 0 && at%3 == 0 {
				slots[at] = byte(100 + at%100)
			}
		}
		now := moment{open: true}
		if g.Case.Prop.Crackle {
			now.crackle = func() (int, Light) { return 0, Light{G: 1} }
		}
		if !slices.EqualFunc(sound.show(slots, moment{}), g.Case.Prop.show(slots, now), slices.Equal) {
			return true
		}
	}
	return false
}
