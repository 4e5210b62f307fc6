package checkout

import (
	"math"
	"slices"

	"example.org/ringout/internal/strip"
)

// An Open is the posterior spread over the prop, for a drawing and a line of
// progress.
type Open struct {
	Sound   float64   // posterior of a prop without fault
	Unknown float64   // posterior of a fault outside the list
	Whole   float64   // posterior of faults of the whole prop
	Pixels  []float64 // by pixel of the plan: posterior of faults that begin there
	Run     []float64 // by run of the plan: posterior of faults of the run as a whole
	Fits    []bool    // by pixel of the plan: a fault that contradicts no more answers than the likeliest may begin there, see fitPart
	Left    int       // estimated number of answers still needed, of a sound prop those to sign it off; 0 when done
}

// bitsAnAnswer is the mean information of an answer in bits, measured over all
// single faults of the demo props.
const bitsAnAnswer = 1.7

// fitPart is the least posterior of a place that counts as open, as a part of
// the likeliest place's. It is low since a joint made by hand is twenty times as
// likely to fail as a place inside a run, and some faults are rarer than others.
const fitPart = 0.01

// Open returns the posterior by place. The caller owns its slices.
func (s *Session) Open() Open {
	s.decide()
	o := Open{Pixels: make([]float64, s.field.pixels), Run: make([]float64, len(s.field.sizes)), Fits: make([]bool, s.field.pixels)}
	o.Unknown = s.now.unknown
	bits, fit := 0.0, make([]float64, s.field.pixels)
	most := s.belief.contradicted[s.now.top]
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
		s.field.addShare(&o, ft, share)
		if places := ft.Places(s.field.prop); len(places) > 0 && s.belief.contradicted[i] <= most {
			fit[places[0].First] += share
		}
	}
	top := slices.Max(fit)
	for i := range fit {
		o.Fits[i] = fit[i] > 0 && fit[i] >= fitPart*top
	}
	if !s.Done() {
		o.Left = max(1, int(math.Ceil((1-o.Sound)*bits/bitsAnAnswer+o.Sound*float64(s.looksLeft()))))
	}
	return o
}

// addShare adds the posterior of a fault at its place.
func (f *field) addShare(o *Open, ft strip.Fault, share float64) {
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
