package power

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// spd draws a symmetric positive definite matrix: B times its transpose, with
// something more on the diagonal.
func spd(t *rapid.T, n int) [][]float64 {
	b := make([][]float64, n)
	for i := range b {
		b[i] = rapid.SliceOfN(rapid.Float64Range(-2, 2), n, n).Draw(t, "row")
	}
	a := make([][]float64, n)
	for i := range a {
		a[i] = make([]float64, n)
		for j := range a[i] {
			for k := range n {
				a[i][j] += b[i][k] * b[j][k]
			}
		}
		a[i][i] += 0.5
	}
	return a
}

// determinant is that of the first n rows and columns, by Gauss's elimination.
func determinant(a [][]float64, n int) float64 {
	m, det := make([][]float64, n), 1.0
	for i := range m {
		m[i] = append([]float64(nil), a[i][:n]...)
	}
	for i := range m {
		det *= m[i][i]
		for j := i + 1; j < n; j++ {
			share := m[j][i] / m[i][i]
			for k := i; k < n; k++ {
				m[j][k] -= share * m[i][k]
			}
		}
	}
	return det
}

// What solveSmall gives solves the equations: put in again, they come out; and
// its determinant is that of elimination. Rows past n count for nothing.
func TestSolveSmallSolves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := rapid.IntRange(1, 6).Draw(t, "size")
		n := rapid.IntRange(1, size).Draw(t, "n")
		a := spd(t, size)
		g := rapid.SliceOfN(rapid.Float64Range(-5, 5), size, size).Draw(t, "g")
		raise := rapid.SampledFrom([]float64{0, 1e-3, 0.5, 3}).Draw(t, "raise")
		x, logDet := solveSmall(a, g, n, raise)
		require.Len(t, x, n)
		for i := range n {
			a[i][i] *= 1 + raise
		}
		for i := range n {
			sum := 0.0
			for j := range n {
				sum += a[i][j] * x[j]
			}
			require.InDelta(t, g[i], sum, 1e-6, "row %d of %d", i, n)
		}
		require.InDelta(t, math.Log(determinant(a, n)), logDet, 1e-6)
	})
}
