package power

import (
	"math"
	"slices"

	"example.org/ringout/internal/prop"
)

// The parameters that are fitted, in this order; then one for the contacts of
// each feed, plus and minus together, and last, with a fault, the excess at the
// suspect, in one conductor.
const (
	supplyVolts = iota
	drawShare   // of the pixels' current, against the chip's figures
	railShare   // of rails and joints, against the plan
	firstFeed
)

// Deviation of the parameters from the plan, one standard deviation (from
// memory).
const (
	supplySpread = 0.02  // share of the supply's volts
	drawSpread   = 0.15  // share
	railSpread   = 0.20  // share
	feedSpread   = 0.030 // ohms in the contacts of one feed
)

// mostFeeds is how many feeds get a contact parameter each; more feeds share
// one, since each parameter costs a solution of the ladder a step.
const mostFeeds = 12

// mostExtra is the range over which too much resistance is expected, ohms: its
// prior is 1/mostExtra an ohm from 0 up (a choice: a joint with more is open).
const mostExtra = 5.0

// A fitter fits the ladder to readings.
type fitter struct {
	base     *Network // as planned; a copy is changed for each trial
	on       []bool   // of each pixel, whether it gives light
	chip     prop.Chip
	law      Law
	readings []Reading
	groups   []group // one solution of the ladder serves a group
	// The noise of a voltmeter reading that the fit is made under, volts, one
	// standard deviation.
	noise float64
}

// feedFigures is the number of figures for the feeds' contacts.
func (f *fitter) feedFigures() int {
	if n := len(f.base.Taps); n <= mostFeeds {
		return n
	}
	return 1
}

// figures is the number of figures when nothing is wrong, and so the index of the
// suspect's ohms.
func (f *fitter) figures() int { return firstFeed + f.feedFigures() }

// A group is readings taken under one load.
type group struct {
	draw Draw
	at   []int // indexes of readings
}

// A caseFit is the best fit of one case.
type caseFit struct {
	// The figures that fit best, and one standard deviation of each.
	at, sigma []float64
	// Of each reading: measured less predicted volts, in units of the noise.
	residuals []float64
	// Natural logarithm of the evidence (marginal likelihood), up to a constant
	// common to all cases.
	evidence float64
	// The root mean square of the residuals, and the noise of the fit, volts.
	left, noise float64
}

// group gathers readings whose slots were the same: the ladder is solved once
// for each group.
func (f *fitter) group() {
	byDraw := map[Draw]int{}
	for i, r := range f.readings {
		col := r.Colour
		if col.Dark() {
			col = FullWhite()
		}
		d := DrawOf(f.chip, col.Dim(r.Level), 1) // rounded values, as they are sent
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
func (f *fitter) predict(x []float64, s *Suspect) ([]float64, error) {
	n := f.base.clone()
	n.Volts = max(x[supplyVolts], 0.1*f.base.Volts)
	rails := max(x[railShare], 0.05)
	for i := range n.Links {
		n.Links[i].Plus *= rails
		n.Links[i].Minus *= rails
	}
	for i := range n.Taps {
		n.Taps[i].Rails = n.Taps[i].more(x[firstFeed+i%f.feedFigures()] / 2)
	}
	if s != nil && s.Run > 0 {
		n.Links[s.link].Plus = max(0, n.Links[s.link].Plus+x[f.figures()])
	} else if s != nil {
		n.Taps[s.Feed].Plus = max(0, n.Taps[s.Feed].Plus+x[f.figures()])
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

// more adds ohms to both conductors; the sum is at least 0.
func (r Rails) more(ohms float64) Rails {
	return Rails{max(0, r.Plus+ohms), max(0, r.Minus+ohms)}
}

// residuals are the readings less the prediction, in units of their noise: volts
// first, then amps, 0 where none were read.
func (f *fitter) residuals(predicted []float64) []float64 {
	k := len(f.readings)
	out := make([]float64, 2*k)
	for i, r := range f.readings {
		out[i] = (r.Volts - predicted[i]) / f.noise
		if r.Amps > 0 {
			out[k+i] = (r.Amps - predicted[k+i]) / (meterShare * r.Amps)
		}
	}
	return out
}

// A fitState is the current point of a fit.
type fitState struct {
	x         []float64
	residuals []float64
	// The sum to minimise: the squares of the residuals, and of the parameters'
	// distances from the plan in units of their spread. For Gaussian errors it is
	// -2 times the logarithm of likelihood times prior, up to a constant.
	cost float64
}

// evaluate is the state of the fit at x.
func (f *fitter) evaluate(x []float64, s *Suspect) (fitState, error) {
	at, err := f.predict(x, s)
	if err != nil {
		return fitState{}, err
	}
	out := fitState{x: x, residuals: f.residuals(at)}
	for _, m := range out.residuals {
		out.cost += m * m
	}
	plan, wide := f.planned()
	for i := range f.figures() {
		d := (x[i] - plan[i]) / wide[i]
		out.cost += d * d
	}
	return out, nil
}

// planned is the mean and the standard deviation of each figure's prior; the
// suspect's has an infinite one.
func (f *fitter) planned() (plan, wide []float64) {
	plan = []float64{f.base.Volts, 1, 1}
	wide = []float64{supplySpread * f.base.Volts, drawSpread, railSpread}
	for range f.feedFigures() {
		plan, wide = append(plan, 0), append(wide, feedSpread)
	}
	return append(plan, 0), append(wide, math.Inf(1))
}

// fit minimises the cost by Gauss-Newton steps, damped (Levenberg) where they
// would raise it. It begins at the figures of from, if there are any.
func (f *fitter) fit(s *Suspect, from []float64) (caseFit, error) {
	start, _ := f.planned()
	free := f.figures()
	if s != nil {
		start[free], free = 0.1, free+1
	}
	if from != nil {
		copy(start, from)
	}
	at, err := f.evaluate(start, s)
	if err != nil {
		return caseFit{}, err
	}
	damp := 1e-3
	for range 40 {
		a, g, err := f.normal(at, s, free)
		if err != nil {
			return caseFit{}, err
		}
		next, err := f.step(at, a, g, s, free, &damp)
		if err != nil {
			return caseFit{}, err
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

// step returns a point with a lower cost, with more damping at each try, or at
// itself after eight tries.
func (f *fitter) step(at fitState, a [][]float64, g []float64, s *Suspect, free int, damp *float64) (fitState, error) {
	extra := f.figures()
	for range 8 {
		move, _ := solveSmall(a, g, free, *damp)
		if free > extra && at.x[extra] == 0 && move[extra] < 0 {
			move, _ = solveSmall(a, g, extra, *damp) // at 0 Ω: only the others move
			move = append(move, 0)
		}
		x := slices.Clone(at.x)
		for i := range free {
			x[i] += move[i]
		}
		// A resistance below 0 is impossible; below minus the planned one it
		// would change nothing, and any value would seem to fit.
		x[extra] = max(0, x[extra])
		there, err := f.evaluate(x, s)
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

// normal makes the normal equations (JᵀJ + P)·move = Jᵀ·residuals by forward
// differences of 1e-5 (volts, shares or ohms): J is the derivative of the
// predictions by each figure, in noise units, P has 1/spread² on its diagonal.
func (f *fitter) normal(at fitState, s *Suspect, free int) (a [][]float64, g []float64, err error) {
	plan, wide := f.planned()
	rows := make([][]float64, free)
	a, g = make([][]float64, free), make([]float64, free)
	for i := range free {
		const h = 1e-5
		x := slices.Clone(at.x)
		x[i] += h
		there, err := f.evaluate(x, s)
		if err != nil {
			return a, g, err
		}
		rows[i] = there.residuals
		for k, m := range at.residuals {
			rows[i][k] = (m - rows[i][k]) / h // derivative of the prediction
			g[i] += rows[i][k] * m
		}
	}
	for i := range free {
		a[i] = make([]float64, free)
		for j := range free {
			for k := range at.residuals {
				a[i][j] += rows[i][k] * rows[j][k]
			}
		}
		a[i][i] += 1 / (wide[i] * wide[i])
		g[i] -= (at.x[i] - plan[i]) / (wide[i] * wide[i])
	}
	return a, g, nil
}

// summary is the uncertainties and the evidence at the best point. The
// inverse of the normal matrix is the covariance; by Laplace's approximation
// the log of the evidence is -cost/2 - ln(det)/2, and a suspect adds its prior,
// √(2π)/mostExtra, and the part of its Gaussian above 0 Ω.
func (f *fitter) summary(at fitState, a [][]float64, free int) caseFit {
	out := caseFit{at: at.x, sigma: make([]float64, free), residuals: at.residuals[:len(f.readings)], evidence: -at.cost / 2}
	var col []float64
	var logDet float64
	for i := range free {
		unit := make([]float64, free)
		unit[i] = 1
		col, logDet = solveSmall(a, unit, free, 0)
		out.sigma[i] = math.Sqrt(max(col[i], 0))
	}
	out.evidence -= logDet / 2
	if extra := f.figures(); free > extra {
		// a resistance below 0 is impossible: only the part above counts
		above := math.Erfc(-at.x[extra]/out.sigma[extra]/math.Sqrt2) / 2
		out.evidence += math.Log(math.Sqrt(2*math.Pi)/mostExtra) + math.Log(max(above, 1e-300))
	}
	out.noise = f.noise
	sum := 0.0
	for _, m := range out.residuals {
		sum += m * m
	}
	out.left = f.noise * math.Sqrt(sum/float64(len(f.readings)))
	return out
}

// solveSmall solves a*x = g in the first n rows, with a's diagonal raised by a
// share, by Cholesky; it gives the log of the determinant too.
func solveSmall(a [][]float64, g []float64, n int, raise float64) (x []float64, logDet float64) {
	l := make([][]float64, n)
	x = make([]float64, n)
	for i := range n {
		l[i] = make([]float64, n)
		for j := 0; j <= i; j++ {
			sum := a[i][j]
			if i == j {
				sum = sum*(1+raise) + 1e-12
			}
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
