package strip

import (
	"slices"

	"example.org/ringout/internal/prop"
)

// A piece is a run as it is really wired.
type piece struct {
	run    int  // of the plan, from 0
	lights int  // lights on it
	first  int  // its first chip, counted along the wire from 0
	back   bool // data runs from the plan's last place to its first
	// First byte of the stream for it, once that is known.
	from int
}

// A wiring is the way the data takes through the runs, after the faults that
// concern it.
type wiring struct {
	pieces []piece
	group  int // lights a chip drives
	chips  int // along the whole wire, those before the first not counted
	// Of each run of the plan: its lights, and its index in pieces.
	sizes, of []int

	// Runs in the order the data takes them.
	seq []int
	// Of each run of the plan: whether the data runs backwards through it, and
	// the run it is fed side by side with, or -1.
	back []bool
	like []int
	// Hidden chips before the first, each taking a pixel's bytes.
	lead     int
	straight bool // as planned
}

// resize makes slices for n runs, in memory that is there if it will do.
func (w *wiring) resize(n int) {
	w.pieces, w.back = slices.Grow(w.pieces[:0], n)[:n], slices.Grow(w.back[:0], n)[:n]
	for _, ints := range []*[]int{&w.sizes, &w.of, &w.seq, &w.like} {
		*ints = slices.Grow((*ints)[:0], n)[:n]
	}
}

// wire puts runs in the order the data really takes them.
func (w *wiring) wire(p *prop.Prop, faults []Fault, rows []*row) {
	w.resize(len(p.Runs))
	w.group, w.chips, w.lead, w.straight = 1, 0, 0, true
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

// chip is where along the wire the plan's place in a run is reached.
func (w *wiring) chip(run, place int) int {
	pc := w.pieces[w.of[run]]
	if pc.back {
		place = pc.lights - 1 - place
	}
	return pc.first + place/w.group
}

// place is the place in its run of the first light of a chip of the piece.
func (w *wiring) place(pc piece, chip int) int {
	i := (chip - pc.first) * w.group
	if pc.back {
		return pc.lights - 1 - i
	}
	return i
}
