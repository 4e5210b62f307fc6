package eyes

import (
	"image"
	"math"
	"slices"
)

// A Clip holds the frames of one look in cells, to find flickering light, which their
// mean does not show.
type Clip struct {
	Side   int // camera pixels of a cell, each way
	W, H   int // cells
	Frames [][]uint8
}

// clipWide is the largest width of a clip, in cells.
const clipWide = 640

// cellSide is the side of a cell, in camera pixels, for a picture of width w.
func cellSide(w int) int { return max(1, (w+clipWide-1)/clipWide) }

// Add adds a frame; it ignores one of another size. A cell is 255 times the square
// root of its light, with red, green and blue weighted 1:2:3, so that a change of
// colour alone shows too.
func (c *Clip) Add(p Picture) {
	side := cellSide(p.W)
	if len(c.Frames) == 0 {
		c.Side, c.W, c.H = side, p.W/side, p.H/side
	}
	if p.W/side != c.W || p.H/side != c.H {
		return
	}
	frame := make([]uint8, c.W*c.H)
	sums := make([]uint32, c.W)
	for y := range c.H {
		clear(sums)
		for dy := range side {
			row := p.Pix[3*(y*side+dy)*p.W:]
			for x := range c.W * side {
				sums[x/side] += uint32(row[3*x]) + 2*uint32(row[3*x+1]) + 3*uint32(row[3*x+2])
			}
		}
		for x, sum := range sums {
			frame[y*c.W+x] = uint8(255*math.Sqrt(float64(sum)/(6*65535*float64(side*side))) + 0.5)
		}
	}
	c.Frames = append(c.Frames, frame)
}

// Image is the frames one below the other, as a kept folder has them.
func (c *Clip) Image() image.Image {
	out := image.NewGray(image.Rect(0, 0, c.W, c.H*len(c.Frames)))
	for i, f := range c.Frames {
		copy(out.Pix[i*c.W*c.H:], f)
	}
	return out
}

// mostFrames is the largest number of frames of a clip that is read.
const mostFrames = 64

// ClipOf reads a clip that Image wrote, of pictures of w by h; false for any other
// image.
func ClipOf(img image.Image, w, h int) (Clip, bool) {
	gray, ok := img.(*image.Gray)
	side := cellSide(w)
	c := Clip{Side: side, W: w / side, H: h / side}
	if !ok || c.H == 0 || gray.Rect.Dx() != c.W || gray.Rect.Dy()%c.H != 0 || gray.Rect.Dy()/c.H > mostFrames {
		return Clip{}, false
	}
	for i := range gray.Rect.Dy() / c.H {
		frame := make([]uint8, 0, c.W*c.H)
		for y := range c.H {
			from := (i*c.H + y) * gray.Stride
			frame = append(frame, gray.Pix[from:from+c.W]...)
		}
		c.Frames = append(c.Frames, frame)
	}
	return c, true
}

// cellLight is the light that a value of a cell means, 0 to 1.
func cellLight(v uint8) float64 { return float64(v) * float64(v) / (255 * 255) }

// around are the cells with their centre within a radius of a point, or the cell of
// the point when there is none.
func (c *Clip) around(at Point, radius float64) (cells []int) {
	side := float64(c.Side)
	x0, y0 := (at.X+0.5)/side-0.5, (at.Y+0.5)/side-0.5
	r := radius / side
	for y := int(math.Ceil(y0 - r)); y <= int(math.Floor(y0+r)); y++ {
		for x := int(math.Ceil(x0 - r)); x <= int(math.Floor(x0+r)); x++ {
			if x >= 0 && y >= 0 && x < c.W && y < c.H && math.Hypot(float64(x)-x0, float64(y)-y0) <= r {
				cells = append(cells, y*c.W+x)
			}
		}
	}
	x, y := int(math.Round(x0)), int(math.Round(y0))
	if len(cells) == 0 && x >= 0 && y >= 0 && x < c.W && y < c.H {
		cells = append(cells, y*c.W+x)
	}
	return cells
}

// over is the mean light of cells in each frame; nil without cells.
func (c *Clip) over(cells []int) (out []float64) {
	if len(cells) == 0 {
		return nil
	}
	for _, f := range c.Frames {
		sum := 0.0
		for _, i := range cells {
			sum += cellLight(f[i])
		}
		out = append(out, sum/float64(len(cells)))
	}
	return out
}

// Limits of unsteady light, and of change away from the prop.
const (
	unsteadyShare = 0.4  // change of a place's light during a look, as a share of its light
	unsteadyLooks = 2    // looks with such a change
	returnLooks   = 2    // looks during which light changes back again
	besideShare   = 0.02 // share of the cells away from the prop that may change
	besideStep    = 13   // one of so many of these cells is compared between looks; no divisor of usual widths
)

// Watch sets the places whose light changes during a look, and the number of looks
// in which something changes away from the prop. A single change in one look does
// not count: a look may begin late. Without several frames of each look it does
// nothing.
func (r *Result) Watch(s *Scene, clips []Clip) {
	if len(r.Places) == 0 || len(clips) != len(s.Looks) || len(r.moved) != len(clips) {
		return
	}
	for _, h := range clips {
		if len(h.Frames) < 2 || h.W != clips[0].W || h.H != clips[0].H {
			return
		}
	}
	if r.Watched = true; !slices.ContainsFunc(r.Places, func(p Place) bool { return p.State != Dark }) {
		return
	}
	w := &watch{Result: r, scene: s, clips: clips, returns: make([]bool, len(clips))}
	w.measure()
	w.count()
	w.findBeside()
	w.discard()
}

// A watch holds the state of Result.Watch.
type watch struct {
	*Result
	scene   *Scene
	clips   []Clip
	light   [][][]float64 // of each place in each look, frame by frame
	usual   []float64     // light of each place in a lit look
	middle  float64       // median of usual over the places that light
	returns []bool        // of each look: the light of a place changes back again
	still   [][]float64   // light of cells beside the prop, look by look
}

// measure sets the light of every place.
func (w *watch) measure() {
	black := w.scene.blackAt()
	var shining []float64
	for _, p := range w.Places {
		var of [][]float64
		var lit []float64
		for k := range w.clips {
			light := w.clips[k].over(w.clips[k].around(p.At.plus(w.moved[k]), 0.5*w.Measures.Spacing))
			if of = append(of, light); k != black && len(light) > 0 {
				lit = append(lit, slices.Max(light))
			}
		}
		usual := median(lit)
		if base := of[black]; len(base) > 0 && p.State != Stuck {
			usual -= slices.Min(base)
		}
		if w.light, w.usual = append(w.light, of), append(w.usual, usual); p.State != Dark {
			shining = append(shining, usual)
		}
	}
	w.middle = max(median(shining), 1e-6)
}

// count counts the looks in which each place is unsteady.
func (w *watch) count() {
	for i := range w.Places {
		usual := max(w.usual[i], 0.3*w.middle)
		for k, light := range w.light[i] {
			if len(light) == 0 || slices.Max(light)-slices.Min(light) < unsteadyShare*usual {
				continue
			}
			w.Places[i].Unsteady++
			w.returns[k] = w.returns[k] || crossings(light) > 1
		}
	}
	w.Sparks = w.sparks()
	back := 0
	for _, yes := range w.returns {
		if yes {
			back++
		}
	}
	for i := range w.Places {
		if back < returnLooks || w.Places[i].Unsteady < unsteadyLooks {
			w.Places[i].Unsteady = 0
		}
	}
}

// sparks reports whether places flash in the black look, which a loose contact does
// not cause.
func (w *watch) sparks() bool {
	black := w.scene.blackAt()
	return slices.ContainsFunc(w.light, func(of [][]float64) bool {
		light := of[black]
		return len(light) > 0 && slices.Max(light)-slices.Min(light) > unsteadyShare*w.middle
	})
}

// crossings is the number of times that light crosses the middle of its range.
func crossings(light []float64) (n int) {
	middle := (slices.Max(light) + slices.Min(light)) / 2
	for i := 1; i < len(light); i++ {
		if (light[i] > middle) != (light[i-1] > middle) {
			n++
		}
	}
	return n
}

// findBeside counts the looks with a change away from the prop, such as a person who
// walks through.
func (w *watch) findBeside() {
	far := 2.5 * w.Measures.Spacing
	var places []Point
	for _, p := range w.Places {
		places = append(places, p.At)
	}
	g := gridOf(places, far)
	h := w.clips[0]
	var cells []int
	for c := range h.W * h.H {
		at := Point{(float64(c%h.W)+0.5)*float64(h.Side) - 0.5, (float64(c/h.W)+0.5)*float64(h.Side) - 0.5}
		if _, d := g.nearest(at); d > far {
			cells = append(cells, c)
		}
	}
	var few []int // a sample of the cells: enough to see a person
	for i := 0; i < len(cells); i += besideStep {
		few = append(few, cells[i])
	}
	changes := make([][]float64, len(w.clips))
	noise := math.Inf(1) // of the look in which least changes
	for k := range w.clips {
		changes[k] = w.clips[k].changes(cells)
		noise = min(noise, median(slices.Clone(changes[k])))
	}
	least := max(0.15*w.middle, 4*noise)
	shares := make([]float64, len(changes))
	for k, all := range changes {
		shares[k] = shareOver(all, least)
	}
	usual := slices.Min(shares) // noise of a dim and compressed picture is everywhere
	for k, share := range shares {
		if share > besideShare+2*usual || shareOver(w.standing(k, few), 2*least) > besideShare {
			w.Beside++
		}
	}
}

// shareOver is the share of values over a limit.
func shareOver(all []float64, limit float64) float64 {
	n := 0
	for _, v := range all {
		if v > limit {
			n++
		}
	}
	return float64(n) / float64(max(len(all), 1))
}

// standing is the difference of each cell in a look from its median over the code
// looks, such as that of a person who has stopped there. Code looks are equally
// bright, so the prop's light on a wall differs little. In the black look only
// brighter cells count; for other looks it is nil.
func (w *watch) standing(look int, cells []int) []float64 {
	if w.still == nil {
		w.still = make([][]float64, len(cells))
		for i, c := range cells {
			for k := range w.clips {
				w.still[i] = append(w.still[i], median(w.clips[k].over([]int{c})))
			}
		}
	}
	kind := w.scene.Looks[look].Kind
	if kind != Black && kind != Code {
		return nil
	}
	var out []float64
	for _, all := range w.still {
		var code []float64
		for _, k := range w.scene.coded() {
			code = append(code, all[k])
		}
		d := all[look] - median(code)
		if kind == Code {
			d = math.Abs(d)
		}
		out = append(out, d)
	}
	return out
}

// discard sets places to unread that something passing before the prop may have
// changed: dark, stuck, unsteady, or with a lost colour. A complete word stays.
func (w *watch) discard() {
	if w.Beside == 0 {
		return
	}
	for i := range w.Places {
		p := &w.Places[i]
		if p.State != Read || p.Reading.lost >= 0 || p.Reading.Left > 0 || p.Unsteady > 0 {
			p.State, p.Unsteady = Unread, 0
		}
	}
}

// changes is the range of the light of each cell over the frames.
func (c *Clip) changes(cells []int) (out []float64) {
	for _, i := range cells {
		lo, hi := c.Frames[0][i], c.Frames[0][i]
		for _, f := range c.Frames {
			lo, hi = min(lo, f[i]), max(hi, f[i])
		}
		out = append(out, cellLight(hi)-cellLight(lo))
	}
	return out
}

// Unsteady is the number of places with unsteady light.
func (r *Result) Unsteady() (n int) {
	for _, p := range r.Places {
		if p.Unsteady > 0 {
			n++
		}
	}
	return n
}

// Flickers reports whether places are unsteady and nothing else changed.
func (r *Result) Flickers() bool { return r.Unsteady() > 0 && r.Beside == 0 }
