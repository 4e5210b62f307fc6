package power

import (
	"fmt"
	"math"
)

// maxRounds is far above what is ever needed: about ten rounds do.
const maxRounds = 200

// settled is the step, as a share of the supply's voltage, at which Newton's
// method ends: the remaining error is about its square.
const settled = 1e-7

// Sagging solves the ladder with pixels that draw less as their voltage falls.
// draws has one figure a pixel; dst is used again when it is not nil.
//
// The currents and voltages sought are at the minimum of one convex function
// (the content of the copper plus that of the pixels, whose current only ever
// rises with voltage), so Newton's method, with a step shortened where the
// function would rise again, always converges. The content of a two-pole is ∫ I
// dV, for copper g·V²/2 (Millar 1951, from memory). A round costs one fold of
// the ladder.
func (l *Ladder) Sagging(dst *Solution, draws []Draw, law Law) (*Solution, error) {
	n := len(l.dead)
	dst = dst.resize(n, len(l.net.Taps))
	w := l.work(n)
	w.start(l, draws, law)
	for round := range maxRounds {
		w.solve(l)
		worst, end, heat := w.look(l, draws)
		if t := w.stride(l, draws, end, heat); t < 1 {
			w.part(l, draws, t)
			worst = math.Inf(1)
		}
		w.now, w.now1 = w.now1, w.now
		w.cond, w.cond1 = w.cond1, w.cond
		w.v, w.v1 = w.v1, w.v
		w.u, w.u1 = w.u1, w.u
		w.x, w.x1 = w.x1, w.x
		if worst <= settled*l.net.Volts {
			dst.Rounds = round + 1
			l.unpack(dst, w)
			return dst, nil
		}
	}
	return nil, fmt.Errorf("the voltages of the ladder did not settle in %d rounds: look for a resistance or a current far out of range", maxRounds)
}

// newton is the working space of Sagging. Names without a 1 are the current
// point, those with a 1 the end of the round.
type newton struct {
	law          Curve
	u, u1, x, x1 []float64 // both rails, as fold2 has them; x is unused when they are alike
	v, v1        []float64 // volts between the rails
	now, now1    []float64 // current at v
	cond, cond1  []float64 // amps a volt at v
	amps         []float64 // the part of the tangent that flows at any voltage
	half         fold1
	both         fold2
	nobody       bool // no pixel is dead
}

// work is the working space for n pixels, made once for a ladder.
func (l *Ladder) work(n int) *newton {
	if l.newton == nil {
		w := &newton{}
		for _, row := range []*[]float64{&w.u, &w.u1, &w.x, &w.x1, &w.v, &w.v1, &w.now, &w.now1, &w.cond, &w.cond1, &w.amps} {
			*row = make([]float64, n)
		}
		l.newton = w
	}
	l.newton.nobody = l.nDead == 0
	return l.newton
}

// start is at the supply's voltage everywhere.
func (w *newton) start(l *Ladder, draws []Draw, law Law) {
	w.law = law.Curve()
	for i, d := range draws {
		w.v[i], w.u[i], w.x[i] = l.net.Volts, 0, 0
		w.now[i], w.cond[i] = 0, 0
		if w.nobody || !l.dead[i] {
			w.now[i], w.cond[i] = w.law.Amps(d, l.net.Volts)
		}
	}
}

// solve replaces each pixel by its tangent at v, I = now + cond*(V - v), which
// is a fixed current beside a conductance, and solves that ladder.
func (w *newton) solve(l *Ladder) {
	volts := l.net.Volts
	for i, c := range w.cond {
		w.amps[i] = w.now[i] + c*(volts-w.v[i])
	}
	if l.same {
		w.half.solve(l, w.amps, w.cond, w.u1)
		for i, u := range w.u1 {
			w.v1[i] = volts - 2*u
		}
		return
	}
	w.both.solve(l, w.amps, w.cond, w.u1, w.x1)
	for i, u := range w.u1 {
		w.v1[i] = volts - u + w.x1[i]
	}
}

// look works out the pixels at the end of the round: how far the furthest
// moved, the function's slope along the step at its end, and the step's heat in
// the pixels' conductances.
func (w *newton) look(l *Ladder, draws []Draw) (worst, end, heat float64) {
	for i, d := range draws {
		if !w.nobody && l.dead[i] {
			w.now1[i], w.cond1[i] = 0, 0
			continue
		}
		v := w.v1[i]
		dv := v - w.v[i]
		amps, slope := w.law.Amps(d, v)
		w.now1[i], w.cond1[i] = amps, slope
		h := w.cond[i] * dv * dv
		heat += h
		end += (amps-w.now[i])*dv - h
		worst = max(worst, math.Abs(dv))
	}
	return worst, end, heat
}

// stride is the part of the step to take: 1 unless the function climbs steeply
// at the end of it; then a place where its slope along the step is small. With
// H the second derivative, the slope is -dHd at the start, and the copper's
// part of it grows in a straight line.
func (w *newton) stride(l *Ladder, draws []Draw, end, pixels float64) float64 {
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
		s := (t-1)*(copper+pixels) - t*pixels
		for i, d := range draws {
			if w.nobody || !l.dead[i] {
				dv := w.v1[i] - w.v[i]
				amps, _ := w.law.Amps(d, w.v[i]+t*dv)
				s += (amps - w.now[i]) * dv
			}
		}
		if math.Abs(s) <= 0.1*(copper+pixels) {
			return t
		}
		if s > 0 {
			hi = t
		} else {
			lo = t
		}
	}
	return max(lo, 1e-3)
}

// part moves the round's end back to a part t of the step.
func (w *newton) part(l *Ladder, draws []Draw, t float64) {
	for i, d := range draws {
		w.u1[i] = w.u[i] + t*(w.u1[i]-w.u[i])
		w.x1[i] = w.x[i] + t*(w.x1[i]-w.x[i])
		w.v1[i] = w.v[i] + t*(w.v1[i]-w.v[i])
		if w.nobody || !l.dead[i] {
			w.now1[i], w.cond1[i] = w.law.Amps(d, w.v1[i])
		}
	}
}

// stepHeat is the power the step's voltages would turn into heat in the copper.
func (l *Ladder) stepHeat(w *newton) float64 {
	heat := l.plus.stepHeat(l.spans, w.u, w.u1, func(r Rails) float64 { return r.Plus })
	if l.same {
		return 2 * heat
	}
	return heat + l.minus.stepHeat(l.spans, w.x, w.x1, func(r Rails) float64 { return r.Minus })
}

// stepHeat is Σ g·d² over one rail's taps, links and closing joints, watts: d is
// by how much the step changes the volts across each.
func (r *rail) stepHeat(spans []span, from, to []float64, closing func(Rails) float64) (heat float64) {
	before := 0.0
	for i := range r.tap {
		d := to[i] - from[i]
		heat += r.tap[i]*d*d + r.link[i]*(d-before)*(d-before)
		before = d
	}
	for _, sp := range spans {
		if sp.closed {
			d := to[sp.last] - from[sp.last] - to[sp.first] + from[sp.first]
			heat += closing(sp.close) * d * d
		}
	}
	return heat
}

// unpack makes rail voltages of u and x; where both rails are alike minus rises
// by what plus falls.
func (l *Ladder) unpack(dst *Solution, w *newton) {
	for i, u := range w.u {
		dst.Plus[i], dst.Minus[i] = l.net.Volts-u, u
		if !l.same {
			dst.Minus[i] = -w.x[i]
		}
	}
	copy(dst.Amps, w.now)
	l.finish(dst)
}
