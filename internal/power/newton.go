package power

import (
	"fmt"
	"math"
)

// maxRounds is far above what is ever needed: about ten rounds do.
const maxRounds = 200

// Sagging solves the ladder with pixels that draw less as their voltage falls.
// draws has one figure a pixel; dst is used again when it is not nil.
//
// The currents and voltages sought are where one convex function is least (the
// content of the copper plus that of the pixels, whose current only ever rises
// with voltage), so Newton's rounds with a step cut short where the function
// would rise again always get there. A round costs one fold of both rails.
func (l *Ladder) Sagging(dst *Solution, draws []Draw, law Law) (*Solution, error) {
	n := len(l.dead)
	dst = dst.room(n, len(l.net.Taps))
	w := l.work(n)
	volts := l.net.Volts
	for i := range n {
		w.v[i], w.u[i], w.x[i] = volts, 0, 0
	}
	for round := 1; round <= maxRounds; round++ {
		l.linearise(w, draws, law)
		l.drops.solve(l, w.amps, w.cond, w.u1, w.x1)
		worst := w.step(l, draws, law)
		if worst <= 1e-11*volts {
			dst.Rounds = round
			l.unpack(dst, w, draws, law)
			return dst, nil
		}
	}
	return nil, fmt.Errorf("the voltages of the ladder did not settle in %d rounds: look for a resistance or a current far out of range", maxRounds)
}

// newton is the working space of Sagging.
type newton struct {
	v, u, x    []float64 // where it stands: volts between the rails, and both rails
	u1, x1     []float64 // where the round leads
	amps, cond []float64 // pixels as a current and a conductance at v
	now        []float64 // current at v
}

func (l *Ladder) work(n int) *newton {
	if l.newton == nil {
		all := make([]float64, 8*n)
		cut := func(k int) []float64 { return all[k*n : (k+1)*n : (k+1)*n] }
		l.newton = &newton{cut(0), cut(1), cut(2), cut(3), cut(4), cut(5), cut(6), cut(7)}
	}
	return l.newton
}

// linearise replaces each pixel by its tangent at v: I = now + cond*(V - v).
// With V = volts - u + x that is a fixed current beside a conductance.
func (l *Ladder) linearise(w *newton, draws []Draw, law Law) {
	volts := l.net.Volts
	for i, d := range draws {
		if l.dead[i] {
			w.now[i], w.amps[i], w.cond[i] = 0, 0, 0
			continue
		}
		amps, slope := law.Amps(d, w.v[i])
		w.now[i], w.cond[i] = amps, slope
		w.amps[i] = amps + slope*(volts-w.v[i])
	}
}

// step moves to the round's result, or part of the way when the whole step
// would climb, and tells how far the voltages moved.
func (w *newton) step(l *Ladder, draws []Draw, law Law) (worst float64) {
	t := w.stride(l, draws, law)
	volts := l.net.Volts
	for i := range w.v {
		w.u[i] += t * (w.u1[i] - w.u[i])
		w.x[i] += t * (w.x1[i] - w.x[i])
		if l.dead[i] {
			continue
		}
		v := volts - w.u[i] + w.x[i]
		worst = math.Max(worst, math.Abs(v-w.v[i]))
		w.v[i] = v
	}
	return worst
}

// stride is the part of the step to take: 1 unless the function climbs at the
// end of it; then the place where its slope along the step is about nothing.
func (w *newton) stride(l *Ladder, draws []Draw, law Law) float64 {
	volts := l.net.Volts
	slope := func(t float64) (sum float64) { // without the part of the copper
		for i, d := range draws {
			if l.dead[i] {
				continue
			}
			dv := volts - w.u1[i] + w.x1[i] - w.v[i]
			amps, _ := law.Amps(d, w.v[i]+t*dv)
			sum += (amps - w.now[i]) * dv
		}
		return sum
	}
	pixels := 0.0 // slope*dv*dv of the tangents
	for i := range w.v {
		dv := volts - w.u1[i] + w.x1[i] - w.v[i]
		pixels += w.cond[i] * dv * dv
	}
	end := slope(1) - pixels
	if end <= 0 {
		return 1
	}
	copper := l.stepHeat(w)
	if end <= 0.3*(copper+pixels) {
		return 1
	}
	lo, hi := 0.0, 1.0
	for range 20 {
		t := (lo + hi) / 2
		s := (t-1)*(copper+pixels) + slope(t) - t*pixels
		if s > 0 {
			hi = t
		} else {
			lo = t
		}
		if math.Abs(s) <= 0.1*(copper+pixels) {
			return t
		}
	}
	return math.Max(lo, 1e-3)
}

// stepHeat is the power the step's voltages would turn into heat in the copper.
func (l *Ladder) stepHeat(w *newton) (heat float64) {
	side := func(r *rail, from, to []float64, closing func(Rails) float64) {
		at := func(i int) float64 { return to[i] - from[i] }
		for i := range r.tap {
			heat += r.tap[i] * at(i) * at(i)
			if i > 0 {
				d := at(i) - at(i-1)
				heat += r.link[i] * d * d
			}
		}
		for _, sp := range l.spans {
			if sp.closed {
				d := at(sp.last) - at(sp.first)
				heat += closing(sp.close) * d * d
			}
		}
	}
	side(&l.plus, w.u, w.u1, func(r Rails) float64 { return r.Plus })
	side(&l.minus, w.x, w.x1, func(r Rails) float64 { return r.Minus })
	return heat
}

func (l *Ladder) unpack(dst *Solution, w *newton, draws []Draw, law Law) {
	for i := range w.v {
		dst.Plus[i], dst.Minus[i] = l.net.Volts-w.u[i], -w.x[i]
		dst.Amps[i] = 0
		if !l.dead[i] {
			dst.Amps[i], _ = law.Amps(draws[i], w.v[i])
		}
	}
	l.finish(dst)
}
