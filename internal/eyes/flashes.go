package eyes

import (
	"math"
	"slices"
	"time"
)

// A prop with data errors flashes by itself, also during black. The sequence is
// found in a film of it by the light without flashes: light for less than
// mostFlash, and the frames that have it, are left out.
const (
	mostFlash  = 3 * Hold / 8
	plainFlash = 0.25 // of a lit look's light: a frame that is brighter by this much than its steady light has a flash
)

// steadyLight is the light without flashes: the sliding minimum over mostFlash,
// then the sliding maximum of that (a morphological opening).
func steadyLight(film []Glance, light []float64) []float64 {
	n := 1 + int(mostFlash*time.Duration(len(film)-1)/max(film[len(film)-1].At-film[0].At, 1))
	least := slidingPick(light, n, slices.Min[[]float64])
	slices.Reverse(least)
	most := slidingPick(least, n, slices.Max[[]float64])
	slices.Reverse(most)
	return most
}

// slidingPick applies of to n values from each index on; to fewer at the end.
func slidingPick(all []float64, n int, of func([]float64) float64) []float64 {
	out := make([]float64, len(all))
	for i := range all {
		out[i] = of(all[i:min(i+n, len(all))])
	}
	return out
}

// flashes reports whether two or more lit spans are as short as a flash.
func flashes(spans []litSpan) bool {
	n := 0
	for _, s := range spans {
		if s.to-s.from < mostFlash {
			n++
		}
	}
	return n >= 2
}

// findFlashing finds the sequence in a film of a prop that flashes by itself; false
// when there is none.
func findFlashing(film []Glance, light []float64, looks int) (Cutting, bool) {
	stays := steadyLight(film, light)
	span, ok := nearestSpan(litSpans(film, stays), time.Duration(looks-1)*Hold)
	if !ok {
		return Cutting{}, false
	}
	calm := make([]bool, len(film))
	sorted := slices.Sorted(slices.Values(stays)) // the end of a film may be in a flash
	least := plainFlash * (sorted[len(sorted)*3/4] - sorted[0])
	for i := range film {
		calm[i] = light[i] < stays[i]+least
	}
	span = alignedSpan(film, calm, span, looks-1)
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

// alignedSpan is the span of a sequence whose ends are hidden by flashes. It begins
// where calmSpread is smallest, within half a hold of the middle of span.
func alignedSpan(film []Glance, calm []bool, span litSpan, looks int) litSpan {
	want := time.Duration(looks) * Hold
	middle := (span.from + span.to - want) / 2
	least, first, last := math.Inf(1), middle, middle
	for from := middle - Hold/2; from <= middle+Hold/2; from += Hold / 80 {
		switch d := calmSpread(film, calm, from, looks); {
		case d < 0.999*least:
			least, first, last = d, from, from
		case d < 1.001*least:
			last = from
		}
	}
	span.from = (first + last) / 2 // between two frames several starts are equally good
	span.to = span.from + want
	return span
}

// calmSpread is the sum of the differences of the calm frames of each look, and of
// the black before and after, from their mean, if the first look begins at from.
func calmSpread(film []Glance, calm []bool, from time.Duration, looks int) (sum float64) {
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
			sum += cellDistance(g.Light, mean, all)
		}
	}
	return sum
}

// calmPart is the longest part of a window without flashes, or the whole window
// when it has no calm frame.
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

// IsCalm reports whether a moment of a look lies in its calm part.
func (c Cutting) IsCalm(look int, at time.Duration) bool {
	return look >= len(c.Calm) || at >= c.Calm[look].From && at <= c.Calm[look].To
}
