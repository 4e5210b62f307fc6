package power

import "slices"

// A Solution is the voltages and currents of a ladder under one load.
type Solution struct {
	// Volts of each rail at each pixel, against the supply's minus: the minus
	// rail is above 0 by its voltage drop.
	Plus, Minus []float64
	// Amps of each pixel, and in the plus and the minus wire of each tap: towards
	// the pixels in plus, away from them in minus.
	Amps []float64
	Taps []Rails
	// Amps out of the supply.
	Total float64
	// The least voltage at a pixel, between its rails, and the pixel that has it.
	Lowest float64
	At     int
	// Number of pixels that a rail does not reach, which have 0 V, and the
	// first of them if there are any.
	Dead, DeadAt int
	// Newton rounds; 0 with constant current.
	Rounds int
}

// Volts is the voltage at a pixel, between its rails.
func (s *Solution) Volts(pixel int) float64 { return s.Plus[pixel] - s.Minus[pixel] }

// Constant solves the ladder with pixels that draw the given amps whatever
// their voltage. A voltage below zero means that the copper cannot carry that
// current. amps has one figure a pixel. A dead pixel draws nothing. dst is
// reused when it is not nil; if it is large enough nothing is allocated.
func (l *Ladder) Constant(dst *Solution, amps []float64) *Solution {
	dst = dst.resize(len(l.dead), len(l.net.Taps))
	copy(dst.Amps, amps)
	if l.nDead > 0 {
		for i, dead := range l.dead {
			if dead {
				dst.Amps[i] = 0
			}
		}
	}
	l.plus.carry(l.spans, dst.Amps, dst.Plus)
	if l.same {
		copy(dst.Minus, dst.Plus)
	} else {
		l.minus.carry(l.spans, dst.Amps, dst.Minus)
	}
	volts := l.net.Volts
	for i := range dst.Plus {
		dst.Plus[i] = volts - dst.Plus[i]
	}
	dst.Rounds = 0
	l.finish(dst)
	return dst
}

// resize makes a solution fit; one allocation holds all three rows of pixels.
func (s *Solution) resize(pixels, taps int) *Solution {
	if s == nil {
		s = &Solution{}
	}
	if cap(s.Plus) < pixels {
		all := make([]float64, 3*pixels)
		s.Plus, s.Minus, s.Amps = all[:pixels:pixels], all[pixels:2*pixels:2*pixels], all[2*pixels:]
	}
	s.Plus, s.Minus, s.Amps = s.Plus[:pixels], s.Minus[:pixels], s.Amps[:pixels]
	if cap(s.Taps) < taps {
		s.Taps = make([]Rails, taps)
	}
	s.Taps = s.Taps[:taps]
	return s
}

// carry computes the voltage drops below the supply, volts, into drop. The first
// pass sums the pixels' currents from the last pixel to the first, the second
// goes from the first to the last. With j amps that reach pixel i and g siemens
// in all there, drop[i] = j/g + (link/g)·drop[i-1].
func (r *rail) carry(spans []span, amps, drop []float64) {
	j := 0.0
	for s := len(spans) - 1; s >= 0; s-- {
		sp := spans[s]
		if sp.closed {
			j = r.carryLoop(sp, amps, drop, j)
			continue
		}
		for i := sp.last; i >= sp.first; i-- {
			j += amps[i]
			drop[i] = j * r.inv[i]
			j *= r.next[i]
		}
	}
	r.back(spans, drop)
}

// back is the second pass of carry.
func (r *rail) back(spans []span, drop []float64) {
	before := 0.0
	for _, sp := range spans {
		before = drop[sp.first] + r.next[sp.first]*before
		drop[sp.first] = before
		hub := before
		for i := sp.first + 1; i <= sp.last; i++ {
			before = drop[i] + r.next[i]*before
			if sp.closed {
				before += r.hub[i] * hub
			}
			drop[i] = before
		}
	}
}

// carryLoop is the first pass of carry within a closed span: a share of each
// pixel's current goes directly to the hub, the span's first pixel, which comes
// last.
func (r *rail) carryLoop(sp span, amps, drop []float64, j float64) float64 {
	hub := 0.0
	for i := sp.last; i > sp.first; i-- {
		j += amps[i]
		drop[i] = j * r.inv[i]
		hub += j * r.hub[i]
		j *= r.next[i]
	}
	j += amps[sp.first] + hub
	drop[sp.first] = j * r.inv[sp.first]
	return j * r.next[sp.first]
}

// finish fills in the values that follow from the rail voltages: a tap carries
// its conductance times its rail's distance from the supply (Ohm's law).
func (l *Ladder) finish(s *Solution) {
	for k, t := range l.net.Taps {
		s.Taps[k] = Rails{conductance(t.Plus) * (l.net.Volts - s.Plus[t.Pixel]), conductance(t.Minus) * s.Minus[t.Pixel]}
	}
	if l.nDead > 0 {
		for i, dead := range l.dead {
			if dead {
				s.Plus[i], s.Minus[i] = 0, 0
			}
		}
	}
	s.DeadAt = max(0, slices.Index(l.dead, true))
	s.Lowest, s.At, s.Dead, s.Total = s.Volts(0), 0, l.nDead, 0
	for i := range s.Plus {
		if v := s.Plus[i] - s.Minus[i]; v < s.Lowest {
			s.Lowest, s.At = v, i
		}
		s.Total += s.Amps[i]
	}
}
