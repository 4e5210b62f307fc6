package power

import (
	"fmt"
	"math"
)

// maxRounds is far above the usual number of about ten.
const maxRounds = 200

// settled is the step, as a share of the supply's voltage, at which Newton's
// method ends: the remaining error is about its square.
const settled = 1e-7

// Sagging solves the ladder with pixels that draw less as their voltage falls.
// draws has one figure a pixel; dst is reused when it is not nil. The error says
// that maxRounds were not enough.
//
// The solution is the minimum of a convex function, the content of the copper
// plus that of the pixels, whose current never falls as their voltage rises. So
// Newton's method always converges if a step on which the function rises again
// is shortened. The content of a two-pole is ∫ I dV, for copper g·V²/2 (Millar
// 1951, from memory). A round costs one fold of the ladder.
func (l *Ladder) Sagging(dst *Solution, draws []Draw, law Law) (*Solution, error) {
	n := len(l.dead)
	dst = dst.resize(n, len(l.net.Taps))
	w := l.work(n)
	w.start(l, draws, law)
	for round := range maxRounds {
		w.solve(l)
		worst, end, heat := w.evaluate(l, draws)
		if t := w.stepLength(l, draws, end, heat); t < 1 {
			w.shorten(l, draws, t)
			worst = l.net.Volts // not settled
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
	noneDead     bool // every pixel has supply
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
	l.newton.noneDead = l.nDead == 0
	return l.newton
}

// start sets every pixel to the supply's voltage.
func (w *newton) start(l *Ladder, draws []Draw, law Law) {
	w.law = law.Curve()
	for i, d := range draws {
		w.v[i], w.u[i], w.x[i] = l.net.Volts, 0, 0
		w.now[i], w.cond[i] = 0, 0
		if w.noneDead || !l.dead[i] {
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

// evaluate sets the pixels' currents and slopes at the end of the step. worst is
// the largest change of a voltage, end the function's slope along the step at its
// end, heat the sum of cond·dv² over the pixels.
func (w *newton) evaluate(l *Ladder, draws []Draw) (worst, end, heat float64) {
	for i, d := range draws {
		if !w.noneDead && l.dead[i] {
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

// stepLength is the part of the step to take: 1 unless the function rises steeply
// at its end, else a point where the slope along the step is small, found by
// bisection. With second derivative H and step d the slope is -dHd at the start;
// the copper's part of it changes linearly along the step.
func (w *newton) stepLength(l *Ladder, draws []Draw, end, pixels float64) float64 {
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
			if w.noneDead || !l.dead[i] {
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

// shorten moves the end of the step back to a part t of it.
func (w *newton) shorten(l *Ladder, draws []Draw, t float64) {
	for i, d := range draws {
		w.u1[i] = w.u[i] + t*(w.u1[i]-w.u[i])
		w.x1[i] = w.x[i] + t*(w.x1[i]-w.x[i])
		w.v1[i] = w.v[i] + t*(w.v1[i]-w.v[i])
		if w.noneDead || !l.dead[i] {
			w.now1[i], w.cond1[i] = w.law.Amps(d, w.v1[i])
		}
	}
}

// stepHeat is Σ g·d² of the copper for the step, see rail.stepHeat.
func (l *Ladder) stepHeat(w *newton) float64 {
	heat := l.plus.stepHeat(l.spans, w.u, w.u1, func(r Rails) float64 { return r.Plus })
	if l.same {
		return 2 * heat
	}
	return heat + l.minus.stepHeat(l.spans, w.x, w.x1, func(r Rails) float64 { return r.Minus })
}

// stepHeat is Σ g·d² over one rail's taps, links and closing joints, watts: d is
// the change of the voltage across each in the step.
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

// unpack makes rail voltages of u and x. With equal rails minus rises as far as
// plus falls.
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
