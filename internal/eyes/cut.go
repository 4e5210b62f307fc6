package eyes

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// glanceWide is how many cells a glance is wide at most.
const glanceWide = 96

// A Glance is one frame of a film, small: the light of cells, red, green and
// blue of each.
type Glance struct {
	At    time.Duration
	Light []float32
}

// NewGlance makes a frame small.
func NewGlance(at time.Duration, p Picture) Glance {
	side := max(1, (p.W+glanceWide-1)/glanceWide)
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

// A Window is the part of a look's hold in which the picture is still.
type Window struct{ From, To time.Duration }

// The part of a hold that is used: not while the light changes and the camera
// follows, not just before the next.
const windowFrom, windowTo = 0.35, 0.88

// Cut finds the sequence of so many looks in a film by itself: black for a
// while, light for as long as the looks take, black again. It gives a window
// for each look, the black one first. An error is one sentence.
func Cut(film []Glance, looks int) ([]Window, error) {
	if len(film) < 2 || looks < 3 {
		return nil, fmt.Errorf("the film has no pictures: film the whole sequence, from before it begins until after it ends")
	}
	light := lightOf(film)
	want := time.Duration(looks-1) * Hold
	best, off := lit{}, time.Duration(math.MaxInt64)
	spans := litSpans(film, light)
	for _, s := range spans {
		if d := (s.to - s.from - want).Abs(); s.darkBefore >= EdgeHold/2 && d < off {
			best, off = s, d
		}
	}
	if off > Hold/2 {
		return nil, noSequence(spans, want)
	}
	hold := (best.to - best.from) / time.Duration(looks-1)
	windows := []Window{{best.from - EdgeHold/2, best.from - EdgeHold/8}}
	for k := range looks - 1 {
		from := best.from + time.Duration(k)*hold
		windows = append(windows, Window{from + share(hold, windowFrom), from + share(hold, windowTo)})
	}
	return windows, changes(film, windows)
}

func share(d time.Duration, k float64) time.Duration { return time.Duration(float64(d) * k) }

// noSequence says what the film has instead.
func noSequence(spans []lit, want time.Duration) error {
	for _, s := range spans {
		if s.cut && s.darkBefore >= EdgeHold/2 && s.to-s.from < want {
			return fmt.Errorf("the film ends %.1f s after the sequence begins, which takes %.1f s: film until the prop is dark again", (s.to - s.from).Seconds(), want.Seconds())
		}
	}
	return fmt.Errorf("the film does not show the sequence (dark, then light for %.1f s, then dark): start filming before it begins, stop after it ends, and keep room light and camera as they are", want.Seconds())
}

// lightOf is how much light each frame has over the darkest of all, cell by
// cell.
func lightOf(film []Glance) []float64 {
	base := slices.Clone(film[0].Light)
	for _, g := range film {
		for i, v := range g.Light[:min(len(g.Light), len(base))] {
			base[i] = min(base[i], v)
		}
	}
	out := make([]float64, len(film))
	for k, g := range film {
		for i, v := range g.Light[:min(len(g.Light), len(base))] {
			out[k] += float64(v - base[i])
		}
	}
	return out
}

// A lit is a stretch of a film in which the prop is lit.
type lit struct {
	from, to   time.Duration
	darkBefore time.Duration
	cut        bool // the film ends in it
}

// litSpans finds them: more light than a fifth of what most lit frames have.
func litSpans(film []Glance, light []float64) []lit {
	sorted := slices.Clone(light)
	slices.Sort(sorted)
	least := sorted[0] + (sorted[len(sorted)*3/4]-sorted[0])/4
	var out []lit
	darkFrom := film[0].At
	for i := 1; i < len(film); i++ {
		switch on, was := light[i] > least, light[i-1] > least; {
		case on && !was:
			at := crossing(film, light, i, least)
			out = append(out, lit{from: at, darkBefore: at - darkFrom, to: film[len(film)-1].At, cut: true})
		case !on && was:
			darkFrom = crossing(film, light, i, least)
			if n := len(out); n > 0 {
				out[n-1].to, out[n-1].cut = darkFrom, false
			}
		}
	}
	return out
}

// crossing is when the light passed a level between a frame and the one
// before.
func crossing(film []Glance, light []float64, i int, level float64) time.Duration {
	a, b := light[i-1], light[i]
	return film[i-1].At + share(film[i].At-film[i-1].At, (level-a)/(b-a))
}

// changes makes sure that each window is still and unlike the one before.
func changes(film []Glance, windows []Window) error {
	var last []float32
	var steps, rests []float64
	for k, w := range windows {
		mean, rest, n := stillness(film, w)
		if n == 0 {
			return fmt.Errorf("the film has no picture of look %d: film with 10 pictures a second or more", k+1)
		}
		if last != nil {
			steps = append(steps, apartBy(mean, last))
		}
		rests = append(rests, rest)
		last = mean
	}
	step := median(slices.Clone(steps))
	for k, r := range rests {
		if r > 0.6*step {
			return refuse(Moved, "something moved during look %d: hold the camera still, let nobody walk through, and run it again", k+1)
		}
	}
	for k, s := range steps {
		if s < 2*rests[k+1] || s < 0.15*step {
			return refuse(Moved, "looks %d and %d cannot be told apart: film the sequence without a pause, at its own speed", k+1, k+2)
		}
	}
	return nil
}

// stillness is the mean of the frames in a window, and how far they lie from
// it.
func stillness(film []Glance, w Window) (mean []float32, rest float64, n int) {
	var in []Glance
	for _, g := range film {
		if g.At >= w.From && g.At <= w.To {
			in = append(in, g)
		}
	}
	if len(in) == 0 {
		return nil, 0, 0
	}
	mean = make([]float32, len(in[0].Light))
	for _, g := range in {
		for i, v := range g.Light {
			mean[i] += v / float32(len(in))
		}
	}
	for _, g := range in {
		rest += apartBy(g.Light, mean) / float64(len(in))
	}
	return mean, rest, len(in)
}

func apartBy(a, b []float32) float64 {
	d := 0.0
	for i := range a {
		d += math.Abs(float64(a[i] - b[i]))
	}
	return d
}

// A Mean is the mean of pictures, in linear light.
type Mean struct {
	w, h int
	sum  []uint32
	n    uint32
}

// Add takes a picture in; one of another size is left out.
func (m *Mean) Add(p Picture) {
	if m.n == 0 {
		m.w, m.h, m.sum = p.W, p.H, make([]uint32, len(p.Pix))
	}
	if p.W != m.w || p.H != m.h || m.n == math.MaxUint16 {
		return
	}
	for i, v := range p.Pix {
		m.sum[i] += uint32(v)
	}
	m.n++
}

// Picture is the mean so far; an empty one of none.
func (m *Mean) Picture() Picture {
	p := NewPicture(m.w, m.h)
	if m.n == 0 {
		return p
	}
	for i, s := range m.sum {
		p.Pix[i] = uint16((s + m.n/2) / m.n)
	}
	return p
}
