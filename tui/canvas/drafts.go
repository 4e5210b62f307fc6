package canvas

import (
	"slices"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// Drafts remember where the pixels of a prop lie in drawings of several sizes. A page tries many sizes before
// it has one, and many of these have the same places. The zero value is ready; it belongs to one screen,
// as a Canvas does.
type Drafts struct {
	of *prop.Prop
	layout
}

// mostDrafts is how many grids are remembered.
const mostDrafts = 500

// Best is canvas.Best.
func (d *Drafts) Best(p *prop.Prop, counts []int, width, height int, depth style.Depth) *Canvas {
	return d.Shape(p, counts, width, height, depth).orBetter(p, width, height)
}

// AsItLies is a drawing that shows the prop as it lies, without gaps that look like dark pixels; nil where
// there is none.
func (d *Drafts) AsItLies(p *prop.Prop, width, height int, depth style.Depth) *Canvas {
	if Straight(p) && p.Pixels() > 1 {
		return nil
	}
	if !shapeless(p) && p.Pixels() > 1 && d.rowsShowMore(p, width, height) {
		return nil
	}
	shape := d.Shape(p, nil, width, height, depth)
	if c := shape.orBetter(p, width, height); !c.Rows() {
		return c
	}
	if shapeless(p) && shape.Even() { // of other props Best is an even shape
		return shape
	}
	return nil
}

// Shape is New with that view.
func (d *Drafts) Shape(p *prop.Prop, counts []int, width, height int, depth style.Depth) *Canvas {
	return laid(&Canvas{drafts: d}, p, counts, Shape, width, height, depth)
}

// rowsShowMore reports whether pixels are crowded in the shape, while each has a mark of its own in rows: Best is
// rows then, whatever way the shape shows.
func (d *Drafts) rowsShowMore(p *prop.Prop, width, height int) bool {
	c := blank(&Canvas{}, p, nil)
	if c.runs() > height || width < 1 || !d.layoutFor(c, p).crowded(c.counts, width, height) {
		return false
	}
	c.arrange(width-c.labelWide(), height)
	return c.per == 1
}

// layoutFor is the layout of a prop with the counts of a canvas, which is remembered where they are those of the plan.
func (d *Drafts) layoutFor(c *Canvas, p *prop.Prop) *layout {
	if d == nil || !slices.Equal(c.counts, c.planned) {
		l := newLayout(c.as(p))
		return &l
	}
	if d.of != p || len(d.fits) > mostDrafts {
		d.of, d.layout = p, newLayout(p)
	}
	return &d.layout
}

// A layout is where the pixels of a prop lie in metres, run by run, and on the grids that were tried.
type layout struct {
	pts    [][]prop.Point
	lo, hi prop.Point // corners
	flat   bool       // it may be stretched
	rings  []ringShape
	fits   map[onGrid]fit
	known  map[ringAsked]laidRing // rings that lie on no other's places
	poor   map[grid]bool          // what crowded said of the largest grid of a drawing
}

// An onGrid is a grid and how pixels were laid on it: as in tight or not.
type onGrid struct {
	grid
	tight bool
}

func newLayout(p *prop.Prop) layout {
	pts := prop.Layout(p)
	l := layout{pts: pts, rings: ringShapes(pts), fits: map[onGrid]fit{}, known: map[ringAsked]laidRing{}, poor: map[grid]bool{}}
	l.lo, l.hi = prop.Bounds(pts...)
	l.flat = l.hi.X-l.lo.X > flat*(l.hi.Y-l.lo.Y) && straight(pts)
	return l
}

// on is the fit on a grid, and tightOn the one of tight.
func (l *layout) on(g grid) fit      { return l.fit(onGrid{g, false}) }
func (l *layout) tightOn(g grid) fit { return l.fit(onGrid{g, true}) }

func (l *layout) fit(k onGrid) fit {
	f, ok := l.fits[k]
	if !ok {
		lay := l.fitted
		if k.tight {
			lay = l.tight
		}
		f = lay(k.grid)
		l.fits[k] = f
	}
	return f
}

// crowded reports whether a drawing of so many cells is neither clear nor even, wherever its arrowheads are.
func (l *layout) crowded(counts []int, width, height int) bool {
	side, above := margins(width, height)
	k := grid{odd(width), odd(height), 1, side, above}
	poor, ok := l.poor[k]
	if !ok {
		f := l.wholeCells(width, height)
		if poor = f.hidden > 0; !poor {
			c := &Canvas{counts: counts, flat: make([]patterns.Colour, len(slices.Concat(f.at...))), rows: make([]row, k.lines)}
			c.place(f)
			poor = !c.Clear() && !c.evenPlaces()
		}
		l.poor[k] = poor
	}
	return poor
}
