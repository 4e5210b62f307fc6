package checkout

import (
	"slices"
	"time"

	"example.org/ringout/patterns"
)

// A Stretch is a row of neighbouring pixels of one colour.
type Stretch struct {
	Colour Hue `json:"colour"`
	Pixels int `json:"pixels"`
}

// A Paint is a still picture on a prop: stretches in data order of the plan.
type Paint []Stretch

// frame appends the picture's colours for n pixels to dst[:0].
func (p Paint) frame(dst patterns.Frame, n int) patterns.Frame {
	dst = dst[:0]
	for _, s := range p {
		c := s.Colour.Colour()
		for range min(s.Pixels, n-len(dst)) {
			dst = append(dst, c)
		}
	}
	for len(dst) < n {
		dst = append(dst, patterns.Colour{})
	}
	return dst
}

// show is the picture as a pattern that does not change with time.
func (p Paint) show() patterns.FrameFunc {
	return func(dst patterns.Frame, pixels int, _ time.Duration) patterns.Frame {
		return p.frame(dst, pixels)
	}
}

// has reports whether a sound prop shows the colour somewhere.
func (p Paint) has(n Name) bool {
	return slices.ContainsFunc(p, func(s Stretch) bool { return s.Colour.name() == n })
}

// even is a picture of n pixels of one colour.
func even(h Hue, n int) Paint { return Paint{{h, n}} }

// painter holds the colour of every pixel; paint joins equal neighbours.
type painter []Hue

func newPainter(n int, h Hue) painter {
	p := make(painter, n)
	for i := range p {
		p[i] = h
	}
	return p
}

// span paints the pixels from..to, both included, as far as they exist.
func (p painter) span(from, to int, h Hue) {
	for i := max(0, from); i <= min(to, len(p)-1); i++ {
		p[i] = h
	}
}

func (p painter) paint() Paint {
	var out Paint
	for _, h := range p {
		if n := len(out); n > 0 && out[n-1].Colour == h {
			out[n-1].Pixels++
			continue
		}
		out = append(out, Stretch{h, 1})
	}
	return out
}

// cut splits the picture at the ends of runs of these sizes.
func (p Paint) cut(sizes []int) []Paint {
	out := make([]Paint, len(sizes))
	rest := append(Paint(nil), p...)
	for i, n := range sizes {
		for n > 0 && len(rest) > 0 {
			take := min(n, rest[0].Pixels)
			out[i] = append(out[i], Stretch{rest[0].Colour, take})
			n -= take
			if rest[0].Pixels -= take; rest[0].Pixels == 0 {
				rest = rest[1:]
			}
		}
	}
	return out
}

// around are the colours of a pixel and its two neighbours; empty beyond the ends.
func (p Paint) around(pixel int) (out [3]Hue) {
	at := 0
	for _, st := range p {
		for k := range out {
			if q := pixel - 1 + k; q >= at && q < at+st.Pixels {
				out[k] = st.Colour
			}
		}
		at += st.Pixels
	}
	return out
}
