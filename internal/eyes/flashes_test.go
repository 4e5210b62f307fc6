package eyes

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// A prop that flashes all the time, brighter than any look, still shows where its
// looks are, and each has a part without flashes. Flashes begin at any time and
// last up to a quarter of a second, as a spoilt strip's do.
func TestASequenceIsFoundAmongFlashes(t *testing.T) {
	plain := film(14, 0, 16*time.Second, nil)
	total := func(g Glance) (sum float64) {
		for i := range 8 {
			sum += float64(g.Light[50*i])
		}
		return sum
	}
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(seed, 9))
		every := 400*time.Millisecond + time.Duration(r.IntN(300))*time.Millisecond
		late := time.Duration(r.IntN(500)) * time.Millisecond
		lasts := 40*time.Millisecond + time.Duration(r.IntN(210))*time.Millisecond
		flashes := func(at time.Duration) bool { return (at+late)%every < lasts }
		f := film(14, 0, 16*time.Second, func(at time.Duration, light []float32) {
			turn := rand.New(rand.NewPCG(seed, uint64((at+late)/every)))
			for i := range 8 {
				if turn.IntN(2) == 0 && flashes(at) {
					light[50*i] = 60000 + float32(turn.IntN(60000))
				}
			}
		})
		cut, err := Find(f, 14)
		require.NoError(t, err, seed)
		require.Len(t, cut.Windows, 14, seed)
		for k, w := range cut.Windows {
			from, to := EdgeHold+time.Duration(k-1)*Hold, EdgeHold+time.Duration(k)*Hold
			if k == 0 {
				from, to = 0, EdgeHold
			}
			require.GreaterOrEqual(t, w.From, from, "seed %d look %d", seed, k)
			require.LessOrEqual(t, w.To, to, "seed %d look %d", seed, k)
			calm := 0
			for i, g := range f {
				if len(cut.Calm) > 0 && cut.IsCalm(k, g.At) {
					calm++
					require.Less(t, total(g), total(plain[i])+0.28*8*(20000+9000), "seed %d look %d: a flash counts", seed, k)
				}
			}
			require.True(t, len(cut.Calm) == 0 || calm > 0)
		}
	}
}

// Light that flashes without a sequence is none.
func TestFlashesAloneAreNoSequence(t *testing.T) {
	_, err := Find(film(14, 0, 16*time.Second, func(at time.Duration, light []float32) {
		for i := range 8 {
			if light[50*i] = 1000; at%(500*time.Millisecond) < 250*time.Millisecond {
				light[50*i] = 90000
			}
		}
	}), 14)
	require.ErrorContains(t, err, "light flashes all the time")
}
