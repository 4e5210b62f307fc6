package record

import (
	"fmt"
	"html"
	"math"
	"strings"

	"example.org/ringout/internal/prop"
)

// Units of the drawing: 640 units are the width of the sheet's page, 186 mm, so a unit
// is 0.82 pt. A tall prop is drawn at most 200 mm high and then is narrower than the
// page. It is not rotated: lengthwise it would be at most 186 mm, so smaller, and not
// as it hangs.
const (
	drawWidth  = 640.0
	drawHeight = 690.0 // 200 mm, the maximum
	drawMargin = 30.0
	labelSize  = 11.0 // 9 pt
	tensSize   = 9.0  // 7.4 pt
)

// drawingSVG returns the prop as an SVG picture: its runs in place, the numbers of the
// first, the last and every tenth pixel of each, where data enters, arrows for
// direction, joints and feeds. Numbers are pixels from 1 in data order. Each kind of
// mark has its own shape or letter, so colour is not needed to tell them apart. height
// is in the picture's units; every is the step from one number to the next, in pixels.
func drawingSVG(p *prop.Prop) (svg string, height float64, every int) {
	d := newDrawing(prop.Layout(p))
	d.lit, _ = p.Lights()
	for r := range d.at {
		d.run(p, r)
	}
	for r := 1; r < len(d.at); r++ {
		d.joint(r)
	}
	for i, f := range p.Feeds {
		d.feed(p, i, f)
	}
	if p.Pixels() > 0 {
		d.wanted = append(d.wanted, label{at: d.pixel(0), text: "data in", bold: true})
	}
	for r := range d.at {
		d.tensLabels(p, r)
	}
	d.labels()
	head := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %.0f %.0f" role="img" aria-label="%s" font-family="sans-serif">`,
		drawWidth, d.height, html.EscapeString("Drawing of "+plain(p.Name)))
	return head + "\n" + d.body.String() + d.words.String() + "</svg>\n", d.height, numberStep(d.pitch)
}

// pixel is the position of a pixel, numbered over the whole prop.
func (d *drawing) pixel(i int) prop.Point {
	for _, run := range d.at {
		if i < len(run) {
			return run[i]
		}
		i -= len(run)
	}
	return prop.Point{}
}

type drawing struct {
	at     [][]prop.Point // pixels of each run on the page, y down
	lit    []bool         // of every pixel of the prop: false in empty parts
	height float64
	radius float64 // of a pixel's circle
	pitch  float64 // smallest distance of two pixels
	body   strings.Builder
	words  strings.Builder // on top of everything else
	wanted []label
	taken  []box
}

type label struct {
	at   prop.Point
	text string
	bold bool
	tens bool // number of a tenth pixel: left out if there is no free place nearby
}

func (l label) size() float64 {
	if l.tens {
		return tensSize
	}
	return labelSize
}

type box struct{ x0, y0, x1, y1 float64 }

func (b box) hits(c box) bool { return b.x0 < c.x1 && c.x0 < b.x1 && b.y0 < c.y1 && c.y0 < b.y1 }

// newDrawing scales positions in metres to the page.
func newDrawing(layout [][]prop.Point) *drawing {
	lo, hi := prop.Bounds(layout...)
	w, h := hi.X-lo.X, hi.Y-lo.Y
	const most = 1e9 // limit for a single pixel, whose extent is 0
	scale := min((drawWidth-2*drawMargin)/w, (drawHeight-2*drawMargin)/h, most)
	d := &drawing{height: h*scale + 2*drawMargin}
	left := (drawWidth - w*scale) / 2
	nearest := 100.0
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
	d.radius, d.pitch = max(0.6, min(5, 0.38*nearest)), nearest
	for _, run := range d.at {
		for _, q := range run {
			d.taken = append(d.taken, around(q, d.radius))
		}
	}
	return d
}

func around(q prop.Point, r float64) box { return box{q.X - r, q.Y - r, q.X + r, q.Y + r} }

// run draws the data line, the pixels, the numbers of both ends and the name.
func (d *drawing) run(p *prop.Prop, r int) {
	pts := d.at[r]
	if len(pts) == 0 {
		return
	}
	first := p.FirstPixel(r)
	d.dataLine(pts)
	for i, q := range pts {
		style := `fill="#fff" stroke="#333" stroke-width="0.8"`
		switch {
		case !d.lit[first+i]:
			style = `fill="#fff" stroke="#777" stroke-width="0.6" stroke-dasharray="1.5 1.5"`
		case i == 0:
			style = `fill="#333"`
		case (first+i+1)%numberStep(d.pitch) == 0:
			style = `fill="#ccc" stroke="#333" stroke-width="0.8"`
		}
		fmt.Fprintf(&d.body, `<circle cx="%.1f" cy="%.1f" r="%.1f" %s/>`+"\n", q.X, q.Y, d.radius, style)
	}
	d.arrows(pts)
	d.wanted = append(d.wanted, label{at: pts[0], text: fmt.Sprint(first + 1)})
	if len(pts) > 1 {
		d.wanted = append(d.wanted, label{at: pts[len(pts)-1], text: fmt.Sprint(first + len(pts))})
	}
	name := shortName(plain(p.Runs[r].Name))
	if crowded(len(p.Runs)) {
		name = runMark(r)
	}
	d.wanted = append(d.wanted, label{at: pts[len(pts)/2], text: name, bold: true})
}

// dataLine draws a thin line along the pixels of a run.
func (d *drawing) dataLine(pts []prop.Point) {
	d.body.WriteString(`<path d="M`)
	for i, q := range pts {
		if i > 0 {
			d.body.WriteString("L")
		}
		fmt.Fprintf(&d.body, "%.1f %.1f", q.X, q.Y)
	}
	d.body.WriteString(`" fill="none" stroke="#aaa" stroke-width="0.7"/>` + "\n")
}

// tensLabels requests the numbers of every tenth pixel of a run, or of every 50th, 100th and
// so on where they would be too close.
func (d *drawing) tensLabels(p *prop.Prop, r int) {
	first := p.FirstPixel(r)
	for i := 1; i < len(d.at[r])-1; i++ {
		if n := first + i + 1; n%numberStep(d.pitch) == 0 {
			d.wanted = append(d.wanted, label{at: d.at[r][i], text: fmt.Sprint(n), tens: true})
		}
	}
}

// numberStep is the number of pixels from one number to the next.
func numberStep(pitch float64) int {
	const apart = 22
	for _, every := range []int{10, 50, 100, 500} {
		if float64(every)*pitch >= apart {
			return every
		}
	}
	return 1000
}

// crowded reports whether a drawing has too many runs for their names. They are then
// numbered, as in the table of addresses.
func crowded(runs int) bool { return runs > 10 }

// shortName truncates a name too long for the drawing; the table has it in full.
func shortName(name string) string {
	const most = 24
	if r := []rune(name); len(r) > most {
		return strings.TrimSpace(string(r[:most-1])) + "…"
	}
	return name
}

func runMark(r int) string { return fmt.Sprintf("R%d", r+1) }

// arrows draws triangles along a run in the direction of data: three, and one more for
// every 60 pixels, at most one per step.
func (d *drawing) arrows(pts []prop.Point) {
	steps := len(pts) - 1
	n := min(steps, 3+len(pts)/60)
	for k := range n {
		d.arrow(pts, (2*k+1)*steps/(2*n))
	}
}

// arrow draws an arrow on the step after pixel i, or beside it if there is no space between
// the circles.
func (d *drawing) arrow(pts []prop.Point, i int) {
	a, b := pts[i], pts[i+1]
	long := math.Hypot(b.X-a.X, b.Y-a.Y)
	if long == 0 {
		return
	}
	at := prop.Point{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2}
	const half = 5.0
	if long < 2*d.radius+2*half {
		off := d.radius + half + 1
		x, y := (b.Y-a.Y)/long*off, -(b.X-a.X)/long*off
		left, right := prop.Point{X: at.X + x, Y: at.Y + y}, prop.Point{X: at.X - x, Y: at.Y - y}
		if at = left; !d.fits(around(left, half)) && d.fits(around(right, half)) {
			at = right
		}
	}
	deg := math.Atan2(b.Y-a.Y, b.X-a.X) * 180 / math.Pi
	fmt.Fprintf(&d.body, `<path d="M5 0L-4 4L-4 -4Z" fill="#0a58a8" transform="translate(%.1f %.1f) rotate(%.1f)"/>`+"\n", at.X, at.Y, deg)
	d.taken = append(d.taken, around(at, half))
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
		d.taken = append(d.taken, around(q, 1)) // labels avoid the wire
	}
	d.wanted = append(d.wanted, label{at: mid, text: fmt.Sprintf("J%d", r+1), bold: true})
}

// feed draws a square where supply wires enter.
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
	d.wanted = append(d.wanted, label{at: q, text: fmt.Sprintf("F%d", i+1), bold: true})
}

// labels puts each text at the nearest free place around its mark, with a leader line
// if that is some way off. Texts are drawn last and have a white edge, so no line
// crosses them.
func (d *drawing) labels() {
	for _, l := range d.wanted {
		b, free := d.freePlace(l)
		if !free && l.tens {
			continue
		}
		d.taken = append(d.taken, b)
		end := b.nearest(l.at)
		if math.Hypot(end.X-l.at.X, end.Y-l.at.Y) > d.radius+14 {
			fmt.Fprintf(&d.body, `<line x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f" stroke="#888" stroke-width="0.5"/>`+"\n", l.at.X, l.at.Y, end.X, end.Y)
		}
		weight := ""
		if l.bold {
			weight = ` font-weight="bold"`
		}
		fmt.Fprintf(&d.words, `<text x="%.1f" y="%.1f" font-size="%.0f" text-anchor="middle"%s paint-order="stroke" stroke="#fff" stroke-width="3">%s</text>`+"\n",
			(b.x0+b.x1)/2, b.y1-2.5, l.size(), weight, html.EscapeString(l.text))
	}
}

// nearest is the point of the box closest to q.
func (b box) nearest(q prop.Point) prop.Point {
	return prop.Point{X: max(b.x0, min(b.x1, q.X)), Y: max(b.y0, min(b.y1, q.Y))}
}

// freePlace searches for a free place in growing circles. If there is none, it returns the last
// place tried. The number of a tenth pixel is placed close by or not at all.
func (d *drawing) freePlace(l label) (b box, found bool) {
	w, h := 0.62*l.size()*float64(len([]rune(l.text)))+4, l.size()+2
	far := 120.0
	if l.tens {
		far = d.radius + 24
	}
	for dist := d.radius + h/2 + 2; dist < far; dist += 5 {
		for k := range 16 {
			a := 2 * math.Pi * float64(k) / 16
			cx, cy := l.at.X+(dist+w/2-h/2)*math.Cos(a), l.at.Y-dist*math.Sin(a)
			b = box{cx - w/2, cy - h/2, cx + w/2, cy + h/2}
			if d.fits(b) {
				return b, true
			}
		}
	}
	return b, false
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
