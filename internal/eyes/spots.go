package eyes

import (
	"image"
	"math"
	"slices"

	"example.org/ringout/internal/parallel"
)

// A finder finds spots of light in the part of the picture that changes.
type finder struct {
	scene   *Scene
	looks   []Picture
	black   int             // index of the black look
	crop    image.Rectangle // where light changes
	spacing float64         // estimated distance of neighbours, camera pixels
	marked  float64         // the same from the marks, 0 without them
	moved   []Point         // shift of each look against the reference
	still   []float64       // share of each look's light that lies where the reference has it
}

// blackAt is the index of the black look.
func (s *Scene) blackAt() int {
	return slices.IndexFunc(s.Looks, func(l Look) bool { return l.Kind == Black })
}

// whole are the indexes of the looks in which every pixel shows the same.
func (s *Scene) whole() []int {
	var out []int
	for i, l := range s.Looks {
		if l.Kind == Full || l.Kind == All {
			out = append(out, i)
		}
	}
	return out
}

// coded are the indexes of the code looks.
func (s *Scene) coded() []int {
	var out []int
	for i, l := range s.Looks {
		if l.Kind == Code {
			out = append(out, i)
		}
	}
	return out
}

func newFinder(s *Scene, looks []Picture) *finder {
	f := &finder{scene: s, looks: looks, black: s.blackAt(), moved: make([]Point, len(looks)), still: make([]float64, len(looks))}
	f.crop = f.litPart()
	f.spacing = f.guess()
	return f
}

// block is the side of the squares by which the lit part is found, camera pixels.
const block = 4

// litPart is the box, with a margin, around the blocks that are brighter in a look
// than in the black one by more than a twelfth of the largest change.
func (f *finder) litPart() image.Rectangle {
	w, h := f.looks[0].W/block, f.looks[0].H/block
	change := make([]float32, w*h)
	parallel.Bands(h, func(from, to int) {
		for k := range f.looks {
			if k == f.black {
				continue
			}
			for i := from * w; i < to*w; i++ {
				change[i] = max(change[i], f.blockChange(k, i%w*block, i/w*block))
			}
		}
	})
	sorted := slices.Clone(change)
	slices.Sort(sorted)
	if len(sorted) == 0 {
		return f.looks[0].bounds()
	}
	least := sorted[len(sorted)*999/1000] / 12
	var box image.Rectangle
	for i, c := range change {
		if c > least {
			at := image.Pt(i%w*block, i/w*block)
			box = box.Union(image.Rectangle{at, at.Add(image.Pt(block, block))})
		}
	}
	return box.Inset(-3 * block).Intersect(f.looks[0].bounds())
}

func (p Picture) bounds() image.Rectangle { return image.Rect(0, 0, p.W, p.H) }

// blockChange is the increase of a block's light over the black look, in the colour
// that changed most. It reads every second camera pixel.
func (f *finder) blockChange(look, x, y int) float32 {
	var sum [3]int
	for dy := 0; dy < block; dy += 2 {
		for dx := 0; dx < block; dx += 2 {
			i := 3 * ((y+dy)*f.looks[0].W + x + dx)
			a, b := f.looks[look].Pix[i:i+3], f.looks[f.black].Pix[i:i+3]
			for c := range sum {
				sum[c] += int(a[c]) - int(b[c])
			}
		}
	}
	return float32(max(sum[0], sum[1], sum[2])) * block * block / 4
}

// guess is a first estimate of the spacing: from two marks, or from the size of the
// lit part and of the plan.
func (f *finder) guess() float64 {
	places := f.scene.Places()
	scale := 0.0
	for i, a := range f.scene.Marks {
		for _, b := range f.scene.Marks[:i] {
			if d := distance(places[a.Place], places[b.Place]); d > 0 {
				scale = max(scale, distance(a.At, b.At)/d)
			}
		}
	}
	f.marked = scale * f.scene.pitch()
	if scale == 0 {
		lo, hi := box(places)
		if d := distance(lo, hi); d > 0 {
			scale = math.Hypot(float64(f.crop.Dx()), float64(f.crop.Dy())) / d
		}
	}
	if d := scale * f.scene.pitch(); d > 0 {
		return clamp(d, 2, 200)
	}
	return 12
}

// pitch is the median distance between neighbours of a run on the plan, metres; when
// every run has one pixel, that to the nearest other; 0 for a single pixel.
func (s *Scene) pitch() float64 {
	var all []float64
	for _, r := range s.Runs {
		for i := 1; i < len(r.Places); i++ {
			all = append(all, distance(r.Places[i], r.Places[i-1]))
		}
	}
	if len(all) == 0 {
		all = toNearest(s.Places())
	}
	return median(all)
}

// toNearest is the distance of each point to the nearest other; empty for a single
// point.
func toNearest(points []Point) (out []float64) {
	for i, p := range points {
		far := math.Inf(1)
		for j, q := range points {
			if i != j {
				far = min(far, distance(p, q))
			}
		}
		if len(points) > 1 {
			out = append(out, far)
		}
	}
	return out
}

func box(points []Point) (lo, hi Point) {
	lo, hi = Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	for _, p := range points {
		lo = Point{min(lo.X, p.X), min(lo.Y, p.Y)}
		hi = Point{max(hi.X, p.X), max(hi.Y, p.Y)}
	}
	return lo, hi
}

// median is the median (the upper one of two), 0 of an empty slice. It sorts v.
func median[T float32 | float64](v []T) T {
	if len(v) == 0 {
		return 0
	}
	slices.Sort(v)
	return v[len(v)/2]
}

// workPlanes is scratch memory for the planes of one look.
type workPlanes struct{ diff, fine, wide, tmp, out plane }

func newWorkPlanes(r image.Rectangle) *workPlanes {
	p := func() plane { return newPlane(r.Dx(), r.Dy()) }
	return &workPlanes{p(), p(), p(), p(), p()}
}

// response is the light of each camera pixel, less the black look, over that of its
// surroundings: a difference of a narrow and a wide blur, the largest over the three
// colours.
func (f *finder) response(b *workPlanes, look int) plane {
	fine := max(1, int(math.Round(f.spacing/12)))
	wide := max(2, int(math.Round(f.spacing/3)))
	clear(b.out.v)
	for c := range 3 {
		f.difference(b.diff, look, c)
		b.diff.smooth(b.fine, b.tmp, fine)
		b.diff.smooth(b.wide, b.tmp, wide)
		parallel.Bands(len(b.out.v), func(from, to int) {
			out, fine, wide := b.out.v[from:to], b.fine.v[from:to], b.wide.v[from:to]
			for i, v := range out {
				out[i] = max(v, fine[i]-wide[i])
			}
		})
	}
	return b.out
}

// difference is one colour of a look less that of the black look.
func (f *finder) difference(dst plane, look, c int) {
	w := f.looks[0].W
	parallel.Bands(dst.h, func(from, to int) {
		for y := from; y < to; y++ {
			at := 3*((y+f.crop.Min.Y)*w+f.crop.Min.X) + c
			a, b := f.looks[look].Pix[at:], f.looks[f.black].Pix[at:]
			for x := range row2(dst, y) {
				dst.v[y*dst.w+x] = float32(int(a[3*x])-int(b[3*x])) / 65535
			}
		}
	})
}

// find is the spots of all code looks, summed after correction of their shifts, the
// brightest first.
func (f *finder) find() []peak {
	b := newWorkPlanes(f.crop)
	seen := f.settleSpacing(b, 0.2)
	sum := newPlane(f.crop.Dx(), f.crop.Dy())
	last := Point{}
	for _, k := range f.scene.coded() {
		r := f.response(b, k)
		f.moved[k], f.still[k] = f.shift(r, seen, last)
		last = f.moved[k]
		sum.addMoved(r, f.moved[k])
	}
	return f.toPicture(strong(sum.peaks(0.6*f.spacing, 0), len(f.scene.Places())))
}

// settleSpacing repeats the search for reference peaks with the spacing that they
// show, until the two differ by less than a share, and returns the peaks.
func (f *finder) settleSpacing(b *workPlanes, within float64) (seen []peak) {
	for range 5 {
		seen = f.reference(b)
		d := f.limitSpacing(spacingOf(seen, len(f.scene.Places())))
		if d == 0 || math.Abs(d-f.spacing) < within*f.spacing {
			break
		}
		f.spacing = d
	}
	return seen
}

// limitSpacing limits a spacing found from spots to 0.5 to 1.4 times that of the
// marks: mirror images between pixels make it too small, dark pixels too large. On a
// slanted prop it may be half of that of the marks.
func (f *finder) limitSpacing(d float64) float64 {
	if f.marked == 0 || d == 0 {
		return d
	}
	return clamp(d, 0.5*f.marked, 1.4*f.marked)
}

// toPicture changes peaks from coordinates of the crop to those of the picture.
func (f *finder) toPicture(peaks []peak) []peak {
	for i := range peaks {
		peaks[i].at = peaks[i].at.plus(Point{float64(f.crop.Min.X), float64(f.crop.Min.Y)})
	}
	return peaks
}

// reference is the peaks of the sum of the whole looks, each shifted onto the first
// of them.
func (f *finder) reference(b *workPlanes) []peak {
	sum := newPlane(f.crop.Dx(), f.crop.Dy())
	var first []peak
	for _, k := range f.wholeOrCoded() {
		r := f.response(b, k)
		if first == nil {
			first = strong(r.peaks(0.6*f.spacing, 0), len(f.scene.Places()))
		}
		f.moved[k], f.still[k] = f.shift(r, first, Point{})
		sum.addMoved(r, f.moved[k])
	}
	return strong(sum.peaks(0.6*f.spacing, 0), len(f.scene.Places()))
}

func (f *finder) wholeOrCoded() []int {
	if w := f.scene.whole(); len(w) > 0 {
		return w
	}
	return f.scene.coded()[:1]
}

// strong leaves out peaks below a twelfth of the third highest, and those beyond
// three for each place. The third highest is used since a prop that is dark from an
// early pixel on has few strong peaks.
func strong(all []peak, places int) []peak {
	if len(all) == 0 {
		return nil
	}
	least := all[min(2, len(all)-1)].height / 12
	end := slices.IndexFunc(all, func(p peak) bool { return p.height < least })
	if end < 0 {
		end = len(all)
	}
	return all[:min(end, 3*places+20)]
}

// spacingOf is the median distance from a strong peak to the nearest other.
func spacingOf(all []peak, places int) float64 {
	n := min(len(all), places)
	at := make([]Point, n)
	for i, p := range all[:n] {
		at[i] = p.at
	}
	return median(toNearest(at))
}

// addMoved adds a plane that is shifted by so much, to the nearest camera pixel.
func (p plane) addMoved(q plane, by Point) {
	dx, dy := int(math.Round(by.X)), int(math.Round(by.Y))
	for y := max(0, -dy); y < min(p.h, p.h-dy); y++ {
		for x := max(0, -dx); x < min(p.w, p.w-dx); x++ {
			p.v[y*p.w+x] += q.v[(y+dy)*q.w+x+dx]
		}
	}
}

// shift is the shift of a look against the reference peaks, near that of the look
// before: the one with the most light at the peaks. still is that light as a share of
// the sum of what each peak finds nearby for itself.
func (f *finder) shift(r plane, ref []peak, near Point) (by Point, still float64) {
	ref = ref[:min(len(ref), 300)]
	reach := max(2, int(f.spacing*0.45))
	cx, cy := int(math.Round(near.X)), int(math.Round(near.Y))
	n := 2*reach + 1
	score := newPlane(n, n)
	var own float32
	for _, p := range ref {
		x0, y0 := int(math.Round(p.at.X))+cx-reach, int(math.Round(p.at.Y))+cy-reach
		var best float32
		for y := range n {
			for x := range n {
				v := r.at(x0+x, y0+y)
				score.v[y*n+x] += v
				best = max(best, v)
			}
		}
		own += best
	}
	top, at := highest(score)
	if own > 0 {
		still = float64(top / own)
	}
	return at.plus(Point{float64(cx - reach), float64(cy - reach)}), still
}

// highest is the largest value of a plane and its position.
func highest(p plane) (float32, Point) {
	best := 0
	for i, v := range p.v {
		if v > p.v[best] {
			best = i
		}
	}
	x, y := best%p.w, best/p.w
	if x == 0 || y == 0 || x == p.w-1 || y == p.h-1 {
		return p.v[best], Point{float64(x), float64(y)}
	}
	return p.v[best], p.between(x, y)
}
