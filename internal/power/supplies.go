package power

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// A SupplyPart is the stretch of pixels on one of several supplies. Plus is cut
// before its first pixel; ground is joined through all of them.
type SupplyPart struct {
	First, Last int          // pixels, both included
	Amps        float64      // at full level in the report's colour
	Feeds       []FeedReport // feeds of the file and feeds to add
}

// mostSupplies ends the search: a prop that needs more must be split.
const mostSupplies = 64

// supplies shares the prop at full level among few supplies of the file's
// rating, each within its limit for continuous load; nil when one is enough, or
// when no way was found. full has the amps of each pixel.
func (r *Report) supplies(p *prop.Prop, n *Network, full []float64) ([]SupplyPart, error) {
	sums := sumsOf(full)
	all, limit := sums[len(full)], withRounding(r.Supply.Limit)
	if all <= limit || slices.Max(full) > limit {
		return nil, nil
	}
	r.SuppliesLeast = int(math.Ceil(all/limit - 1e-9))
	if isLong(len(full)) {
		return r.suppliesInOrder(p, n, full, sums) // the search for feeds would take minutes
	}
	cuts := r.supplyCuts(sums)
	if len(cuts) == 0 {
		return nil, nil
	}
	with := cutPlus(n, cuts)
	extra, err := PlaceFeeds(with, full, n.Taps[0].Rails, max(r.MinVolts, 0.01), placeWork/3, r.easyPlaces(p)...)
	if err != nil || !extra.Possible {
		return nil, err
	}
	feeds, err := r.withExtra(p, with, extra.Pixels, full)
	if err != nil {
		return nil, err
	}
	return supplyParts(cuts, sums, feeds), nil
}

// sumsOf are the summed amps of the pixels before each index, 0 to len(full).
func sumsOf(full []float64) []float64 {
	sums := make([]float64, len(full)+1)
	for i, a := range full {
		sums[i+1] = sums[i] + a
	}
	return sums
}

// cutPlus is the network with plus cut before some pixels. A ring that is cut
// is open at its closing joint too.
func cutPlus(n *Network, cuts []int) *Network {
	with := n.clone()
	for _, c := range cuts {
		with.Links[c-1].Plus = Broken
		for i, l := range with.Loops {
			if l.First < c && c <= l.Last {
				with.Loops[i].Plus = Broken
			}
		}
	}
	return with
}

// supplyParts are the parts between cuts, with their amps and feeds.
func supplyParts(cuts []int, sums []float64, feeds []FeedReport) (out []SupplyPart) {
	ends := append(slices.Clone(cuts), len(sums)-1)
	from := 0
	for _, end := range ends {
		part := SupplyPart{First: from, Last: end - 1, Amps: sums[end] - sums[from]}
		for _, f := range feeds {
			if f.Pixel >= from && f.Pixel < end {
				part.Feeds = append(part.Feeds, f)
			}
		}
		out, from = append(out, part), end
	}
	return out
}

// supplyCuts are the pixels before which plus is cut so that each part is within
// the supply's limit: at a joint where possible, else inside a run. It is nil
// when mostSupplies are not enough.
func (r *Report) supplyCuts(sums []float64) []int {
	limit := withRounding(r.Supply.Limit)
	for k := max(2, r.SuppliesLeast); k <= min(mostSupplies, len(sums)-1); k++ {
		if cuts := r.cutInto(sums, k, limit); cuts != nil {
			return cuts
		}
	}
	return nil
}

// cutInto makes k parts with about equal current: each cut lies where the rest
// would be shared equally, moved to the start of the nearest run that keeps both
// sides within the limit. It is nil when k parts are not enough.
func (r *Report) cutInto(sums []float64, k int, limit float64) []int {
	n := len(sums) - 1
	var cuts []int
	from := 0
	for j := 1; j < k; j++ {
		left := float64(k - j) // supplies for the rest
		fits := func(c int) bool {
			return c > from && c < n && sums[c]-sums[from] <= limit && sums[n]-sums[c] <= left*limit
		}
		want := sums[from] + (sums[n]-sums[from])/(left+1)
		at, _ := slices.BinarySearch(sums, want)
		best := -1
		for _, c := range r.starts {
			if fits(c) && (best < 0 || math.Abs(sums[c]-want) < math.Abs(sums[best]-want)) {
				best = c
			}
		}
		for _, c := range []int{at, at - 1} {
			if best < 0 && fits(c) {
				best = c
			}
		}
		if best < 0 {
			return nil
		}
		cuts, from = append(cuts, best), best
	}
	return cuts
}

// CutRings are the closed runs within which plus is cut between two supplies. Their
// closing joint would join the plus of both.
func (r *Report) CutRings(p *prop.Prop) (runs []int) {
	for i, run := range p.Runs {
		first := r.starts[i]
		cut := func(s SupplyPart) bool { return s.First > first && s.First < first+run.Pixels }
		if run.Closed && slices.ContainsFunc(r.Supplies, cut) {
			runs = append(runs, i)
		}
	}
	return runs
}

// openText says at which closing joints plus must be open too.
func (r *Report) openText(p *prop.Prop) string {
	var names []string
	for _, i := range r.CutRings(p) {
		names = append(names, p.QuotedRun(i))
	}
	if len(names) == 0 {
		return ""
	}
	return fmt.Sprintf(" Power off, open plus where %s %s closed too: two supplies would be joined there.", words.And(names), words.Plural(len(names), "is", "are"))
}

// CutsText is what to do for several supplies: where plus is cut and opened, and that
// the ground is joined.
func (r *Report) CutsText(p *prop.Prop) string {
	var cuts []string
	for _, s := range r.Supplies[1:] {
		cuts = append(cuts, PlaceName(p, s.First))
	}
	return fmt.Sprintf("Power off, cut plus before %s, and join the ground of all.%s", strings.Join(cuts, ", before "), r.openText(p))
}

// suppliesText says how many supplies are needed, and where to cut plus.
func (r *Report) suppliesText(p *prop.Prop) string {
	text := fmt.Sprintf("Full level in this colour takes %d supplies of %s. %s",
		len(r.Supplies), words.Given(r.Supply.Rated, "A"), r.CutsText(p))
	if isLong(r.Pixels) {
		text += " The feeds share them in the order of the wiring."
	}
	if len(r.Supplies) > r.SuppliesLeast {
		text += fmt.Sprintf(" Fewer may do: by current alone it takes %d.", r.SuppliesLeast)
	}
	return text
}
