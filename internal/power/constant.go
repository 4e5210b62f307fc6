package power

import "slices"

// A Solution is the voltages and currents of a ladder under one load.
type Solution struct {
	Plus, Minus []float64 // volts of each rail at each pixel, against the supply's minus
	Amps        []float64 // current of each pixel
	Taps        []Rails   // current in the plus and in the minus wire of each tap
	Total       float64   // out of the supply
	Lowest      float64   // the least voltage at a pixel, between its rails
	At          int       // the pixel that has it
	Dead        int       // pixels that a rail does not reach at all; they have 0 V
	DeadAt      int       // the first of them, when there are any
	Rounds      int       // Newton rounds; 0 with constant current
}

// Volts is the voltage at a pixel, between its rails.
func (s *Solution) Volts(pixel int) float64 { return s.Plus[pixel] - s.Minus[pixel] }

// Constant solves the ladder with pixels that draw the given amps whatever
// their voltage. Voltages below zero mean that the copper cannot carry so
// much. amps has one figure a pixel. A dead pixel draws nothing. dst is used
// again when it is not nil; once it has room nothing is allocated.
func (l *Ladder) Constant(dst *Solution, amps []float64) *Solution {
	dst = dst.room(len(l.dead), len(l.net.Taps))
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

func (s *Solution) room(pixels, taps int) *Solution {
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

// carry hands the pixels' currents on from the last to the first, then works
// the drops against the supply out from the first to the last, into drop.
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

// back goes from the first pixel to the last and completes the drops.
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

// finish fills in what follows from the rail voltages.
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
