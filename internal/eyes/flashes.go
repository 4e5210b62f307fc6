package eyes

import (
	"math"
	"slices"
	"time"
)

// A prop whose data is spoilt flashes by itself, in the black too. A sequence is
// found in a film of it by the light that stays: what is bright for shorter than
// mostFlash is left out, and so are the frames that have it.
const (
	mostFlash  = 3 * Hold / 8
	plainFlash = 0.25 // of a lit look's light: what is more than stays is a flash
)

// staying is the light without what flashes: each frame has the least within a
// flash's time, and of that the most.
func staying(film []Glance, light []float64) []float64 {
	n := 1 + int(mostFlash*time.Duration(len(film)-1)/max(film[len(film)-1].At-film[0].At, 1))
	least := slid(light, n, slices.Min[[]float64])
	slices.Reverse(least)
	most := slid(least, n, slices.Max[[]float64])
	slices.Reverse(most)
	return most
}

// slid is one of each n values from a place on, as of picks it; fewer at the end.
func slid(all []float64, n int, of func([]float64) float64) []float64 {
	out := make([]float64, len(all))
	for i := range all {
		out[i] = of(all[i:min(i+n, len(all))])
	}
	return out
}

// flashes reports whether light flashes in the dark, twice and more.
func flashes(spans []lit) bool {
	n := 0
	for _, s := range spans {
		if s.to-s.from < mostFlash {
			n++
		}
	}
	return n >= 2
}

// findFlashing finds the sequence in a film of a prop that flashes by itself; false
// where there is none.
func findFlashing(film []Glance, light []float64, looks int) (Cutting, bool) {
	stays := staying(film, light)
	span, ok := likeliest(litSpans(film, stays), time.Duration(looks-1)*Hold)
	if !ok {
		return Cutting{}, false
	}
	calm := make([]bool, len(film))
	sorted := slices.Sorted(slices.Values(stays)) // the end of a film may be in a flash
	least := plainFlash * (sorted[len(sorted)*3/4] - sorted[0])
	for i := range film {
		calm[i] = light[i] < stays[i]+least
	}
	span = settledSpan(film, calm, span, looks-1)
	hold := (span.to - span.from) / time.Duration(looks-1)
	out := Cutting{Began: span.from, Windows: []Window{blackWindow(span.from)}}
	for k := range looks - 1 {
		out.Windows = append(out.Windows, WindowOf(span.from+time.Duration(k)*hold, hold))
	}
	for _, w := range out.Windows {
		out.Calm = append(out.Calm, calmPart(film, calm, w))
	}
	return out, true
}

// settledSpan is a span of light as long as the sequence, whose ends flashes hide:
// it begins there where the calm frames of each look, and of the black before
// and after, are most alike.
func settledSpan(film []Glance, calm []bool, span lit, looks int) lit {
	want := time.Duration(looks) * Hold
	middle := (span.from + span.to - want) / 2
	least, first, last := math.Inf(1), middle, middle
	for from := middle - Hold/2; from <= middle+Hold/2; from += Hold / 80 {
		switch d := unlike(film, calm, from, looks); {
		case d < 0.999*least:
			least, first, last = d, from, from
		case d < 1.001*least:
			last = from
		}
	}
	span.from = (first + last) / 2 // frames come so seldom that several are as good
	span.to = span.from + want
	return span
}

// unlike is how much the calm frames of each look differ from their mean, if the
// first look begins at a time.
func unlike(film []Glance, calm []bool, from time.Duration, looks int) (sum float64) {
	var all []int
	for i := range film[0].Light {
		all = append(all, i)
	}
	in := make([][]Glance, looks+2)
	before := from - EdgeHold
	for i, g := range film {
		k := 0
		if g.At >= from {
			k = min(int((g.At-from)/Hold), looks) + 1
		}
		if g.At >= before && g.At < from+time.Duration(looks)*Hold+EdgeHold/2 && calm[i] && len(g.Light) == len(all) {
			in[k] = append(in[k], g)
		}
	}
	for _, look := range in {
		if len(look) == 0 {
			continue
		}
		mean := meanLight(look)
		for _, g := range look {
			sum += apartBy(g.Light, mean, all)
		}
	}
	return sum
}

// calmPart is the longest part of a window whose frames have no flash; the whole
// of it where none is calm.
func calmPart(film []Glance, calm []bool, w Window) Window {
	best, from := Window{}, -1
	for i, g := range film {
		in := g.At >= w.From && g.At <= w.To && calm[i]
		if in && from < 0 {
			from = i
		}
		if !in {
			from = -1
		} else if found := (Window{film[from].At, g.At}); found.To-found.From >= best.To-best.From {
			best = found
		}
	}
	if best == (Window{}) {
		return w
	}
	return best
}

// IsCalm reports whether the picture of a moment shows a look as it is, without a
// flash of the prop's own.
func (c Cutting) IsCalm(look int, at time.Duration) bool {
	return look >= len(c.Calm) || at >= c.Calm[look].From && at <= c.Calm[look].To
}
