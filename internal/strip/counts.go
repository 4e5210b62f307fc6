package strip

import (
	"fmt"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// countOff is the largest number of extra pixels at the very end of a prop that
// is counted, and fewCounts the largest number of Count faults.
const (
	countOff  = 10
	fewCounts = 12000
)

// CountsApart is the largest number of extra pixels at the very end of a prop
// that is counted. They are dark, so they show by the colour of a pixel counted
// from the far end, which must be one of the last run's planned pixels.
func CountsApart(p *prop.Prop) int { return min(countOff, p.Runs[len(p.Runs)-1].Pixels-1) }

// counts are the Count faults: any number of pixels fewer, and up to as many more
// as there are pixels after the run, whose data then lights in it. Further ones
// stay dark, so their number does not show: OrMore. Very long props have only the
// smaller changes.
func counts(p *prop.Prop) []Fault {
	if p.Pixels() == 1 {
		return nil
	}
	most := p.Pixels()
	var all int
	for all = numberOfCounts(p, most); all > fewCounts && most > countOff; all = numberOfCounts(p, most) {
		most -= 1 + most/8
	}
	out := make([]Fault, 0, all)
	for r, run := range p.Runs {
		fewer, more, after := countsOf(p, r, most)
		for n := -fewer; n <= more; n++ {
			if n != 0 {
				out = append(out, Fault{Run: r, N: n})
			}
		}
		if n := after + 1; run.Pixels+n <= prop.MaxPixels {
			out = append(out, Fault{Run: r, N: n, OrMore: true})
		}
	}
	return out
}

// countsOf are the numbers of pixels fewer and more that a run may have, limited
// to most, and the number of extra pixels that light.
func countsOf(p *prop.Prop, run, most int) (fewer, more, after int) {
	n := p.Runs[run].Pixels
	after = p.Pixels() - p.FirstPixel(run) - n
	if run == len(p.Runs)-1 {
		after = CountsApart(p)
	}
	return min(most, n-1), min(max(most, countOff), after), after
}

// numberOfCounts is the number of Count faults with at most so many pixels fewer
// or more.
func numberOfCounts(p *prop.Prop, most int) (all int) {
	for r := range p.Runs {
		fewer, more, _ := countsOf(p, r, most)
		all += fewer + more + 1
	}
	return all
}

func checkCount(pl *plan, f Fault) error {
	if n := pl.prop.Runs[f.Run].Pixels; f.N == 0 || n+f.N < 1 || n+f.N > prop.MaxPixels {
		return fmt.Errorf("%s has %d pixels planned: give a change that leaves 1 to %d, and not 0", pl.prop.RunText(f.Run), n, prop.MaxPixels)
	}
	if f.OrMore && f.N < 0 {
		return fmt.Errorf("%s cannot have %d or more: say how many are too many at least, such as \"by 41 or more\"", pl.prop.RunText(f.Run), f.N)
	}
	return nil
}

func countSentence(f Fault, p *prop.Prop) string {
	change, have := "more", f.N
	if f.N < 0 {
		change, have = "fewer", -f.N
	}
	n := planned(p, f.Run)
	if f.OrMore {
		return fmt.Sprintf("%s has at least %s more than planned: %d or more instead of %d. The rest stay dark: count them by eye.", words.Capital(p.RunText(f.Run)), words.Count(f.N, "pixel"), n+f.N, n)
	}
	return fmt.Sprintf("%s has %s %s than planned: %d instead of %d.", words.Capital(p.RunText(f.Run)), words.Count(have, "pixel"), change, n+f.N, n)
}
