package prop

import (
	"fmt"
	"math"
	"sort"
)

// check makes the checks that need the whole prop: it fits its universes, parts and
// feeds do not collide, counts and lengths agree.
func (r *reader) check() {
	r.checkPatch()
	r.checkParts()
	r.checkFeeds()
	r.checkSign()
	for i := range r.runTables {
		r.checkCount(i)
	}
}

func (r *reader) checkPatch() {
	n := r.prop.Pixels()
	if n > MaxPixels {
		r.problem(0, "", "split it into several props", "the runs add up to %d pixels, and %d is the most", n, MaxPixels)
		return
	}
	if n < 1 || r.prop.Chip.Order == "" || r.prop.Address.Universe == 0 {
		return
	}
	s := r.one("address")
	at := func(key string) int {
		if e := s.t.find(key); e != nil {
			return e.line
		}
		return s.line()
	}
	patch, err := NewPatch(n, r.prop.Chip.Order, r.prop.Address)
	switch {
	case err != nil:
		r.problem(at("universe"), s.key("universe"), "", "%s", err)
	case patch.Moved() != "":
		r.doubt(at("slot"), s.key("slot"), "write that universe and slot 1, or set the packing to straddle", "%s", patch.Moved())
	}
}

// checkParts refuses parts that partly overlap. A part may lie inside another, as a
// letter in a word.
func (r *reader) checkParts() {
	tables := r.all("part")
	order := make([]int, len(r.prop.Parts))
	for i := range order {
		order[i] = i
	}
	ps := r.prop.Parts
	sort.SliceStable(order, func(a, b int) bool {
		x, y := ps[order[a]], ps[order[b]]
		return x.First < y.First || x.First == y.First && x.Last > y.Last
	})
	var open []int // parts around the current pixel, outermost first
	for _, i := range order {
		for len(open) > 0 && ps[open[len(open)-1]].Last < ps[i].First {
			open = open[:len(open)-1]
		}
		if len(open) > 0 {
			if o := open[len(open)-1]; ps[o].Last < ps[i].Last || ps[o].First == ps[i].First && ps[o].Last == ps[i].Last {
				r.overlap(tables, o, i)
			}
		}
		open = append(open, i)
	}
}

func (r *reader) overlap(tables []*table, a, b int) {
	if tables[a].line > tables[b].line {
		a, b = b, a
	}
	x, y := r.prop.Parts[a], r.prop.Parts[b]
	r.problem(tables[b].line, spotName("part", b), "let one end before the other begins, or lie wholly inside it",
		"%q (pixels %d to %d) overlaps %q (pixels %d to %d) of line %d",
		y.Name, y.First+1, y.Last+1, x.Name, x.First+1, x.Last+1, tables[a].line)
}

// checkFeeds warns of two feeds at one pixel. It is only a warning because two wires
// may be soldered to the two sides of one joint.
func (r *reader) checkFeeds() {
	tables := r.all("feed")
	at := map[int]int{}
	for i, f := range r.prop.Feeds {
		if tables[i].find("at") == nil {
			continue
		}
		if first, ok := at[f.Pixel]; ok {
			r.doubt(tables[i].line, spotName("feed", i), "power off, then move one, or use one thicker wire",
				"%q enters at the same place as %q", f.Name, r.prop.Feeds[first].Name)
			continue
		}
		at[f.Pixel] = i
	}
}

// checkCount warns of a count that does not fit its length of strip. Real strip is
// often one or two pixels off, so only a larger difference counts (common practice).
func (r *reader) checkCount(i int) {
	run, w := r.prop.Runs[i], r.runTables[i]
	r.checkRing(i, run, w)
	fit := FitLength(run.Cut, r.prop.Chip)
	if !w.given || run.Cut == 0 || fit.Pitch == 0 || run.Pixels == 0 {
		return
	}
	tolerance := max(2, int(math.Ceil(0.03*float64(fit.Nearest))))
	over := run.Pixels > fit.Nearest+tolerance
	under := w.t.find("length") != nil && run.Pixels < fit.Nearest-tolerance
	if over || under {
		r.doubt(w.t.find("pixels").line, fmt.Sprintf("run %d, pixels", i+1), "check the length, the count and the density",
			"%d pixels do not match %s of strip, which carries about %d", run.Pixels, FormatLength(run.Cut, r.inch > 0), fit.Nearest)
	}
}

// checkRing warns of a ring whose strip length is far from its circumference.
func (r *reader) checkRing(i int, run Run, w runTable) {
	e := w.t.find("diameter")
	if e == nil || run.Shape.Kind != Ring || w.t.find("length") == nil || run.Cut == 0 {
		return
	}
	if round := Circumference(run.Shape.Diameter); run.Cut > 1.1*round || run.Cut < round/1.1 {
		r.doubt(e.line, fmt.Sprintf("run %d, diameter", i+1), "check both, or leave out one",
			"%s across is %s round, but the length is %s", FormatLength(run.Shape.Diameter, r.inch > 0),
			FormatLength(round, r.inch > 0), FormatLength(run.Cut, r.inch > 0))
	}
}
