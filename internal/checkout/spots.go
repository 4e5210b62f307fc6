package checkout

import (
	"cmp"
	"math"
	"slices"

	"example.org/ringout/internal/sorting"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// A spot is a pixel that is easy to find on the prop: at the end of a run.
type spot struct{ run, pixel int }

// spotsOf are the spots worth a look: both ends of every run, and two a little
// before the very end, which show how many pixels too many there are.
func (f *field) spotsOf() []spot {
	var out []spot
	for r, n := range f.sizes {
		out = append(out, spot{r, 0})
		if n > 1 {
			out = append(out, spot{r, -1})
		}
	}
	apart := -1 - strip.CountsApart(f.prop)
	for _, back := range slices.Compact([]int{max(-4, apart), apart}) {
		if back < -1 {
			out = append(out, spot{len(f.sizes) - 1, back})
		}
	}
	return slices.DeleteFunc(out, func(s spot) bool { return !f.hidden.sees(s.run, s.pixel) })
}

// bestSpots is how many spots are tried in earnest.
const bestSpots = 4

// spots proposes a look at single pixels. Which of the plan's pixels drives a
// spot under each open hypothesis is found by sending every pixel its own
// number; those are then painted in groups of about equal share.
func (p *proposer) spots() {
	spots := p.f.spotsOf()
	drives := p.drivers(spots)
	by := make([]int, len(spots))
	entropy := make([]float64, len(spots))
	for i := range spots {
		by[i], entropy[i] = i, p.entropy(drives, i, len(spots))
	}
	slices.SortStableFunc(by, func(a, b int) int { return cmp.Compare(entropy[b], entropy[a]) })
	for _, i := range by[:min(bestSpots, len(by))] {
		if entropy[i] > 0.02 {
			p.spot(spots[i], drives, i, len(spots))
		}
	}
}

// drivers gives, for hypothesis i of live and spot j, at i*len(spots)+j, the
// pixel of the plan whose colour the spot shows, or -1.
func (p *proposer) drivers(spots []spot) []int {
	m, d := stripBuilder{field: p.f}, p.f.sound.Lay(numbered(p.f.pixels))
	out := make([]int, 0, len(spots)*len(p.live))
	for _, h := range p.live {
		st, err := m.strip(p.hyps[h].faults)
		if err != nil {
			continue // it was made before
		}
		for _, s := range spots {
			at := s.pixel
			if at < 0 {
				at += st.Places(s.run)
			}
			by := -1
			if c, ok := st.Drives(d, s.run, at); ok {
				by = number(c, p.f.pixels)
			}
			out = append(out, by)
		}
	}
	return out
}

// numbered sends every pixel its own number, with a third byte to check it by.
func numbered(n int) patterns.Frame {
	f := make(patterns.Frame, n)
	for i := range f {
		f[i] = patterns.Colour{R: uint8(i >> 8), G: uint8(i), B: mark(i)}
	}
	return f
}

func mark(i int) uint8 { return uint8(i*37+i>>8) ^ 0xa5 }

func number(c patterns.Colour, n int) int {
	i := int(c.R)<<8 | int(c.G)
	if i >= n || c.B != mark(i) {
		return -1
	}
	return i
}

// entropy is that in bits of what drives a spot.
func (p *proposer) entropy(drives []int, j, n int) float64 {
	by := map[int]float64{}
	for i, s := range p.share {
		by[drives[i*n+j]] += s
	}
	keys := make([]int, 0, len(by))
	for k := range by {
		keys = append(keys, k)
	}
	slices.Sort(keys) // sums in one order, so that the same answers give the same probe
	h := 0.0
	for _, k := range keys {
		if s := by[k]; s > 0 {
			h -= s * math.Log2(s)
		}
	}
	return h
}

// spot proposes one spot, with what may drive it painted in groups.
func (p *proposer) spot(s spot, drives []int, j, n int) {
	by := map[int]float64{}
	for i, sh := range p.share {
		if d := drives[i*n+j]; d >= 0 {
			by[d] += sh
		}
	}
	places := make([]spotShare, 0, len(by))
	for d, sh := range by {
		places = append(places, spotShare{d, sh})
	}
	sorting.By(places, func(a, b spotShare) int { return cmp.Compare(a.pixel, b.pixel) })
	if len(places) == 0 {
		return
	}
	starts := groups(places, len(bandHues)-1)
	pt := newPainter(p.f.pixels, bandHues[0])
	for g, st := range starts[1:] {
		pt.span(places[st].pixel, len(pt), bandHues[g+1])
	}
	p.add(Spec{Kind: AskPlace, Paint: pt.paint(), Run: s.run, Pixel: s.pixel})
}
