package strip

import (
	"slices"

	"example.org/ringout/internal/prop"
)

// A piece is a run as it is actually wired.
type piece struct {
	run    int  // of the plan, from 0
	lights int  // lights on it
	first  int  // its first chip, counted along the wire from 0
	back   bool // data runs from the plan's last place to its first
	// Its first byte of the stream, set by beginRun.
	from int
}

// A wiring is the order of the runs along the data, as faults change it.
type wiring struct {
	pieces []piece
	group  int // lights a chip drives
	chips  int // along the whole wire, those before the first not counted
	// Of each run of the plan: its lights, and its index in pieces.
	sizes, of []int

	// Runs in the order the data takes them.
	seq []int
	// Of each run of the plan: whether the data runs backwards through it, and the
	// run that shares its data line, or -1.
	back []bool
	like []int
	// Hidden chips before the first, each taking a pixel's bytes.
	hiddenChips int
	straight    bool // no fault changes the wiring
}

// resize makes slices for n runs, in the old memory if it is large enough.
func (w *wiring) resize(n int) {
	w.pieces, w.back = slices.Grow(w.pieces[:0], n)[:n], slices.Grow(w.back[:0], n)[:n]
	for _, ints := range []*[]int{&w.sizes, &w.of, &w.seq, &w.like} {
		*ints = slices.Grow((*ints)[:0], n)[:n]
	}
}

// wire sets the runs in the order of the data.
func (w *wiring) wire(p *prop.Prop, faults []Fault, rows []*row) {
	w.resize(len(p.Runs))
	w.group, w.chips, w.hiddenChips, w.straight = 1, 0, 0, true
	for i, r := range p.Runs {
		w.seq[i], w.back[i], w.sizes[i], w.like[i] = i, false, r.Pixels, -1
	}
	for k, f := range faults {
		if rows[k].wire != nil {
			rows[k].wire(w, f)
			w.straight = false
		}
	}
	for i, r := range w.seq {
		w.pieces[i] = piece{run: r, lights: w.sizes[r], first: w.chips, back: w.back[r]}
		w.of[r] = i
		w.chips += (w.sizes[r] + w.group - 1) / w.group
	}
}

// chip is the number, along the wire, of the chip at a place of a run.
func (w *wiring) chip(run, place int) int {
	pc := w.pieces[w.of[run]]
	if pc.back {
		place = pc.lights - 1 - place
	}
	return pc.first + place/w.group
}

// place is the place in its run of the first light of a chip.
func (w *wiring) place(pc piece, chip int) int {
	i := (chip - pc.first) * w.group
	if pc.back {
		return pc.lights - 1 - i
	}
	return i
}
