package eyes

import "math"

// A view is the homography from plan to picture, eight numbers, with both moved and
// scaled to about 1.
type view struct {
	h        [8]float64
	from, to frame
}

// A frame moves and scales points to about 1.
type frame struct {
	middle Point
	size   float64
}

func frameOf(points []Point) frame {
	lo, hi := box(points)
	f := frame{Point{(lo.X + hi.X) / 2, (lo.Y + hi.Y) / 2}, distance(lo, hi) / 2}
	if !(f.size > 0) {
		f.size = 1
	}
	return f
}

func (f frame) in(p Point) Point {
	return Point{(p.X - f.middle.X) / f.size, (p.Y - f.middle.Y) / f.size}
}

func (f frame) out(p Point) Point {
	return Point{p.X*f.size + f.middle.X, p.Y*f.size + f.middle.Y}
}

// at is the point of the picture at which a place of the plan lies.
func (v view) at(p Point) Point {
	q := v.from.in(p)
	w := v.h[6]*q.X + v.h[7]*q.Y + 1
	if w < 0.05 { // behind the camera
		return Point{math.Inf(1), math.Inf(1)}
	}
	return v.to.out(Point{(v.h[0]*q.X + v.h[1]*q.Y + v.h[2]) / w, (v.h[3]*q.X + v.h[4]*q.Y + v.h[5]) / w})
}

// A pair is a place of the plan and where it is in the picture.
type pair struct {
	plan, picture Point
	weight        float64
}

// fitted is the view that fits the pairs by least squares. Numbers that the pairs do
// not determine stay near those of v, such as all across a straight line.
func (v view) fitted(pairs []pair) view {
	l := newLeastSquares(8)
	for _, p := range pairs {
		a, b := v.from.in(p.plan), v.to.in(p.picture)
		k := v.h[6]*a.X + v.h[7]*a.Y + 1
		w := p.weight / (k * k)
		l.add([]float64{a.X, a.Y, 1, 0, 0, 0, -a.X * b.X, -a.Y * b.X}, b.X, w)
		l.add([]float64{0, 0, 0, a.X, a.Y, 1, -a.X * b.Y, -a.Y * b.Y}, b.Y, w)
	}
	l.pull(v.h[:], 1e-6*float64(len(pairs)))
	h, good := l.solve()
	if !good {
		return v
	}
	copy(v.h[:], h)
	return v
}

// leaning is v with x and y added to its perspective terms, and the other six
// numbers fitted to the pairs.
func (v view) leaning(x, y float64, pairs []pair) view {
	v.h[6] += x
	v.h[7] += y
	l := newLeastSquares(6)
	for _, p := range pairs {
		a, b := v.from.in(p.plan), v.to.in(p.picture)
		k := v.h[6]*a.X + v.h[7]*a.Y + 1
		w := p.weight / (k * k)
		l.add([]float64{a.X, a.Y, 1, 0, 0, 0}, b.X*k, w)
		l.add([]float64{0, 0, 0, a.X, a.Y, 1}, b.Y*k, w)
	}
	if h, good := l.solve(); good {
		copy(v.h[:], h)
	}
	return v
}

// A tilt is a pose of the prop's plane: turned by angle about an axis in the picture
// (radians), with deep as its perspective term.
type tilt struct{ axis, angle, deep float64 }

// tilts are the poses from which the search for a view begins.
func tilts() []tilt {
	out := []tilt{{}}
	for angle := 15.0; angle <= 60; angle += 11.25 {
		for axis := 0.0; axis < 180; axis += 22.5 {
			for _, deep := range []float64{0, 0.12, -0.12} {
				out = append(out, tilt{axis * math.Pi / 180, angle * math.Pi / 180, deep})
			}
		}
	}
	return out
}

// endViews are the poses for a straight prop, of which only the perspective along
// it is open.
func endViews() []tilt {
	var out []tilt
	for deep := -0.4; deep <= 0.4; deep += 0.004 {
		out = append(out, tilt{deep: deep})
	}
	return out
}

// viewFrom is the view of a tilted plan that maps two places to their marks.
func viewFrom(t tilt, from, to frame, a, b pair) view {
	sin, cos := math.Sincos(t.axis)
	c := math.Cos(t.angle)
	// The plan seen at the tilt, its y down as in pictures.
	m := [4]float64{cos*cos + sin*sin*c, cos * sin * (1 - c), cos * sin * (1 - c), sin*sin + cos*cos*c}
	far := Point{-sin * t.deep, cos * t.deep}
	if t.angle == 0 {
		d := from.in(b.plan).minus(from.in(a.plan))
		if n := math.Hypot(d.X, d.Y); n > 0 {
			far = Point{d.X / n * t.deep, d.Y / n * t.deep}
		}
	}
	seen := func(p Point) Point {
		q := from.in(p)
		w := far.X*q.X + far.Y*q.Y + 1
		return Point{(m[0]*q.X + m[1]*q.Y) / w, -(m[2]*q.X + m[3]*q.Y) / w}
	}
	turn, move := similarity(seen(a.plan), seen(b.plan), to.in(a.picture), to.in(b.picture))
	v := view{from: from, to: to}
	row := func(kx, ky, add float64) (float64, float64, float64) {
		return kx*m[0] - ky*m[2] + add*far.X, kx*m[1] - ky*m[3] + add*far.Y, add
	}
	v.h[0], v.h[1], v.h[2] = row(turn.X, -turn.Y, move.X)
	v.h[3], v.h[4], v.h[5] = row(turn.Y, turn.X, move.Y)
	v.h[6], v.h[7] = far.X, far.Y
	return v
}

// similarity is the rotation with scale, as a complex number, and the translation
// that map a to p and b to q.
func similarity(a, b, p, q Point) (turn, move Point) {
	d, e := b.minus(a), q.minus(p)
	n := d.X*d.X + d.Y*d.Y
	if n == 0 {
		n = 1
	}
	turn = Point{(d.X*e.X + d.Y*e.Y) / n, (d.X*e.Y - d.Y*e.X) / n}
	move = Point{p.X - turn.X*a.X + turn.Y*a.Y, p.Y - turn.Y*a.X - turn.X*a.Y}
	return turn, move
}
