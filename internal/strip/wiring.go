package strip

import (
	"slices"

	"example.org/ringout/internal/prop"
)

// A piece is a run as it is really wired.
type piece struct {
	run    int
	lights int  // lights on it
	first  int  // its first chip, counted along the wire
	back   bool // data runs from the plan's last place to its first
}

// A wiring is the way the data takes through the runs, after the faults that
// concern it.
type wiring struct {
	pieces []piece
	group  int   // lights a chip drives
	chips  int   // along the whole wire
	sizes  []int // lights of each run of the plan
	of     []int // index in pieces of each run of the plan

	seq  []int  // runs in the order the data takes them
	back []bool // by run of the plan
}

// room makes slices for n runs, in memory that is there if it will do.
func (w *wiring) room(n int) {
	if cap(w.pieces) < n {
		ints := make([]int, 3*n)
		w.sizes, w.of, w.seq = ints[:n:n], ints[n:2*n:2*n], ints[2*n:]
		w.pieces, w.back = make([]piece, n), make([]bool, n)
	}
	w.pieces, w.sizes, w.of, w.seq, w.back = w.pieces[:n], w.sizes[:n], w.of[:n], w.seq[:n], w.back[:n]
}

// wire puts runs in the order the data really takes them.
func (w *wiring) wire(p *prop.Prop, faults []Fault) {
	w.room(len(p.Runs))
	w.group, w.chips = 1, 0
	for i, r := range p.Runs {
		w.seq[i], w.back[i], w.sizes[i] = i, false, r.Pixels
	}
	for _, f := range faults {
		switch f.Kind {
		case Mirrored:
			slices.Reverse(w.seq)
			for i := range w.back {
				w.back[i] = !w.back[i]
			}
		case RunMirrored:
			w.back[f.Run] = !w.back[f.Run]
		case RunsSwapped:
			a, b := slices.Index(w.seq, f.Run), slices.Index(w.seq, f.Run2)
			w.seq[a], w.seq[b] = w.seq[b], w.seq[a]
		case Count:
			w.sizes[f.Run] += f.N
		case Grouped:
			w.group = f.N
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
