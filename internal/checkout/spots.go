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

// spotsOf are the visible spots: both ends of every run, and two pixels a little
// before the end of the last run, which show by how many pixels the count is off.
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

// bestSpots is the number of spots for which a probe is proposed.
const bestSpots = 4

// spots adds looks at single pixels. For each open hypothesis it finds which
// pixel of the plan drives the spot, by sending every pixel its own number. The
// picture has these pixels in groups of about equal weight.
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
			continue // cannot happen: newField made this strip
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

// numbered is a frame with each pixel's own number in red (high byte) and green
// (low byte), and a check byte in blue.
func numbered(n int) patterns.Frame {
	f := make(patterns.Frame, n)
	for i := range f {
		f[i] = patterns.Colour{R: uint8(i >> 8), G: uint8(i), B: checkByte(i)}
	}
	return f
}

// checkByte makes it unlikely that bytes of two pixels pass as a number.
func checkByte(i int) uint8 { return uint8(i*37+i>>8) ^ 0xa5 }

// number is the pixel that a colour of numbered names, or -1.
func number(c patterns.Colour, n int) int {
	i := int(c.R)<<8 | int(c.G)
	if i >= n || c.B != checkByte(i) {
		return -1
	}
	return i
}

// entropy is the entropy, in bits, of the pixel that drives spot j of n.
func (p *proposer) entropy(drives []int, j, n int) float64 {
	by := map[int]float64{}
	for i, s := range p.share {
		by[drives[i*n+j]] += s
	}
	keys := make([]int, 0, len(by))
	for k := range by {
		keys = append(keys, k)
	}
	slices.Sort(keys) // floating-point sums depend on the order: the same answers must give the same probe
	h := 0.0
	for _, k := range keys {
		if s := by[k]; s > 0 {
			h -= s * math.Log2(s)
		}
	}
	return h
}

// spot adds a look at spot j of n, with the pixels that may drive it in groups
// of colour.
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
