package eyes

import "math"

// A grid finds the nearest of many points, by square cells.
type grid struct {
	cell  float64
	cells map[uint64][]int
	all   []Point
}

func newGrid(cell float64) *grid { return &grid{cell: cell, cells: map[uint64][]int{}} }

func gridOf(points []Point, cell float64) *grid {
	g := newGrid(cell)
	for _, p := range points {
		g.add(p)
	}
	return g
}

// key is the cell so many cells to the right of and below a point's. It is one
// number, since maps look that up fastest.
func (g *grid) key(p Point, right, below int) uint64 {
	x, y := int(math.Floor(p.X/g.cell))+right, int(math.Floor(p.Y/g.cell))+below
	return uint64(uint32(x))<<32 | uint64(uint32(y))
}

func (g *grid) add(p Point) {
	k := g.key(p, 0, 0)
	g.cells[k] = append(g.cells[k], len(g.all))
	g.all = append(g.all, p)
}

// nearest is the nearest point no further than a cell and its distance, or -1.
func (g *grid) nearest(p Point) (int, float64) {
	best, far := -1, math.Inf(1)
	g.around(p, 1, func(i int) {
		if d := distance(p, g.all[i]); d < far {
			best, far = i, d
		}
	})
	return best, far
}

// around calls found for every point within so many cells, and for some further
// ones.
func (g *grid) around(p Point, cells int, found func(i int)) {
	for dx := -cells; dx <= cells; dx++ {
		for dy := -cells; dy <= cells; dy++ {
			for _, i := range g.cells[g.key(p, dx, dy)] {
				found(i)
			}
		}
	}
}

func distance(a, b Point) float64 { return math.Hypot(a.X-b.X, a.Y-b.Y) }

func (p Point) plus(q Point) Point  { return Point{p.X + q.X, p.Y + q.Y} }
func (p Point) minus(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }
