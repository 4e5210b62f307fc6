package prop

import "math"

// nominalPitch is the drawn spacing, in metres, of pixels whose chip has none.
const nominalPitch = 1.0 / 60

// Layout places each pixel of each run on the drawing, in data order: Layout(p)[r][i]
// is pixel i of run r counted from its data end. Metres, x to the right, y up. Rings
// without a centre are nested; lines without a position lie below the rest, one under
// another.
func Layout(p *Prop) [][]Point {
	out := make([][]Point, len(p.Runs))
	var loose []int
	var all []Point
	for i, r := range p.Runs {
		if isLoose(r.Shape) {
			loose = append(loose, i)
			continue
		}
		out[i] = runPoints(r, p.Length(i))
		all = append(all, out[i]...)
	}
	y, gap := looseRows(all, p)
	for _, i := range loose {
		r := p.Runs[i]
		r.Shape.Centre = Point{0, y}
		out[i] = runPoints(r, p.Length(i))
		y -= gap
	}
	return out
}

// Length is the metres of strip of run i: its cut length, or its count times the pitch
// of the chip.
func (p *Prop) Length(i int) float64 {
	r := p.Runs[i]
	if r.Cut > 0 {
		return r.Cut
	}
	pitch := p.Chip.Pitch()
	if pitch == 0 {
		pitch = nominalPitch
	}
	return float64(r.Pixels) * pitch
}

func isLoose(s Shape) bool {
	return s.Kind == Line && len(s.Corners) == 0 && s.Centre == Point{}
}

// looseRows is the height of the first loose line and the step to the next.
func looseRows(placed []Point, p *Prop) (y, gap float64) {
	longest := 0.0
	for i := range p.Runs {
		longest = max(longest, p.Length(i))
	}
	gap = max(longest/10, nominalPitch)
	if len(placed) == 0 {
		return 0, gap
	}
	lo, _ := Bounds(placed)
	return lo.Y - gap, gap
}

// Bounds is the smallest upright box around the points; with no points it is zero.
func Bounds(pts ...[]Point) (lo, hi Point) {
	first := true
	for _, run := range pts {
		for _, p := range run {
			if first {
				lo, hi, first = p, p, false
			}
			lo = Point{min(lo.X, p.X), min(lo.Y, p.Y)}
			hi = Point{max(hi.X, p.X), max(hi.Y, p.Y)}
		}
	}
	return lo, hi
}

// runPoints spreads the pixels of a run evenly along its path.
func runPoints(r Run, length float64) []Point {
	if r.Shape.Kind == String && len(r.Shape.Corners) > 0 {
		return stringPoints(r)
	}
	path, closed := runPath(r.Shape, length)
	if r.Reverse {
		for i, j := 0, len(path)-1; i < j; i, j = i+1, j-1 {
			path[i], path[j] = path[j], path[i]
		}
	}
	pts := make([]Point, r.Pixels)
	w := newWalker(path)
	for i := range pts {
		at := float64(i)
		if !closed {
			at += 0.5 // the first pad is half a pitch before the first pixel
		}
		pts[i] = w.at(at / float64(r.Pixels) * w.total)
	}
	return pts
}

// stringPoints returns the positions of a string's pixels. Surplus pixels share the
// last position.
func stringPoints(r Run) []Point {
	at := r.Shape.Corners
	pts := make([]Point, r.Pixels)
	for i := range pts {
		k := min(i, len(at)-1)
		if r.Reverse {
			k = len(at) - 1 - k
		}
		pts[i] = at[k]
	}
	return pts
}

// runPath is the path of the strip, drawn forward, as short straight segments. A closed
// path ends where it begins.
func runPath(s Shape, length float64) (path []Point, closed bool) {
	switch s.Kind {
	case Ring:
		return ringPath(s, length), true
	case Star:
		return starPath(s, length), true
	}
	if len(s.Corners) >= 2 {
		return append([]Point(nil), s.Corners...), s.Corners[0] == s.Corners[len(s.Corners)-1]
	}
	sin, cos := math.Sincos(s.Angle * math.Pi / 180)
	dx, dy := cos*length/2, sin*length/2
	return []Point{{s.Centre.X - dx, s.Centre.Y - dy}, {s.Centre.X + dx, s.Centre.Y + dy}}, false
}

func ringPath(s Shape, length float64) []Point {
	d := s.Diameter
	if d <= 0 {
		d = length / math.Pi
	}
	const steps = 360
	path := make([]Point, steps+1)
	for i := range path {
		path[i] = onCircle(s.Centre, d/2, s.Start+float64(i)*360/steps)
	}
	return path
}

// starPath is the outline of a star of s.Points points whose sides lie on the lines
// between every second point, as a five-pointed star is drawn by hand. With fewer than
// five points there are no such lines; the waist is then 0.4 of the radius.
func starPath(s Shape, length float64) []Point {
	n := s.Points
	if n < 2 {
		n = 5
	}
	waist := 0.4
	if n >= 5 {
		waist = math.Cos(2*math.Pi/float64(n)) / math.Cos(math.Pi/float64(n))
	}
	d := s.Diameter
	outline := func(radius float64) []Point {
		path := make([]Point, 0, 2*n+1)
		for i := 0; i <= 2*n; i++ {
			rad := radius
			if i%2 == 1 {
				rad *= waist
			}
			path = append(path, onCircle(s.Centre, rad, s.Start+float64(i)*180/float64(n)))
		}
		return path
	}
	if d <= 0 {
		d = 2 * length / pathLength(outline(1))
	}
	return outline(d / 2)
}

// onCircle is the point at deg degrees clockwise from the top.
func onCircle(c Point, radius, deg float64) Point {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return Point{c.X + radius*sin, c.Y + radius*cos}
}

func pathLength(path []Point) float64 { return newWalker(path).total }

// A walker finds points at increasing distances along a path.
type walker struct {
	path  []Point
	seg   int
	done  float64 // length of the segments before seg
	total float64
}

func newWalker(path []Point) *walker {
	w := &walker{path: path}
	for i := 1; i < len(path); i++ {
		w.total += dist(path[i-1], path[i])
	}
	return w
}

func (w *walker) at(d float64) Point {
	for w.seg < len(w.path)-2 {
		l := dist(w.path[w.seg], w.path[w.seg+1])
		if d <= w.done+l {
			break
		}
		w.done += l
		w.seg++
	}
	a, b := w.path[w.seg], w.path[w.seg+1]
	l := dist(a, b)
	if l == 0 {
		return a
	}
	f := (d - w.done) / l
	return Point{a.X + (b.X-a.X)*f, a.Y + (b.Y-a.Y)*f}
}

// Distance is the distance between two points, in metres.
func Distance(a, b Point) float64 { return dist(a, b) }

func dist(a, b Point) float64 { return math.Hypot(b.X-a.X, b.Y-a.Y) }
