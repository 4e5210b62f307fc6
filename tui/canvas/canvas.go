// Package canvas draws the light of a prop in a terminal: bent runs as they
// lie on the drawing, or all pixels row by row for counting.
//
// A drawing is laid out once for a size; after that only rows whose light has
// changed are written again, with an escape only where the colour changes, so
// that it stays cheap beside the show and on slow terminals.
//
// Units: columns and rows are terminal cells from 0. Pixels count from 0 in
// data order; what is written for people counts from 1.
package canvas

import (
	"slices"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/sorting"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// A View is how pixels are laid out.
type View uint8

// The views.
const (
	Shape View = iota // as on the drawing
	Rows              // row by row in tens, each run on rows of its own
)

// A Canvas is one drawing of one size. It is a cache and belongs to one
// screen; it is not for use by two goroutines.
type Canvas struct {
	depth  style.Depth
	view   View
	counts []int // pixels of each run
	per    int   // pixels per mark, Rows only
	group  int   // marks that stand together, Rows only
	pitch  int   // columns from a mark to the next, Rows only
	rows   []row
	lines  []string
	buf    []byte            // to write a line in
	flat   []patterns.Colour // all pixels, run after run
	level  float64           // of full light now, above 0 to 1
	inks   inks              // at that level
	drawn  bool
	whole  bool    // no pixel may have half a cell: signs have whole ones
	fine   bool    // a pixel has half a cell, Shape only
	moved  int     // pixels beside their place, Shape only
	disc   bool    // a bulb of some cells
	drafts *Drafts // of other sizes; nil for none

	empty   []bool  // pixels that give no light: a hole left empty
	heads   int     // number of arrowheads
	headsOf []int   // by run
	pulse   int     // the arrowhead that is lit, -1 for none
	mark    int32   // the pixel that is marked, -1 for none
	asked   []int32 // the pixels of the question
	planned []int   // pixels of each run in the plan
	part    [2]int  // the chosen part: its first pixel in the plan, and how many, 0 for all
	outside []bool  // pixels outside it; nil where all are chosen, or there are colours
}

// A row is one line of the terminal.
type row struct {
	label string // before the first cell, never coloured
	spots []spot // by column
	width int    // cells the line is filled up to
	marks []mark // signs of the way
	stale bool   // must be written though its light is the same
	ends  bool   // a run does here, Rows only
}

// A spot is one cell with pixels in it: those of its upper and its lower half.
// Letters have no halves and use up alone.
type spot struct {
	col     int
	up, low []int32
	end     []int32            // the first or last pixel of a run among up, whose light is drawn instead of theirs; nil for none
	now     [2]patterns.Colour // what is drawn
}

// New lays out the pixels of p, with counts[i] pixels in run i (as planned
// when counts is nil), in width x height cells.
func New(p *prop.Prop, counts []int, view View, width, height int, d style.Depth) *Canvas {
	return laid(&Canvas{}, p, counts, view, width, height, d)
}

// blank makes c a canvas of p on which nothing lies.
func blank(c *Canvas, p *prop.Prop, counts []int) *Canvas {
	*c = Canvas{whole: c.whole, drafts: c.drafts, counts: Planned(p), planned: Planned(p), per: 1, pitch: 1, pulse: -1, mark: -1}
	if counts != nil {
		c.counts = slices.Clone(counts)
	}
	n := 0
	for _, k := range c.counts {
		n += k
	}
	c.flat = make([]patterns.Colour, n)
	return c
}

// laid is New on an empty canvas.
func laid(c *Canvas, p *prop.Prop, counts []int, view View, width, height int, d style.Depth) *Canvas {
	c = blank(c, p, counts)
	c.depth, c.view, c.empty = d, view, c.holes(p)
	switch {
	case c.bulb(p):
		c.view = Shape // a bulb is one area of light
		c.layBulb(width, height)
	case view == Rows:
		c.layRows(width, height)
	default:
		c.layShape(p, width, height)
	}
	for i := range c.rows {
		sorting.By(c.rows[i].marks, func(a, b mark) int { return a.col - b.col })
	}
	c.lines = make([]string, len(c.rows))
	return c
}

// holes are the pixels of empty parts, run by run as counted here.
func (c *Canvas) holes(p *prop.Prop) []bool {
	out := make([]bool, len(c.flat))
	on, _ := p.Lights()
	first := 0
	for r, n := range c.counts {
		if r >= len(p.Runs) {
			break
		}
		at := p.FirstPixel(r)
		for i := range min(n, p.Runs[r].Pixels) {
			out[first+i] = !on[at+i]
		}
		first += n
	}
	return out
}

// HasHoles reports whether any pixel is a hole left empty, drawn with Hole.
func (c *Canvas) HasHoles() bool { return slices.Contains(c.empty, true) }

// Fits reports whether the canvas was laid out for these counts.
func (c *Canvas) Fits(counts []int) bool { return slices.Equal(c.counts, counts) }

// Per is the number of pixels to a mark; 1 if all fit.
func (c *Canvas) Per() int { return c.per }

// At is the pixel drawn at a cell: its run, and its place in the run from 0.
// Where pixels share a cell it is the first of them.
func (c *Canvas) At(col, line int) (run, at int, ok bool) {
	if line < 0 || line >= len(c.rows) {
		return 0, 0, false
	}
	for _, s := range c.rows[line].spots {
		if s.col != col {
			continue
		}
		i := int(slices.Min(append(slices.Clone(s.up), s.low...)))
		for run, n := range c.counts {
			if i < n {
				return run, i, true
			}
			i -= n
		}
	}
	return 0, 0, false
}

// SetFrame draws a frame in data order that was dimmed to level. Missing pixels are dark.
func (c *Canvas) SetFrame(f patterns.Frame, level float64) {
	n := copy(c.flat, f)
	clear(c.flat[n:])
	c.redraw(level)
}

// SetWanted draws a frame given at full level as a sound prop shows it at the level in
// force, with values rounded as they are sent.
func (c *Canvas) SetWanted(f patterns.Frame, level float64) {
	n := copy(c.flat, f)
	clear(c.flat[n:])
	for i := range c.flat {
		c.flat[i] = c.flat[i].Dim(level)
	}
	c.redraw(level)
}

// SetLight draws the light of each run; Fits must accept their lengths.
func (c *Canvas) SetLight(l strip.Light, level float64) {
	clear(c.flat)
	at := 0
	for i, n := range c.counts {
		if i < len(l) {
			copy(c.flat[at:at+n], l[i])
		}
		at += n
	}
	c.redraw(level)
}

// Lines are the rows of the drawing, each as wide as the canvas. The canvas owns the
// slice, which changes with the next Set.
func (c *Canvas) Lines() []string {
	if !c.drawn {
		c.redraw(1)
	}
	return c.lines
}

// redraw writes the rows whose light has changed, all when the level has.
func (c *Canvas) redraw(level float64) {
	if !(level > 0 && level <= 1) {
		level = 1
	}
	all := !c.drawn || level != c.level
	if all {
		c.inks = inks{level: level, depth: c.depth}
	}
	c.level, c.drawn = level, true
	for i := range c.rows {
		if c.rows[i].take(c.flat) || all {
			c.lines[i] = c.write(&c.rows[i])
		}
	}
}

// take updates the light of the row and reports whether it changed.
func (r *row) take(flat []patterns.Colour) bool {
	changed := false
	for i := range r.spots {
		s := &r.spots[i]
		up := pick(flat, s.end)
		if up.Dark() {
			up = pick(flat, s.up) // the brightest, so that every lit pixel is seen
		}
		if up != s.now[0] {
			s.now[0], changed = up, true
		}
		if low := pick(flat, s.low); low != s.now[1] {
			s.now[1], changed = low, true
		}
	}
	return changed
}

// pick is the brightest of the pixels that share one place.
func pick(flat []patterns.Colour, at []int32) patterns.Colour {
	if len(at) == 1 {
		return flat[at[0]]
	}
	var best patterns.Colour
	for _, i := range at {
		if sum(flat[i]) > sum(best) {
			best = flat[i]
		}
	}
	return best
}

func sum(c patterns.Colour) int {
	return int(c.R) + int(c.G) + int(c.B) + int(c.W) + int(c.C)
}

// Planned are the lengths of the runs as the prop file has them.
func Planned(p *prop.Prop) []int {
	out := make([]int, len(p.Runs))
	for i, r := range p.Runs {
		out[i] = r.Pixels
	}
	return out
}

// Counts are the lengths of the runs of a light.
func Counts(l strip.Light) []int {
	out := make([]int, len(l))
	for i := range l {
		out[i] = len(l[i])
	}
	return out
}
