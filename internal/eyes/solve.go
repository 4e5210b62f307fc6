package eyes

import "math"

// solve is the x of a·x = b by Gaussian elimination with column pivots; false when
// a is singular. a and b are overwritten.
func solve(a [][]float64, b []float64) ([]float64, bool) {
	n := len(b)
	for c := range n {
		p := c
		for r := c + 1; r < n; r++ {
			if math.Abs(a[r][c]) > math.Abs(a[p][c]) {
				p = r
			}
		}
		if math.Abs(a[p][c]) < 1e-12 {
			return nil, false
		}
		a[c], a[p], b[c], b[p] = a[p], a[c], b[p], b[c]
		for r := c + 1; r < n; r++ {
			k := a[r][c] / a[c][c]
			for i := c; i < n; i++ {
				a[r][i] -= k * a[c][i]
			}
			b[r] -= k * b[c]
		}
	}
	for c := n - 1; c >= 0; c-- {
		for i := c + 1; i < n; i++ {
			b[c] -= a[c][i] * b[i]
		}
		b[c] /= a[c][c]
	}
	return b, true
}

// A leastSquares sums the normal equations of n unknowns.
type leastSquares struct {
	a [][]float64
	b []float64
}

func newLeastSquares(n int) *leastSquares {
	l := &leastSquares{b: make([]float64, n)}
	for range n {
		l.a = append(l.a, make([]float64, n))
	}
	return l
}

// add takes one equation: row·x = value.
func (l *leastSquares) add(row []float64, value, weight float64) {
	for i, v := range row {
		if v == 0 {
			continue
		}
		for j, w := range row {
			l.a[i][j] += weight * v * w
		}
		l.b[i] += weight * v * value
	}
}

// pull adds equations that draw each unknown to a value with a small weight, for
// unknowns that the other equations do not determine.
func (l *leastSquares) pull(to []float64, weight float64) {
	for i := range l.b {
		l.a[i][i] += weight
		l.b[i] += weight * to[i]
	}
}

func (l *leastSquares) solve() ([]float64, bool) { return solve(l.a, l.b) }
