package prop

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/ringout/internal/route"
	"example.org/ringout/internal/sorting"
)

// routeMark follows the header of every table that WithRoute writes.
const routeMark = "# of the route"

// A StringPixel is one pixel of a sign's string.
type StringPixel struct {
	At   Point
	Hole int // -1 for a tucked pixel, which stays dark
}

// Pixels returns the pixels of the string in route order: from the data input to the
// last hole, then the surplus. Tucked pixels lie beside the line of their step.
func (g *Sign) Pixels(r route.Route) []StringPixel {
	var out []StringPixel
	off := g.Nearest() / 5
	at := func(hole int) Point { return Point{g.Plate.Holes[hole].X, g.Plate.Holes[hole].Y} }
	from := at(r.Order[0])
	if s := g.Plate.Start; s != nil {
		from = Point{s.X, s.Y}
	}
	for i, hole := range r.Order {
		to := at(hole)
		for k := range r.Tucked[i] {
			out = append(out, StringPixel{besideLine(from, to, float64(k+1)/float64(r.Tucked[i]+1), off), -1})
		}
		out = append(out, StringPixel{to, hole})
		from = to
	}
	return append(out, g.leftOver(from, g.Plate.Pixels-len(out))...)
}

// leftOver places n surplus pixels at the end of the string in zigzag rows below the
// plate, so a drawing shows them apart from the holes.
func (g *Sign) leftOver(last Point, n int) (out []StringPixel) {
	lo, hi := g.Bounds()
	step := g.Nearest()
	way := 1.0
	if last.X-lo.X > hi.X-last.X {
		way = -1
	}
	at := Point{last.X, lo.Y - 1.5*step}
	for range max(0, n) {
		out = append(out, StringPixel{at, -1})
		if next := at.X + way*step; next < lo.X-step/2 || next > hi.X+step/2 {
			at.Y, way = at.Y-step, -way
		} else {
			at.X = next
		}
	}
	return out
}

// besideLine is the point at a fraction of the way from a to b, slightly to the right of the
// line, where another hole may lie.
func besideLine(a, b Point, share, off float64) Point {
	d := dist(a, b)
	if d == 0 {
		return Point{a.X + off*share, a.Y - off}
	}
	return Point{a.X + (b.X-a.X)*share + (b.Y-a.Y)/d*off, a.Y + (b.Y-a.Y)*share - (b.X-a.X)/d*off}
}

// Nearest is the smallest distance between two holes; the reach if there is only one.
func (g *Sign) Nearest() float64 {
	least := g.Plate.Reach
	for i, a := range g.Plate.Holes {
		for _, b := range g.Plate.Holes[:i] {
			least = min(least, math.Hypot(a.X-b.X, a.Y-b.Y))
		}
	}
	return least
}

// WithRoute returns the document with the route of the sign's string written into it: a
// run of shape "string", a part for every piece, and an empty part for tucked pixels.
// An existing route is replaced only if replace is true.
func (d *Document) WithRoute(r route.Route, replace bool) (*Document, error) {
	if d.sign == nil || d.tree == nil {
		return nil, fmt.Errorf("%s has no sign without problems: correct it first", d.name)
	}
	next := d.copyWith(d.text)
	next.reparse() //nolint:errcheck // only the route may be missing
	if n := len(d.tree.all("run")); n > 0 {
		if err := d.replaceable(n, replace); err != nil {
			return nil, err
		}
		if err := next.withoutRoute(); err != nil {
			return nil, err
		}
	}
	nl := d.newline()
	text := strings.TrimRight(string(next.text), " \t\r\n") + nl + nl + strings.ReplaceAll(d.sign.tables(r), "\n", nl)
	if err := next.replaceText([]byte(text)); err != nil {
		return nil, err
	}
	return next, nil
}

// replaceable refuses to replace tables that were not written by WithRoute.
func (d *Document) replaceable(runs int, replace bool) error {
	first := d.tree.all("run")[0]
	e := first.find("shape")
	switch {
	case runs > 1 || e == nil || e.val.text != string(String):
		return Problem{d.name, first.line, "run 1", "the file has runs that are no route of the string", "take them out, or make the sign a prop of its own"}
	case !replace:
		return Problem{d.name, first.line, "run 1", "the file has a route already, and it stays", "add --replace to write another over it"}
	}
	return nil
}

// withoutRoute removes the run and all tables that WithRoute wrote.
func (d *Document) withoutRoute() error {
	var cut []block
	for _, kind := range [2]string{"run", "part"} {
		for _, t := range d.tree.all(kind) {
			if t.head < 0 {
				return Problem{d.name, t.line, kind, "stands in braces", "write it as [[" + kind + "]] first"}
			}
			if kind == "run" || bytes.Contains(d.text[t.head:d.lineEnd(t.head)], []byte(routeMark)) {
				cut = append(cut, d.block(t))
			}
		}
	}
	sorting.By(cut, func(a, b block) int { return b.start - a.start })
	for _, b := range cut {
		end := b.end
		for end < len(d.text) && len(bytes.TrimSpace(d.text[end:d.lineEnd(end)])) == 0 {
			end = d.lineEnd(end)
		}
		d.text = splice(d.text, change{b.start, end, ""})
	}
	d.reparse() //nolint:errcheck // checked when the new route is in it
	return nil
}

// tables writes a route as tables of a prop file.
func (g *Sign) tables(r route.Route) string {
	var b strings.Builder
	pixels := g.Pixels(r)
	fmt.Fprintf(&b, "[[run]] %s, by \"ringout plan --route\"\nname = %s\npixels = %d\n", routeMark, inQuotes(g.runName()), len(pixels))
	if len(pixels) == 1 { // one pixel needs no path
		fmt.Fprintf(&b, "shape = \"line\"\ncentre = %q\n", g.written(pixels[0].At))
	} else {
		b.WriteString("shape = \"string\"\ncorners = [")
		for i, p := range pixels {
			if i%5 == 0 {
				b.WriteString("\n ")
			}
			fmt.Fprintf(&b, " %q,", g.written(p.At))
		}
		b.WriteString("\n]\n")
	}
	for _, p := range g.parts(r, pixels) {
		fmt.Fprintf(&b, "\n[[part]] %s\nname  = %s\nrun   = %s\nfirst = %d\nlast  = %d\n", routeMark, inQuotes(p.Name), inQuotes(g.runName()), p.First+1, p.Last+1)
		if p.Empty {
			b.WriteString("empty = true\n")
		}
	}
	return b.String()
}

// runName is a name for the string's run that no piece has.
func (g *Sign) runName() string {
	name := "string"
	for _, p := range g.Plate.Pieces {
		if strings.EqualFold(p.Name, name) {
			return "pixel string"
		}
	}
	return name
}

// written formats a point for the file, to a thousandth of an inch or a hundredth of a
// millimetre.
func (g *Sign) written(p Point) string {
	if g.Inches {
		return number(round(p.X/inch, 1000)) + " in, " + number(round(p.Y/inch, 1000)) + " in"
	}
	return number(round(1000*p.X, 100)) + " mm, " + number(round(1000*p.Y, 100)) + " mm"
}

func round(v, parts float64) float64 { return math.Round(v*parts)/parts + 0 }

// parts returns the pieces and the tucked ranges in string order. Of pieces with the
// same holes only the outermost becomes a part.
func (g *Sign) parts(r route.Route, pixels []StringPixel) []Part {
	var out []Part
	for k, q := range g.Plate.Pieces {
		in := func(x StringPixel) bool { return x.Hole >= 0 && g.within(x.Hole, k) }
		p := Part{Name: q.Name, First: slices.IndexFunc(pixels, in)}
		for i, x := range pixels {
			if in(x) {
				p.Last = i
			}
		}
		same := func(o Part) bool { return o.First == p.First && o.Last == p.Last }
		if p.First >= 0 && !slices.ContainsFunc(out, same) {
			out = append(out, p)
		}
	}
	out = append(out, tuckedParts(pixels, r.Pixels())...)
	sorting.Stable(out, func(a, b Part) int { return a.First - b.First })
	return out
}

// tuckedParts returns the ranges of pixels in no hole; tail is the first pixel after
// the route's end.
func tuckedParts(pixels []StringPixel, tail int) (out []Part) {
	on := 0
	for i := 0; i < len(pixels); i++ {
		if pixels[i].Hole >= 0 {
			continue
		}
		p := Part{Name: "left over", First: i, Empty: true}
		if i < tail {
			on++
			p.Name = fmt.Sprintf("tucked %d", on)
		}
		for i+1 < len(pixels) && pixels[i+1].Hole < 0 && i+1 != tail {
			i++
		}
		p.Last = i
		out = append(out, p)
	}
	return out
}

func (g *Sign) within(hole, piece int) bool {
	for k := g.Plate.Holes[hole].Piece; k >= 0; k = g.Plate.Pieces[k].In {
		if k == piece {
			return true
		}
	}
	return false
}

// RouteOf recovers the route of a prop's string through the holes of its sign from the
// run; false when it does not pass every hole once.
func RouteOf(p *Prop) (route.Route, bool) {
	g := p.Sign
	if g == nil || len(p.Runs) != 1 {
		return route.Route{}, false
	}
	on, _ := p.Lights()
	var order []int
	left := make([]bool, len(g.Plate.Holes))
	for i, at := range Layout(p)[0] {
		if !on[i] {
			continue
		}
		hole := g.holeAt(at)
		if hole < 0 || left[hole] {
			return route.Route{}, false
		}
		left[hole], order = true, append(order, hole)
	}
	if len(order) != len(g.Plate.Holes) {
		return route.Route{}, false
	}
	return g.Plate.Along(order), true
}

// holeAt is the hole at a point of the file, which is rounded; -1 for none.
func (g *Sign) holeAt(p Point) int {
	const rounding = 3e-5
	for i, h := range g.Plate.Holes {
		if math.Abs(h.X-p.X) <= rounding && math.Abs(h.Y-p.Y) <= rounding {
			return i
		}
	}
	return -1
}

// checkSign warns of a run that is not a route through the holes of the sign.
func (r *reader) checkSign() {
	if r.sign == nil || len(r.prop.Runs) == 0 || r.uncounted || r.total > MaxPixels {
		return
	}
	p := *r.prop
	p.Sign = r.sign
	if _, ok := RouteOf(&p); !ok {
		r.doubt(r.runTables[0].t.line, "run 1", "run \"ringout plan "+r.file+" --route --replace\" for a new one",
			"the run does not light every hole of [sign] once: it is not its string's route")
	}
}
