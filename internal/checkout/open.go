package checkout

import (
	"math"
	"slices"

	"example.org/ringout/internal/strip"
)

// An Open is what is still open, for a drawing and a line of progress.
type Open struct {
	Sound  float64   // share of a prop without fault
	Whole  float64   // share of faults that have no place of their own
	Pixels []float64 // by pixel of the plan: share of faults that begin there
	Run    []float64 // by run of the plan: share of faults of the run as a whole
	Fits   []bool    // by pixel of the plan: a fault that may well begin there contradicts no more answers than the likeliest
	Left   int       // answers that are likely still needed; 0 when done
}

// bitsAnAnswer is what an answer has told on average, measured over all single
// faults of the demo props.
const bitsAnAnswer = 1.7

// fitPart is the part of the likeliest place's share that a place must have to
// count as open: a joint made by hand is jointWeight times as likely to fail as
// a place inside a run, and some faults are rarer than others.
const fitPart = 0.2 / jointWeight

// Open says how what is still open lies on the prop. Its memory is the
// caller's.
func (s *Session) Open() Open {
	s.settle()
	o := Open{Pixels: make([]float64, s.field.pixels), Run: make([]float64, len(s.field.sizes)), Fits: make([]bool, s.field.pixels)}
	bits := 0.0
	w := s.belief.weights()
	most, fit := s.mostMisses(w), make([]float64, s.field.pixels)
	for i, share := range w {
		if share <= 0 {
			continue
		}
		bits -= share * math.Log2(share)
		if faults := s.belief.hyps[i].faults; len(faults) == 0 {
			o.Sound += share
		} else {
			ft := faults[len(faults)-1]
			s.field.lay(&o, ft, share)
			if sp, ok := s.field.placeOf(ft); ok && s.belief.misses[i] <= most {
				fit[sp.First] += share
			}
		}
	}
	top := slices.Max(fit)
	for i := range fit {
		o.Fits[i] = fit[i] > 0 && fit[i] >= fitPart*top
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
