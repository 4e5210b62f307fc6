package sorting

import (
	"cmp"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

type pair struct{ key, place int }

func byKey(a, b pair) int { return cmp.Compare(a.key, b.key) }

// Package slices is the outside here.
func TestLikeSlices(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var s []pair
		for i, k := range rapid.SliceOfN(rapid.IntRange(-9, 9), 0, 300).Draw(t, "keys") {
			s = append(s, pair{k, i})
		}
		want := slices.Clone(s)
		slices.SortStableFunc(want, byKey)
		stable := slices.Clone(s)
		Stable(stable, byKey)
		require.Equal(t, want, stable)
		By(s, byKey)
		require.True(t, slices.IsSortedFunc(s, byKey))
		require.ElementsMatch(t, want, s)
	})
}
