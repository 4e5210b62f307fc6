package parallel

import (
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Every number is worked on once, whatever the cores, and all of it is done when
// the call returns.
func TestAllIsDoneOnce(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for _, cores := range []int{1, 2, 5} {
		runtime.GOMAXPROCS(cores)
		rapid.Check(t, func(t *rapid.T) {
			n := rapid.IntRange(0, 70).Draw(t, "n")
			each, bands := make([]int, n), make([]int, n)
			Each(n, func(i int) { each[i]++ })
			Bands(n, func(from, to int) {
				for i := from; i < to; i++ {
					bands[i]++
				}
			})
			for i := range n {
				require.Equal(t, 1, each[i])
				require.Equal(t, 1, bands[i])
			}
		})
	}
}
