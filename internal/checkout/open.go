package checkout

import (
	"math"

	"example.org/ringout/internal/strip"
)

// An Open is what is still open, for a drawing and a line of progress.
type Open struct {
	Sound  float64   // share of a prop without fault
	Whole  float64   // share of faults that have no place of their own
	Pixels []float64 // by pixel of the plan: share of faults that begin there
	Run    []float64 // by run of the plan: share of faults of the run as a whole
	Left   int       // answers that are likely still needed; 0 when done
}

// bitsAnAnswer is what an answer has told on average, measured over all single
// faults of the demo props.
const bitsAnAnswer = 1.7

// Open says how what is still open lies on the prop. Its memory is the
// caller's.
func (s *Session) Open() Open {
	s.settle()
	o := Open{Pixels: make([]float64, s.field.pixels), Run: make([]float64, len(s.field.sizes))}
	bits := 0.0
	for i, share := range s.belief.weights() {
		if share <= 0 {
			continue
		}
		bits -= share * math.Log2(share)
		if faults := s.belief.hyps[i].faults; len(faults) == 0 {
			o.Sound += share
		} else {
			s.field.lay(&o, faults[len(faults)-1], share)
		}
	}
	if !s.Done() {
		o.Left = max(1, int(math.Ceil(bits/bitsAnAnswer)))
	}
	return o
}

// lay adds the share of a fault where it sits.
func (f *field) lay(o *Open, ft strip.Fault, share float64) {
	sp, ok := f.placeOf(ft)
	switch {
	case !ok || sp.First == 0 && sp.Last == f.pixels-1 && f.pixels > 1:
		o.Whole += share
	case ft.Kind == strip.RunBackwards || ft.Kind == strip.RunMirrored || ft.Kind == strip.RunsSwapped || ft.Kind == strip.Count:
		o.Run[ft.Run] += share
		if ft.Kind == strip.RunsSwapped {
			o.Run[ft.Run2] += share
		}
	default:
		o.Pixels[sp.First] += share
	}
}
