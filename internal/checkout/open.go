package checkout

import (
	"math"
	"slices"

	"example.org/ringout/internal/strip"
)

// An Open is what is still open, for a drawing and a line of progress.
type Open struct {
	Sound   float64   // posterior of a prop without fault
	Unknown float64   // of a fault that is none of the list
	Whole   float64   // posterior of faults that have no place of their own
	Pixels  []float64 // by pixel of the plan: posterior of faults that begin there
	Run     []float64 // by run of the plan: posterior of faults of the run as a whole
	Fits    []bool    // by pixel of the plan: a fault that may well begin there contradicts no more answers than the likeliest
	Left    int       // answers that are likely still needed; 0 when done
}

// bitsAnAnswer is the information in an answer, on average, measured over all single
// faults of the demo props.
const bitsAnAnswer = 1.7

// fitPart is the part of the likeliest place's share that a place must have to
// count as open: a joint made by hand is twenty times as likely to fail as a
// place inside a run, and some faults are rarer than others.
const fitPart = 0.01

// Open says how what is still open lies on the prop. Its memory is the
// caller's.
func (s *Session) Open() Open {
	s.settle()
	o := Open{Pixels: make([]float64, s.field.pixels), Run: make([]float64, len(s.field.sizes)), Fits: make([]bool, s.field.pixels)}
	o.Unknown = s.now.unknown
	bits, fit := 0.0, make([]float64, s.field.pixels)
	most := s.belief.misses[s.now.top]
	for i, share := range s.now.each {
		if share <= 0 {
			continue
		}
		bits -= share * math.Log2(share)
		h := &s.belief.hyps[i]
		if h.sound() {
			o.Sound += share
			continue
		}
		ft := h.faults[len(h.faults)-1]
		s.field.lay(&o, ft, share)
		if places := ft.Places(s.field.prop); len(places) > 0 && s.belief.misses[i] <= most {
			fit[places[0].First] += share
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

// lay adds the posterior of a fault where it sits.
func (f *field) lay(o *Open, ft strip.Fault, share float64) {
	places := ft.Places(f.prop)
	switch scope := strip.FactsOf(ft.Kind).Scope; {
	case scope == strip.Whole || places[0].First == 0 && places[0].Last == f.pixels-1 && f.pixels > 1:
		o.Whole += share
	case scope == strip.TwoRuns:
		o.Run[ft.Run] += share
		o.Run[ft.Run2] += share
	case scope == strip.OneRun:
		o.Run[ft.Run] += share
	default:
		o.Pixels[places[0].First] += share
	}
}
