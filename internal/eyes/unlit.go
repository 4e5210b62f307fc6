package eyes

import (
	"math"
	"slices"

	"example.org/ringout/internal/parallel"
)

// Pictures of a prop without power or data show the bench and no light of the prop.
// They are accepted as proof of a dark prop if they are neither black nor white and
// have visible edges, so that the camera did see. They do not prove that the prop was
// in the picture.
const (
	cellWide   = 4     // camera pixels of the smallest cells that are compared
	wideCells  = 4     // of these beside one another in a wide cell, for light on a wall
	bands      = 4     // of brightness, each with noise of its own
	leastCells = 16    // in a band, to estimate its noise
	mostChange = 12    // times a band's usual difference: above it a cell has changed
	tailTimes  = 3     // times the same: beyond it noise has as many brighter as dimmer cells
	mostExcess = 5.5   // standard deviations of the difference of these two numbers
	mostDrift  = 0.02  // share of the root of the light by which a whole band may differ
	blackRoot  = 0.06  // root of the light below which a cell is black
	whiteRoot  = 0.95  // root of the light above which a cell is white
	leastRoot  = 0.001 // least noise, for steps of 8 bits
	blackNoise = 0.008 // the same for black cells
	leastSeen  = 0.3   // share of the cells that are neither black nor white
	leastEdge  = 0.04  // share by which a cell differs from the next at an edge
	leastEdges = 0.01  // share of the cells at an edge
)

// A thumb is the square roots of the light of a picture's cells, three colours
// each: in roots a camera's noise is about the same at every brightness.
type thumb struct {
	w, h int
	v    []float32
}

// thumbOf is the thumb of a picture, with cells of so many camera pixels each way.
func thumbOf(p Picture, side int) thumb {
	t := thumb{w: p.W / side, h: p.H / side}
	t.v = make([]float32, 3*t.w*t.h)
	parallel.Bands(t.h, func(from, to int) {
		for y := from * side; y < to*side; y++ {
			for x := range t.w * side {
				i, o := 3*(y*p.W+x), 3*(y/side*t.w+x/side)
				for c := range 3 {
					t.v[o+c] += float32(p.Pix[i+c])
				}
			}
		}
	})
	full := 65535 * float64(side*side)
	for i, v := range t.v {
		t.v[i] = float32(math.Sqrt(float64(v) / full))
	}
	return t
}

// wider is the thumb with cells k times as wide.
func (t thumb) wider(k int) thumb {
	out := thumb{w: t.w / k, h: t.h / k}
	out.v = make([]float32, 3*out.w*out.h)
	for y := range out.h * k {
		for x := range out.w * k {
			i, o := 3*(y*t.w+x), 3*(y/k*out.w+x/k)
			for c := range 3 {
				out.v[o+c] += t.v[i+c] / float32(k*k)
			}
		}
	}
	return out
}

// hasDetail reports whether enough cells are neither black nor white, and enough of
// these lie at edges.
func (t thumb) hasDetail() bool {
	seen, edges := 0, 0
	for y := range t.h - 1 {
		for x := range t.w - 1 {
			at := func(x, y int) float64 { return float64(t.v[3*(y*t.w+x)+1]) }
			here := at(x, y)
			if here < blackRoot || here > whiteRoot {
				continue
			}
			if seen++; max(math.Abs(at(x+1, y)-here), math.Abs(at(x, y+1)-here)) > leastEdge*here {
				edges++
			}
		}
	}
	all := float64(t.w * t.h)
	return float64(seen) > leastSeen*all && float64(edges) > leastEdges*all
}

// changed reports whether the thumb differs from another by more than noise, in one
// cell, many cells or as a whole.
func (t thumb) changed(from thumb) bool {
	for c := range 3 {
		var all []difference
		for i := c; i < len(t.v); i += 3 {
			all = append(all, difference{from.v[i], t.v[i] - from.v[i]})
		}
		if exceedsNoise(all) {
			return true
		}
	}
	return false
}

// A difference is the value of a cell in one picture, and its change to another.
type difference struct{ from, by float32 }

// exceedsNoise reports whether differences are larger than noise, by bands of
// brightness.
func exceedsNoise(all []difference) bool {
	slices.SortFunc(all, func(a, b difference) int { return compare(a.from, b.from) })
	up, down := 0, 0
	for k := range bands {
		part := all[k*len(all)/bands : (k+1)*len(all)/bands]
		if len(part) < leastCells {
			return true
		}
		middle, usual := spread(part)
		if part[len(part)/2].from < blackRoot { // noise below 0 is cut off
			usual = max(usual, blackNoise)
		}
		if math.Abs(middle) > max(mostDrift*float64(part[len(part)/2].from), usual/2) {
			return true
		}
		for _, d := range part {
			switch v := float64(d.by) - middle; {
			case math.Abs(v) > mostChange*usual:
				return true
			case v > tailTimes*usual:
				up++
			case v < -tailTimes*usual:
				down++
			}
		}
	}
	return float64(up-down) > mostExcess*math.Sqrt(float64(up+down+1))
}

// spread is the median of differences, and their standard deviation from the median
// absolute deviation.
func spread(all []difference) (middle, usual float64) {
	by := make([]float32, len(all))
	for i, d := range all {
		by[i] = d.by
	}
	m := median(by)
	for i, d := range all {
		by[i] = max(d.by-m, m-d.by)
	}
	return float64(m), max(1.4826*float64(median(by)), leastRoot)
}

// seesNothing is the reason why pictures without light do not prove a dark prop; nil
// when they show the bench and nothing changes.
func seesNothing(s *Scene, looks []Picture) *Refusal {
	black := s.blackAt()
	cells := make([]thumb, len(looks), len(looks)+1)
	for k, p := range looks {
		cells[k] = thumbOf(p, cellWide)
	}
	from := cells[black]
	if !from.wider(2).hasDetail() {
		return refuse(NoScene, "no light of the prop is seen, nor anything else: take the cap off the lens; put the room light on, for the dark prop to be seen; hold the camera sharp, and run it again")
	}
	wide := from.wider(wideCells)
	for k, t := range append(cells, meanThumb(cells, black)) {
		if k != black && (t.changed(from) || t.wider(wideCells).changed(wide)) {
			return unclear()
		}
	}
	return nil
}

func unclear() *Refusal {
	return refuse(NoSpots, "something changes between the looks, but no spots that could be the prop's: see that the prop has power and data, is in the picture and bright enough; no one may move there")
}

// meanThumb is the mean of all thumbs without number but.
func meanThumb(all []thumb, but int) thumb {
	out := thumb{w: all[0].w, h: all[0].h, v: make([]float32, len(all[0].v))}
	for k, t := range all {
		if k == but {
			continue
		}
		for i, v := range t.v {
			out.v[i] += v / float32(len(all)-1)
		}
	}
	return out
}

// unlit reports whether the pictures have no light of the prop that can be read; then
// it sets the result to a dark prop or a refusal. A partial scene is never called
// dark.
func (d *decoder) unlit() bool {
	m := d.result.Measures
	if m.Signal > doubtedSignal {
		return false
	}
	r := seesNothing(d.scene, d.looks)
	if r == nil && d.scene.Partial {
		r = unclear()
	}
	switch {
	case r == nil:
		d.allDark()
	case !m.Dim():
		return false
	case len(d.peaks) > 0 && (r.Kind == NoSpots || m.Signal >= noLight):
		d.result.Refusal = m.refusal() // there may be light, but the camera has its limits
	default:
		d.result.Refusal = r
	}
	return true
}

// doubtedSignal is the signal up to which light may be noise of parts of the picture
// that are much brighter than most.
const doubtedSignal = 5 * LeastSignal

// allDark sets all places to dark.
func (d *decoder) allDark() {
	d.result.Unlit, d.result.Spots = true, nil
	d.result.Measures = Measures{}
	d.result.Places = make([]Place, len(d.scene.Places()))
	for i := range d.result.Places {
		d.result.Places[i].State = Dark
	}
}

// Dim reports whether the light is too little to be the prop's for sure.
func (m Measures) Dim() bool { return m.Signal < LeastSignal }

// nothingLights reports whether the means of a film over one hold each do not differ.
func nothingLights(film []Glance) bool {
	var first thumb
	for from := 0; from < len(film); {
		to := from
		for to < len(film) && film[to].At < film[from].At+Hold && len(film[to].Light) == len(film[0].Light) {
			to++
		}
		if to == from {
			return false // the picture has another size
		}
		t := thumb{v: meanLight(film[from:to])}
		if from == 0 {
			first.v = roots(t.v, film[0].Light)
		} else if t.v = roots(t.v, film[0].Light); t.changed(first) {
			return false
		}
		from = to
	}
	return true
}

// roots are the square roots of light, scaled so that the median of usual becomes
// eveningLight.
func roots(light, usual []float32) []float32 {
	k := float64(median(slices.Clone(usual)))
	out := make([]float32, len(light))
	for i, v := range light {
		out[i] = float32(math.Sqrt(eveningLight * float64(v) / max(k, 1)))
	}
	return out
}

// eveningLight is the light of a room in the evening, 0 to 1 (assumed).
const eveningLight = 0.03
