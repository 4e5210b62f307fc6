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
}

// wire puts runs in the order the data really takes them.
func wire(p *prop.Prop, faults []Fault) wiring {
	w := wiring{group: 1, sizes: make([]int, len(p.Runs)), of: make([]int, len(p.Runs))}
	seq := make([]int, len(p.Runs))
	back := make([]bool, len(p.Runs))
	for i, r := range p.Runs {
		seq[i], w.sizes[i] = i, r.Pixels
	}
	for _, f := range faults {
		switch f.Kind {
		case Mirrored:
			slices.Reverse(seq)
			for i := range back {
				back[i] = !back[i]
			}
		case RunMirrored:
			back[f.Run] = !back[f.Run]
		case RunsSwapped:
			a, b := slices.Index(seq, f.Run), slices.Index(seq, f.Run2)
			seq[a], seq[b] = seq[b], seq[a]
		case Count:
			w.sizes[f.Run] += f.N
		case Grouped:
			w.group = f.N
		}
	}
	w.pieces = make([]piece, len(seq))
	for i, r := range seq {
		w.pieces[i] = piece{run: r, lights: w.sizes[r], first: w.chips, back: back[r]}
		w.of[r] = i
		w.chips += (w.sizes[r] + w.group - 1) / w.group
	}
	return w
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
