package power

import (
	"math"
	"slices"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/sorting"
)

// suppliesInOrder shares a long prop without a search: the feeds for full level
// are grouped in wiring order, as many to a supply as it carries, and plus is cut
// where it carries the least current, which changes the voltages least. It takes
// at most six solutions of the network. The number is the least for these feeds
// in this order; with other feeds fewer may be enough. It is nil when one feed is
// too much for a supply, or when a voltage is too low with the cuts.
func (r *Report) suppliesInOrder(p *prop.Prop, n *Network, full, sums []float64) ([]SupplyPart, error) {
	feeds, _, err := r.solveExtra(p, n, r.Extra.Pixels, full)
	if err != nil {
		return nil, err
	}
	// A cut lies between pixels, so a part may draw up to one pixel more at each
	// end than its feeds give.
	groups := groupFeeds(feeds, r.Supply.Limit-2*slices.Max(full))
	if len(groups) < 2 || len(groups) > mostSupplies {
		return nil, nil
	}
	atJoints, leastCurrent := r.cutsBetween(groups, sums)
	parts, err := r.partsThatHold(p, n, atJoints, full, 0)
	if err != nil || parts != nil {
		return parts, err
	}
	return r.partsThatHold(p, n, leastCurrent, full, 3)
}

// partsThatHold are the parts between cuts, or nil when one is over the limit or
// a voltage is too low. Up to more times, each part with a voltage too low gets
// another feed at its lowest pixel.
func (r *Report) partsThatHold(p *prop.Prop, n *Network, cuts []int, full []float64, more int) ([]SupplyPart, error) {
	with, extra := cutPlus(n, cuts), slices.Clone(r.Extra.Pixels)
	for {
		feeds, s, err := r.solveExtra(p, with, extra, full)
		if err != nil {
			return nil, err
		}
		parts := supplyParts(cuts, sumsOf(full), feeds)
		over := slices.ContainsFunc(parts, func(q SupplyPart) bool { return q.Amps > withRounding(r.Supply.Limit) })
		switch {
		case over || s.Dead > 0:
			return nil, nil
		case s.Lowest >= r.MinVolts:
			return parts, nil
		case more == 0:
			return nil, nil
		}
		extra = append(extra, r.tooLow(parts, s)...)
		more--
	}
}

// tooLow is the pixel with the least voltage of each part in which one is below
// MinVolts.
func (r *Report) tooLow(parts []SupplyPart, s *Solution) (out []int) {
	for _, q := range parts {
		low := q.First
		for i := q.First; i <= q.Last; i++ {
			if s.Volts(i) < s.Volts(low) {
				low = i
			}
		}
		if s.Volts(low) < r.MinVolts {
			out = append(out, low)
		}
	}
	return out
}

// A feedGroup is neighbouring feeds on one supply.
type feedGroup struct {
	first, last int // pixels of its first and last feed
	amps        float64
}

// groupFeeds makes the fewest groups within a limit, amps, and makes the largest
// of them as small as possible. It is nil when the feeds at one pixel are over
// the limit.
func groupFeeds(feeds []FeedReport, limit float64) []feedGroup {
	var single []feedGroup
	feeds = slices.Clone(feeds)
	sorting.Stable(feeds, func(a, b FeedReport) int { return a.Pixel - b.Pixel })
	for _, f := range feeds {
		if k := len(single) - 1; k >= 0 && single[k].last == f.Pixel {
			single[k].amps += f.Amps // no cut goes between them
			continue
		}
		single = append(single, feedGroup{f.Pixel, f.Pixel, f.Amps})
	}
	best := fillGroups(single, limit)
	low, high := 0.0, limit
	for range 40 {
		middle := (low + high) / 2
		if g := fillGroups(single, middle); g != nil && len(g) <= len(best) {
			best, high = g, middle
		} else {
			low = middle
		}
	}
	return best
}

// fillGroups adds feeds to a group up to the limit, amps, then begins the next:
// in a fixed order that gives the fewest groups. It is nil when one feed is over
// the limit.
func fillGroups(single []feedGroup, limit float64) (out []feedGroup) {
	for _, f := range single {
		k := len(out) - 1
		switch {
		case f.amps > limit:
			return nil
		case k >= 0 && out[k].amps+f.amps <= limit:
			out[k].last, out[k].amps = f.last, out[k].amps+f.amps
		default:
			out = append(out, f)
		}
	}
	return out
}

// cutsBetween are the pixels before which plus is cut between groups:
// leastCurrent where the pixels before it draw what the feeds before it give, so
// that plus carries least, and atJoints at the nearest joint between the feeds,
// if there is one.
func (r *Report) cutsBetween(groups []feedGroup, sums []float64) (atJoints, leastCurrent []int) {
	given := 0.0
	for i, g := range groups[:len(groups)-1] {
		first, last := g.last+1, groups[i+1].first
		given += g.amps
		at, _ := slices.BinarySearch(sums, given)
		if at > 0 && given-sums[at-1] < sums[min(at, len(sums)-1)]-given {
			at--
		}
		at = min(max(at, first), last)
		leastCurrent, atJoints = append(leastCurrent, at), append(atJoints, r.startNear(at, first, last))
	}
	return atJoints, leastCurrent
}

// startNear is the start of a run from first to last that is nearest to a pixel,
// or the pixel itself when there is none.
func (r *Report) startNear(at, first, last int) int {
	k, _ := slices.BinarySearch(r.starts, at)
	best, far := at, math.MaxInt
	for _, c := range r.starts[max(0, k-1):min(len(r.starts), k+1)] {
		if d := max(c-at, at-c); c >= first && c <= last && d < far {
			best, far = c, d
		}
	}
	return best
}
