package power

import (
	"math"

	"example.org/ringout/internal/prop"
)

// The figures that are fitted. The last is left out when nothing is wrong.
const (
	supplyVolts = iota
	drawShare   // of the pixels' current, against the chip's figures
	railShare   // of rails and joints, against the plan
	feedOhms2   // at every feed alike, plus and minus together
	extraOhms   // at the suspect, in one conductor
	numFigures
)

// spread of the figures about the plan (from memory of how parts vary): supply
// 2 %, currents 15 %, rails 20 %, contacts of a feed 30 milliohms.
func figureSpread(volts float64) [numFigures]float64 {
	return [numFigures]float64{0.02 * volts, 0.15, 0.20, 0.030, math.Inf(1)}
}

// mostExtra is the range over which too much resistance is expected, ohms.
const mostExtra = 5.0

// A fitter fits the ladder to readings.
type fitter struct {
	base     *Network
	on       []bool // of each pixel, whether it gives light
	chip     prop.Chip
	law      Law
	readings []Reading
	groups   []group
}

// A group is readings taken under one load.
type group struct {
	draw Draw
	at   []int // places in readings
}

// fitted is the best fit of one case.
type fitted struct {
	at, sigma [numFigures]float64
	evidence  float64 // log of how well the case explains the readings
	left      float64 // root mean square of what is left, volts
}

func (f *fitter) group() {
	byDraw := map[Draw]int{}
	for i, r := range f.readings {
		col := r.Colour
		if col.Dark() {
			col = FullWhite()
		}
		d := DrawOf(f.chip, col.Dim(r.Level), 1) // whole values, as they go out
		g, ok := byDraw[d]
		if !ok {
			g = len(f.groups)
			byDraw[d] = g
			f.groups = append(f.groups, group{draw: d})
		}
		f.groups[g].at = append(f.groups[g].at, i)
	}
}

// predict gives each reading's voltage, then each reading's supply current.
func (f *fitter) predict(x [numFigures]float64, s *Suspect) ([]float64, error) {
	n := f.base.clone()
	n.Volts = max(x[supplyVolts], 0.1*f.base.Volts)
	rails := max(x[railShare], 0.05)
	for i := range n.Links {
		n.Links[i].Plus *= rails
		n.Links[i].Minus *= rails
	}
	for i := range n.Taps {
		n.Taps[i].Rails = n.Taps[i].more(x[feedOhms2] / 2)
	}
	if s != nil && s.Run > 0 {
		n.Links[s.link].Plus = max(0, n.Links[s.link].Plus+x[extraOhms])
	} else if s != nil {
		n.Taps[s.Feed].Plus = max(0, n.Taps[s.Feed].Plus+x[extraOhms])
	}
	l, err := NewLadder(n)
	if err != nil {
		return nil, err
	}
	share := max(x[drawShare], 0.05)
	out := make([]float64, 2*len(f.readings))
	var sol *Solution
	for _, g := range f.groups {
		d := Draw{g.draw.Idle * share, g.draw.Red * share, g.draw.Rest * share}
		if sol, err = l.Sagging(sol, draws(f.on, d), f.law); err != nil {
			return nil, err
		}
		for _, i := range g.at {
			out[i], out[len(f.readings)+i] = sol.Volts(f.readings[i].Pixel), sol.Total
		}
	}
	return out, nil
}

// more adds ohms to both conductors, never below none at all.
func (r Rails) more(ohms float64) Rails {
	return Rails{max(0, r.Plus+ohms), max(0, r.Minus+ohms)}
}

// misses are the readings less the prediction, in units of the meter's noise.
func (f *fitter) misses(predicted []float64) []float64 {
	k := len(f.readings)
	out := make([]float64, 2*k)
	for i, r := range f.readings {
		out[i] = (r.Volts - predicted[i]) / meterVolts
		if r.Amps > 0 {
			out[k+i] = (r.Amps - predicted[k+i]) / (meterShare * r.Amps)
		}
	}
	return out
}

// A stand is where a fit has got to.
type stand struct {
	x      [numFigures]float64
	misses []float64
	cost   float64 // what is to be made least: squares of misses, and of figures off the plan
}

// stand works out how well x explains the readings.
func (f *fitter) stand(x [numFigures]float64, s *Suspect) (stand, error) {
	at, err := f.predict(x, s)
	if err != nil {
		return stand{}, err
	}
	out := stand{x: x, misses: f.misses(at)}
	for _, m := range out.misses {
		out.cost += m * m
	}
	plan, wide := f.planned()
	for i := range x {
		d := (x[i] - plan[i]) / wide[i]
		out.cost += d * d
	}
	return out, nil
}

// planned is the figures as planned and how far they usually lie off.
func (f *fitter) planned() (plan, wide [numFigures]float64) {
	return [numFigures]float64{f.base.Volts, 1, 1, 0, 0}, figureSpread(f.base.Volts)
}

// fit finds the figures that explain the readings best, by Gauss-Newton steps
// that are shortened (Levenberg) where they would make things worse.
func (f *fitter) fit(s *Suspect) (fitted, error) {
	start, _ := f.planned()
	free := numFigures - 1
	if s != nil {
		free, start[extraOhms] = numFigures, 0.1
	}
	at, err := f.stand(start, s)
	if err != nil {
		return fitted{}, err
	}
	damp := 1e-3
	for range 40 {
		a, g, err := f.normal(at, s, free)
		if err != nil {
			return fitted{}, err
		}
		next, err := f.step(at, a, g, s, free, &damp)
		if err != nil {
			return fitted{}, err
		}
		done := at.cost-next.cost <= 1e-6*(1+next.cost)
		at = next
		if done {
			break
		}
	}
	a, _, err := f.normal(at, s, free)
	return f.summary(at, a, free), err
}

// step goes to a better place, with ever shorter steps, or stays.
func (f *fitter) step(at stand, a [numFigures][numFigures]float64, g [numFigures]float64, s *Suspect, free int, damp *float64) (stand, error) {
	for range 8 {
		move, _ := solveSmall(a, g, free, *damp)
		if free == numFigures && at.x[extraOhms] == 0 && move[extraOhms] < 0 {
			move, _ = solveSmall(a, g, free-1, *damp) // at the wall: the others move alone
			move[extraOhms] = 0
		}
		x := at.x
		for i := range free {
			x[i] += move[i]
		}
		// Resistance below none is no answer, and past what the plan gives the
		// place it would change nothing, so that anything would seem to fit.
		x[extraOhms] = max(0, x[extraOhms])
		there, err := f.stand(x, s)
		if err != nil {
			return at, err
		}
		if there.cost < at.cost {
			*damp = max(*damp/5, 1e-9)
			return there, nil
		}
		*damp *= 5
	}
	return at, nil
}

// normal makes the normal equations by forward differences.
func (f *fitter) normal(at stand, s *Suspect, free int) (a [numFigures][numFigures]float64, g [numFigures]float64, err error) {
	plan, wide := f.planned()
	rows := make([][]float64, free)
	for i := range free {
		const h = 1e-5
		x := at.x
		x[i] += h
		there, err := f.stand(x, s)
		if err != nil {
			return a, g, err
		}
		rows[i] = there.misses
		for k, m := range at.misses {
			rows[i][k] = (m - rows[i][k]) / h // how the prediction rises, in noise units
			g[i] += rows[i][k] * m
		}
	}
	for i := range free {
		for j := range free {
			for k := range at.misses {
				a[i][j] += rows[i][k] * rows[j][k]
			}
		}
		a[i][i] += 1 / (wide[i] * wide[i])
		g[i] -= (at.x[i] - plan[i]) / (wide[i] * wide[i])
	}
	return a, g, nil
}

// summary gives the uncertainties and the evidence at the best place.
func (f *fitter) summary(at stand, a [numFigures][numFigures]float64, free int) fitted {
	out := fitted{at: at.x, evidence: -at.cost / 2}
	for i := range free {
		var unit [numFigures]float64
		unit[i] = 1
		col, logDet := solveSmall(a, unit, free, 0)
		out.sigma[i] = math.Sqrt(max(col[i], 0))
		if i == 0 {
			out.evidence -= logDet / 2
		}
	}
	if free == numFigures {
		// resistance below none is no answer: only the part above counts
		above := math.Erfc(-at.x[extraOhms]/out.sigma[extraOhms]/math.Sqrt2) / 2
		out.evidence += math.Log(math.Sqrt(2*math.Pi)/mostExtra) + math.Log(max(above, 1e-300))
	}
	sum := 0.0
	for i := range f.readings {
		sum += at.misses[i] * at.misses[i]
	}
	out.left = meterVolts * math.Sqrt(sum/float64(len(f.readings)))
	return out
}

// solveSmall solves a*x = g in the first n rows, with a's diagonal raised by a
// share, by Cholesky; it gives the log of the determinant too.
func solveSmall(a [numFigures][numFigures]float64, g [numFigures]float64, n int, raise float64) (x [numFigures]float64, logDet float64) {
	var l [numFigures][numFigures]float64
	for i := range n {
		a[i][i] = a[i][i]*(1+raise) + 1e-12
		for j := 0; j <= i; j++ {
			sum := a[i][j]
			for k := range j {
				sum -= l[i][k] * l[j][k]
			}
			if i == j {
				l[i][i] = math.Sqrt(max(sum, 1e-12))
				logDet += 2 * math.Log(l[i][i])
			} else {
				l[i][j] = sum / l[j][j]
			}
		}
	}
	for i := range n {
		x[i] = g[i]
		for k := range i {
			x[i] -= l[i][k] * x[k]
		}
		x[i] /= l[i][i]
	}
	for i := n - 1; i >= 0; i-- {
		for k := i + 1; k < n; k++ {
			x[i] -= l[k][i] * x[k]
		}
		x[i] /= l[i][i]
	}
	return x, logDet
}
