package eyes

import (
	"example.org/ringout/internal/parallel"
	"example.org/ringout/internal/sorting"
)

// A plane has one number for each camera pixel of a part of the picture.
type plane struct {
	w, h int
	v    []float32
}

func newPlane(w, h int) plane { return plane{w, h, make([]float32, w*h)} }

// smooth blurs the plane by two box filters of 2r+1 camera pixels, which come near
// a Gaussian. tmp is scratch memory of the same size.
func (p plane) smooth(dst, tmp plane, r int) {
	boxRows(tmp, p, r)
	boxRows(dst, tmp, r)
	boxColumns(tmp, dst, r)
	boxColumns(dst, tmp, r)
}

// boxRows is the mean of 2r+1 neighbours in each row; outside the plane the edge
// value is repeated.
func boxRows(dst, src plane, r int) {
	parallel.Bands(src.h, func(from, to int) {
		for y := from; y < to; y++ {
			boxRow(row2(dst, y), row2(src, y), r)
		}
	})
}

// boxRow is boxRows for one row.
func boxRow(out, in []float32, r int) {
	k := 1 / float32(2*r+1)
	last := len(in) - 1
	sum := in[0] * float32(r+1)
	for i := range r {
		sum += in[min(i+1, last)]
	}
	x := 0
	for ; x < min(r, len(in)); x++ {
		out[x] = sum * k
		sum += in[min(x+r+1, last)] - in[0]
	}
	for ; x+r+1 <= last; x++ { // the middle, without limits at the edges
		out[x] = sum * k
		sum += in[x+r+1] - in[x-r]
	}
	for ; x <= last; x++ {
		out[x] = sum * k
		sum += in[last] - in[max(x-r, 0)]
	}
}

// boxColumns is boxRows for columns, a row at a time so that memory is read
// in order.
func boxColumns(dst, src plane, r int) {
	parallel.Bands(src.w, func(from, to int) { boxBand(dst, src, r, from, to) })
}

// boxBand is boxColumns for some of the columns.
func boxBand(dst, src plane, r, from, to int) {
	k := 1 / float32(2*r+1)
	row := func(p plane, y int) []float32 {
		y = min(max(y, 0), p.h-1)
		return p.v[y*p.w+from : y*p.w+to]
	}
	sum := make([]float32, to-from)
	for y := -r; y <= r; y++ {
		for x, v := range row(src, y) {
			sum[x] += v
		}
	}
	for y := range src.h {
		out, in, old := row(dst, y)[:len(sum)], row(src, y+r+1)[:len(sum)], row(src, y-r)[:len(sum)]
		for x, v := range sum {
			out[x] = v * k
			sum[x] = v + (in[x] - old[x])
		}
	}
}

func row2(p plane, y int) []float32 { return p.v[y*p.w : (y+1)*p.w] }

// at is the value at a camera pixel, 0 outside.
func (p plane) at(x, y int) float32 {
	if x < 0 || y < 0 || x >= p.w || y >= p.h {
		return 0
	}
	return p.v[y*p.w+x]
}

// A peak is a local maximum of a plane.
type peak struct {
	at     Point
	height float32
}

// peaks are the local maxima above least, the highest first and none within r
// camera pixels of a higher one, interpolated by a parabola.
func (p plane) peaks(r float64, least float32) []peak {
	var out []peak
	for y := 1; y < p.h-1; y++ {
		for x := 1; x < p.w-1; x++ {
			if v := p.v[y*p.w+x]; v > least && p.top(x, y, v) {
				out = append(out, peak{p.between(x, y), v})
			}
		}
	}
	sorting.Stable(out, func(a, b peak) int { return compare(b.height, a.height) })
	return apart(out, r)
}

// top reports whether the eight neighbours are lower; of equal ones the first in
// reading order counts.
func (p plane) top(x, y int, v float32) bool {
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			n := p.v[(y+dy)*p.w+x+dx]
			before := dy < 0 || dy == 0 && dx < 0
			if n > v || n == v && before {
				return false
			}
		}
	}
	return true
}

func (p plane) between(x, y int) Point {
	i := y*p.w + x
	return Point{float64(x) + vertex(p.v[i-1], p.v[i], p.v[i+1]), float64(y) + vertex(p.v[i-p.w], p.v[i], p.v[i+p.w])}
}

// vertex is the maximum of the parabola through three heights at -1, 0 and 1.
func vertex(a, b, c float32) float64 {
	d := a - 2*b + c
	if d >= 0 {
		return 0
	}
	return clamp(float64((a-c)/(2*d)), -0.5, 0.5)
}

// apart removes peaks within r of a higher one; all is in descending order.
func apart(all []peak, r float64) []peak {
	g := newGrid(max(r, 1))
	var out []peak
	for _, p := range all {
		if i, d := g.nearest(p.at); i >= 0 && d < r {
			continue
		}
		g.add(p.at)
		out = append(out, p)
	}
	return out
}
