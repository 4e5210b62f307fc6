package record

import (
	"fmt"
	"html"
	"math"
	"strings"

	"example.org/ringout/internal/prop"
)

// The drawing's own units are pixels of a screen at 96 to the inch; it scales
// to whatever place it is put in.
const (
	drawWidth  = 640.0
	drawHeight = 420.0
	drawMargin = 46.0
	labelSize  = 11.0
)

// Drawing is the prop as an SVG picture: its runs as they lie, the number of
// the first and last pixel of each, an arrow of travel, joints and feeds.
// Numbers are pixels from 1 in data order. Colour only helps; every mark has a
// shape or a letter of its own.
func Drawing(p *prop.Prop) string {
	svg, _ := draw(p)
	return svg
}

// draw is Drawing together with its height in its own units.
func draw(p *prop.Prop) (svg string, height float64) {
	d := newDrawing(prop.Layout(p))
	for r := range d.at {
		d.run(p, r)
	}
	for r := 1; r < len(d.at); r++ {
		d.joint(r)
	}
	for i, f := range p.Feeds {
		d.feed(p, i, f)
	}
	d.labels()
	head := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %.0f %.0f" role="img" aria-label="%s" font-family="sans-serif" font-size="%.0f">`,
		drawWidth, d.height, html.EscapeString("Drawing of "+plain(p.Name)), labelSize)
	return head + "\n" + d.body.String() + d.words.String() + "</svg>\n", d.height
}

type drawing struct {
	at     [][]prop.Point // pixels of each run on the page, y down
	height float64
	radius float64 // of a pixel's dot
	body   strings.Builder
	words  strings.Builder // on top of everything else
	wanted []label
	taken  []box
}

type label struct {
	at   prop.Point
	text string
	bold bool
}

type box struct{ x0, y0, x1, y1 float64 }

func (b box) hits(c box) bool { return b.x0 < c.x1 && c.x0 < b.x1 && b.y0 < c.y1 && c.y0 < b.y1 }

// newDrawing brings metres onto the page.
func newDrawing(layout [][]prop.Point) *drawing {
	lo, hi := prop.Bounds(layout...)
	w, h := hi.X-lo.X, hi.Y-lo.Y
	scale := math.Inf(1)
	if w > 0 {
		scale = (drawWidth - 2*drawMargin) / w
	}
	if h > 0 {
		scale = min(scale, (drawHeight-2*drawMargin)/h)
	}
	if math.IsInf(scale, 1) { // a single pixel
		scale = 1
	}
	d := &drawing{height: h*scale + 2*drawMargin}
	left := (drawWidth - w*scale) / 2
	nearest := 12.0
	for _, run := range layout {
		pts := make([]prop.Point, len(run))
		for i, q := range run {
			pts[i] = prop.Point{X: left + (q.X-lo.X)*scale, Y: drawMargin + (hi.Y-q.Y)*scale}
			if i > 0 {
				nearest = min(nearest, math.Hypot(pts[i].X-pts[i-1].X, pts[i].Y-pts[i-1].Y))
			}
		}
		d.at = append(d.at, pts)
	}
	d.radius = max(0.6, min(4, 0.38*nearest))
	for _, run := range d.at {
		for _, q := range run {
			d.taken = append(d.taken, around(q, d.radius))
		}
	}
	return d
}

func around(q prop.Point, r float64) box { return box{q.X - r, q.Y - r, q.X + r, q.Y + r} }

// run draws the dots, the ends' numbers and the arrow of travel.
func (d *drawing) run(p *prop.Prop, r int) {
	pts := d.at[r]
	if len(pts) == 0 {
		return
	}
	for i, q := range pts {
		style := `fill="none" stroke="#333" stroke-width="0.7"`
		if i == 0 {
			style = `fill="#333"`
		}
		fmt.Fprintf(&d.body, `<circle cx="%.1f" cy="%.1f" r="%.1f" %s/>`+"\n", q.X, q.Y, d.radius, style)
	}
	d.arrow(pts)
	first := p.FirstPixel(r) + 1
	d.wanted = append(d.wanted, label{pts[0], fmt.Sprint(first), false})
	if len(pts) > 1 {
		d.wanted = append(d.wanted, label{pts[len(pts)-1], fmt.Sprint(first + len(pts) - 1), false})
	}
	name := short(plain(p.Runs[r].Name))
	if crowded(len(p.Runs)) {
		name = runMark(r)
	}
	d.wanted = append(d.wanted, label{pts[len(pts)/2], name, true})
}

// crowded tells that a drawing has too many runs to write their names into it.
// They then go by number, which the table of addresses explains.
func crowded(runs int) bool { return runs > 10 }

// short cuts a name that would reach across the drawing; the table has it whole.
func short(name string) string {
	const most = 24
	if r := []rune(name); len(r) > most {
		return strings.TrimSpace(string(r[:most-1])) + "…"
	}
	return name
}

func runMark(r int) string { return fmt.Sprintf("R%d", r+1) }

// arrow puts a triangle a quarter of the way along, pointing as data travels.
func (d *drawing) arrow(pts []prop.Point) {
	i := len(pts) / 4
	if i+1 >= len(pts) {
		return
	}
	a, b := pts[i], pts[i+1]
	deg := math.Atan2(b.Y-a.Y, b.X-a.X) * 180 / math.Pi
	mid := prop.Point{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2}
	fmt.Fprintf(&d.body, `<path d="M7 0L-5 5L-5 -5Z" fill="#0a58a8" transform="translate(%.1f %.1f) rotate(%.1f)"/>`+"\n", mid.X, mid.Y, deg)
	d.taken = append(d.taken, around(mid, 7))
}

// joint draws the wire from the run before to run r.
func (d *drawing) joint(r int) {
	from, to := d.at[r-1], d.at[r]
	if len(from) == 0 || len(to) == 0 {
		return
	}
	a, b := from[len(from)-1], to[0]
	fmt.Fprintf(&d.body, `<line x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f" stroke="#a33" stroke-width="1.6" stroke-dasharray="3 2"/>`+"\n", a.X, a.Y, b.X, b.Y)
	mid := prop.Point{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2}
	for long, at := math.Hypot(b.X-a.X, b.Y-a.Y), 0.0; at < long; at += 4 {
		q := prop.Point{X: a.X + (b.X-a.X)*at/long, Y: a.Y + (b.Y-a.Y)*at/long}
		d.taken = append(d.taken, around(q, 1)) // labels keep off the wire
	}
	d.wanted = append(d.wanted, label{mid, fmt.Sprintf("J%d", r), true})
}

// feed marks where supply wires enter with a square.
func (d *drawing) feed(p *prop.Prop, i int, f prop.Feed) {
	at := f.Pixel
	if n := p.Pixels(); at >= n {
		at = n - 1
	}
	r, k := p.Find(at)
	if r < 0 {
		return
	}
	q := d.at[r][k]
	s := d.radius + 2
	fmt.Fprintf(&d.body, `<rect x="%.1f" y="%.1f" width="%.1f" height="%.1f" fill="none" stroke="#b36b00" stroke-width="1.8"/>`+"\n", q.X-s, q.Y-s, 2*s, 2*s)
	d.wanted = append(d.wanted, label{q, fmt.Sprintf("F%d", i+1), true})
}

// labels puts each text at the nearest free place round its mark, with a
// leader line where that is some way off. Texts stand on top of all lines and
// have a white edge, so that none is crossed out.
func (d *drawing) labels() {
	for _, l := range d.wanted {
		b := d.free(l)
		d.taken = append(d.taken, b)
		end := b.nearest(l.at)
		if math.Hypot(end.X-l.at.X, end.Y-l.at.Y) > d.radius+14 {
			fmt.Fprintf(&d.body, `<line x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f" stroke="#888" stroke-width="0.5"/>`+"\n", l.at.X, l.at.Y, end.X, end.Y)
		}
		weight := ""
		if l.bold {
			weight = ` font-weight="bold"`
		}
		fmt.Fprintf(&d.words, `<text x="%.1f" y="%.1f" text-anchor="middle"%s paint-order="stroke" stroke="#fff" stroke-width="3">%s</text>`+"\n",
			(b.x0+b.x1)/2, b.y1-2.5, weight, html.EscapeString(l.text))
	}
}

// nearest is the place in the box that is nearest to q.
func (b box) nearest(q prop.Point) prop.Point {
	return prop.Point{X: max(b.x0, min(b.x1, q.X)), Y: max(b.y0, min(b.y1, q.Y))}
}

// free looks for room in growing circles; on a crowded drawing the last place
// tried has to do.
func (d *drawing) free(l label) box {
	w, h := 0.62*labelSize*float64(len([]rune(l.text)))+4, labelSize+2
	var b box
	for dist := d.radius + 10; dist < 120; dist += 6 {
		for k := range 16 {
			a := 2 * math.Pi * float64(k) / 16
			cx, cy := l.at.X+(dist+w/2-6)*math.Cos(a), l.at.Y-dist*math.Sin(a)
			b = box{cx - w/2, cy - h/2, cx + w/2, cy + h/2}
			if d.fits(b) {
				return b
			}
		}
	}
	return b
}

func (d *drawing) fits(b box) bool {
	if b.x0 < 0 || b.y0 < 0 || b.x1 > drawWidth || b.y1 > d.height {
		return false
	}
	for _, t := range d.taken {
		if b.hits(t) {
			return false
		}
	}
	return true
}
