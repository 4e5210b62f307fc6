package eyes

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// glanceCells is the largest width of a glance, in cells.
const glanceCells = 96

// A Glance is one frame of a film in cells: the summed light of each cell, red,
// green and blue.
type Glance struct {
	At    time.Duration
	Light []float32
}

// NewGlance makes the glance of a frame at a time of the film.
func NewGlance(at time.Duration, p Picture) Glance {
	side := max(1, (p.W+glanceCells-1)/glanceCells)
	w, h := p.W/side, p.H/side
	g := Glance{At: at, Light: make([]float32, 3*w*h)}
	for y := range h * side {
		for x := range w * side {
			o, i := 3*(y/side*w+x/side), 3*(y*p.W+x)
			for c := range 3 {
				g.Light[o+c] += float32(p.Pix[i+c])
			}
		}
	}
	return g
}

// A Window is the part of a look's hold that is read.
type Window struct{ From, To time.Duration }

// The part of a hold that is read: after the camera has settled on the new light,
// and not just before the next look.
const windowFrom, windowTo = 0.35, 0.88

// A Cutting is the times of the looks of a sequence in a film.
type Cutting struct {
	Windows   []Window      // of each look, the black one first
	Calm      []Window      // of a prop that flashes by itself, the part of each window without flashes; else none
	Began     time.Duration // start of the first lit look
	Disturbed []Disturbance // looks that cannot be read
}

// A Disturbance is a look in which something moved, or that does not differ from
// the one before.
type Disturbance struct {
	Look int // from 0
	Same bool
}

// Find finds a sequence of so many looks in a film: black, then light for as long
// as the looks take, then black. The cutting has a window for each look, the
// black one first, and lists disturbed looks. Errors are one sentence, an
// *UnseenError where another film may help.
func Find(film []Glance, looks int) (Cutting, error) {
	if len(film) < 2 || looks < 3 {
		return Cutting{}, fmt.Errorf("the film has no pictures: film the whole sequence, from before it begins until after it ends")
	}
	light := lightOf(film)
	want := time.Duration(looks-1) * Hold
	spans := litSpans(film, light)
	best, ok := nearestSpan(spans, want)
	if !ok || flashes(spans) {
		if out, ok := findFlashing(film, light, looks); ok {
			return out.withDisturbed(film)
		}
	}
	if !ok {
		if nothingLights(film) {
			return Cutting{}, unseen("no pixel lights in the film, so that the sequence cannot be found in it: a camera that looks elsewhere would see the same; look whether the prop is in the picture and dark; if it is, see that it has power and data")
		}
		return Cutting{}, noSequence(spans, want)
	}
	out := Cutting{Began: best.from, Windows: []Window{blackWindow(best.from)}}
	edges := lookTimes(film, best, looks-1)
	for k := range looks - 1 {
		out.Windows = append(out.Windows, WindowOf(edges[k], edges[k+1]-edges[k]))
	}
	return out.withDisturbed(film)
}

// withDisturbed is the cutting with its disturbed looks.
func (c Cutting) withDisturbed(film []Glance) (Cutting, error) {
	var err error
	c.Disturbed, err = changes(film, c.Windows)
	return c, err
}

// blackWindow is the still part of the black before the first light.
func blackWindow(began time.Duration) Window {
	return Window{began - EdgeHold/2, began - EdgeHold/8}
}

// nearestSpan is the lit span whose length is nearest to that of the sequence;
// false when none is near enough.
func nearestSpan(spans []litSpan, want time.Duration) (best litSpan, ok bool) {
	off := time.Duration(math.MaxInt64)
	for _, s := range spans {
		if d := (s.to - s.from - want).Abs(); s.darkBefore >= EdgeHold/2 && d < off {
			best, off = s, d
		}
	}
	return best, off <= 3*Hold/4
}

// edgeReach is the largest distance, in holds, of a look's start from the one of
// equal holds: a busy computer or phone is late at times.
const edgeReach = 0.45

// lookTimes are the starts of the lit looks and the end of the last: about a hold
// apart, at the largest changes of the picture.
func lookTimes(film []Glance, span litSpan, looks int) []time.Duration {
	hold := (span.to - span.from) / time.Duration(looks)
	steps := changesOf(film, span)
	out := []time.Duration{span.from}
	for k := 1; k < looks; k++ {
		due := span.from + time.Duration(k)*hold
		at, most, sum, n := due, 0.0, 0.0, 0
		for i := 1; i < len(film); i++ {
			if (film[i].At - due).Abs() > share(hold, edgeReach) {
				continue
			}
			sum, n = sum+steps[i], n+1
			if steps[i] > most {
				at, most = (film[i].At+film[i-1].At)/2, steps[i]
			}
		}
		if n < 3 || most < 3*(sum-most)/float64(n-1) { // no change is clearly the largest
			at = due
		}
		out = append(out, at)
	}
	return append(out, span.to)
}

// changesOf is the difference of each frame of a span from the one before, in the
// cells that change most.
func changesOf(film []Glance, span litSpan) []float64 {
	var all [][]float32
	for _, g := range film {
		if g.At >= span.from && g.At <= span.to && len(g.Light) == len(film[0].Light) {
			all = append(all, g.Light)
		}
	}
	out := make([]float64, len(film))
	if len(all) == 0 {
		return out
	}
	cells := changingCells(all)
	for i := 1; i < len(film); i++ {
		if len(film[i].Light) == len(film[0].Light) && len(film[i-1].Light) == len(film[0].Light) {
			out[i] = cellDistance(film[i].Light, film[i-1].Light, cells)
		}
	}
	return out
}

// WindowOf is the window of a look that begins at from.
func WindowOf(from, hold time.Duration) Window {
	return Window{from + share(hold, windowFrom), from + share(hold, windowTo)}
}

// Refusal is the refusal of a film with this disturbance.
func (d Disturbance) Refusal() *Refusal {
	if d.Same {
		return refuse(Moved, "looks %d and %d cannot be told apart: film the sequence without a pause, at its own speed", d.Look, d.Look+1)
	}
	return refuse(Moved, "something moved during look %d: hold the camera still, let no one walk through, and run it again", d.Look+1)
}

func share(d time.Duration, k float64) time.Duration { return time.Duration(float64(d) * k) }

// manyGaps is the number of gaps from which light is not that of a sequence.
const manyGaps = 8

// An UnseenError reports that a film does not show the whole sequence. A camera
// may see it in another run.
type UnseenError struct{ text string }

func (e *UnseenError) Error() string { return e.text }

func unseen(format string, a ...any) error { return &UnseenError{fmt.Sprintf(format, a...)} }

// noSequence is the error for a film without the sequence, by the lit spans that
// it has.
func noSequence(spans []litSpan, want time.Duration) error {
	for _, s := range spans {
		if s.gaps >= manyGaps {
			return fmt.Errorf("light flashes all the time, so that no look can be told from the next: see that no other lamp is in the picture; if the prop flashes by itself, its data is spoilt on its way")
		}
		if s.cut && s.darkBefore >= EdgeHold/2 && s.to-s.from < want {
			return unseen("the film ends %.1f s after the sequence begins, which takes %.1f s: film until the prop is dark again", (s.to - s.from).Seconds(), want.Seconds())
		}
	}
	return unseen("the film does not show the sequence (dark, then light for %.1f s, then dark): start filming before it begins, stop after it ends; keep room light and camera as they are", want.Seconds())
}

// lightOf is the light of each frame above the darkest value of each cell, in the
// cells that change most: the others are noise.
func lightOf(film []Glance) []float64 {
	var all [][]float32
	for _, g := range film {
		if len(g.Light) == len(film[0].Light) {
			all = append(all, g.Light)
		}
	}
	cells := changingCells(all)
	out := make([]float64, len(film))
	for _, i := range cells {
		low := all[0][i]
		for _, l := range all {
			low = min(low, l[i])
		}
		for k, g := range film {
			if i < len(g.Light) {
				out[k] += float64(g.Light[i] - low)
			}
		}
	}
	return out
}

// A litSpan is a part of a film in which the prop is lit.
type litSpan struct {
	from, to   time.Duration
	darkBefore time.Duration
	cut        bool // the film ends in it
	gaps       int  // short moments without light in it
}

// longestGap is the longest time without light within a lit span.
const longestGap = Hold / 2

// litSpans are the spans with more light than a quarter of the upper quartile,
// counted from the darkest frame.
func litSpans(film []Glance, light []float64) []litSpan {
	sorted := slices.Clone(light)
	slices.Sort(sorted)
	least := sorted[0] + (sorted[len(sorted)*3/4]-sorted[0])/4
	var out []litSpan
	darkFrom := film[0].At
	for i := 1; i < len(film); i++ {
		switch on, was := light[i] > least, light[i-1] > least; {
		case on && !was:
			at := crossing(film, light, i, least)
			if n := len(out); n > 0 && at-out[n-1].to < longestGap { // a loose contact, or someone who passes
				out[n-1].to, out[n-1].cut = film[len(film)-1].At, true
				out[n-1].gaps++
				continue
			}
			out = append(out, litSpan{from: at, darkBefore: at - darkFrom, to: film[len(film)-1].At, cut: true})
		case !on && was:
			darkFrom = crossing(film, light, i, least)
			if n := len(out); n > 0 {
				out[n-1].to, out[n-1].cut = darkFrom, false
			}
		}
	}
	return out
}

// crossing is the time at which the light passed a level between frame i-1 and
// frame i.
func crossing(film []Glance, light []float64, i int, level float64) time.Duration {
	a, b := light[i-1], light[i]
	return film[i-1].At + share(film[i].At-film[i-1].At, (level-a)/(b-a))
}

// changes finds the windows that are not still, or do not differ from the one
// before, in the cells that change most.
func changes(film []Glance, windows []Window) ([]Disturbance, error) {
	in := make([][]Glance, len(windows))
	means := make([][]float32, len(windows))
	for k, w := range windows {
		for _, g := range film {
			if g.At >= w.From && g.At <= w.To {
				in[k] = append(in[k], g)
			}
		}
		if len(in[k]) == 0 {
			return nil, unseen("the film has no picture of look %d: film with 10 pictures a second or more", k+1)
		}
		means[k] = meanLight(in[k])
	}
	cells := changingCells(means)
	rests, steps := make([]float64, len(windows)), make([]float64, len(windows))
	for k := range windows {
		for _, g := range in[k] {
			rests[k] += cellDistance(g.Light, means[k], cells) / float64(len(in[k]))
		}
		if k > 0 {
			steps[k] = cellDistance(means[k], means[k-1], cells)
		}
	}
	return judgeChanges(rests, steps), nil
}

// judgeChanges finds disturbed looks: rests is the change within each window,
// steps the change from the window before.
func judgeChanges(rests, steps []float64) (out []Disturbance) {
	step, rest := median(slices.Clone(steps[1:])), median(slices.Clone(rests))
	for k, r := range rests {
		if r > 0.6*step || r > 0.2*step && r > 3*rest {
			out = append(out, Disturbance{Look: k})
		}
	}
	for k := 1; k < len(steps) && len(out) == 0; k++ {
		if steps[k] < 1.2*rests[k] || steps[k] < 0.15*step {
			out = append(out, Disturbance{Look: k, Same: true})
		}
	}
	return out
}

// Moves reports whether something moves in a window of a film of one look: 1 % of
// the cells change by much more than the median cell.
func Moves(film []Glance, w Window) bool {
	var in [][]float32
	for _, g := range film {
		if g.At >= w.From && g.At <= w.To {
			in = append(in, g.Light)
		}
	}
	if len(in) < 2 {
		return true
	}
	change := make([]float32, len(in[0]))
	light := make([]float32, len(in[0]))
	for i := range change {
		lo, hi := in[0][i], in[0][i]
		for _, l := range in {
			lo, hi = min(lo, l[i]), max(hi, l[i])
		}
		change[i], light[i] = hi-lo, hi
	}
	slices.Sort(change)
	slices.Sort(light)
	n := len(change)
	return change[n*99/100] > 6*change[n/2]+0.1*light[n*99/100]
}

func meanLight(in []Glance) []float32 {
	mean := make([]float32, len(in[0].Light))
	for _, g := range in {
		for i, v := range g.Light {
			mean[i] += v / float32(len(in))
		}
	}
	return mean
}

// changingCells are the 2 % of the cells that change most between means.
func changingCells(means [][]float32) []int {
	change := make([]float32, len(means[0]))
	all := make([]int, len(change))
	for i := range change {
		lo, hi := means[0][i], means[0][i]
		for _, m := range means {
			lo, hi = min(lo, m[i]), max(hi, m[i])
		}
		change[i], all[i] = hi-lo, i
	}
	slices.SortFunc(all, func(a, b int) int { return compare(change[b], change[a]) })
	return all[:max(1, len(all)/50)]
}

func cellDistance(a, b []float32, cells []int) float64 {
	d := 0.0
	for _, i := range cells {
		d += math.Abs(float64(a[i] - b[i]))
	}
	return d
}
