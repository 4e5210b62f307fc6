package power

// fold1 solves a ladder with equal rails and a conductance between the rails at
// every pixel. By symmetry the minus rail rises as far as the plus rail falls,
// so one rail is enough: a conductance c between the rails becomes one of 2c to
// the supply. All values are 0 or more and nothing is subtracted, so no digits
// are lost.
//
// With V volts from the supply, plus is at V - u and minus at u. A pixel has
// V - 2u, so its conductance c draws c·V - 2c·u; amps includes the first term.
type fold1 struct {
	// Shares, 0 to 1, of a pixel's current that go on to the pixel before and to
	// the hub of its loop.
	next, hub []float64
}

// solve computes u, the drop of plus below the supply at each pixel, volts. Pixel
// i draws amps[i] at any voltage, and has cond[i] siemens between the rails.
func (f *fold1) solve(l *Ladder, amps, cond, u []float64) {
	if len(f.next) < len(amps) {
		f.next, f.hub = make([]float64, len(amps)), make([]float64, len(amps))
	}
	g, j := 0.0, 0.0 // of all later pixels: conductance to the supply, siemens; current, amps
	tap, link := l.plus.tap, l.plus.link
	for s := len(l.spans) - 1; s >= 0; s-- {
		sp := l.spans[s]
		if sp.closed {
			g, j = f.foldLoop(l, sp, amps, cond, u, g, j)
			continue
		}
		for i := sp.last; i >= sp.first; i-- {
			g += tap[i] + 2*cond[i]
			j += amps[i]
			inv := reciprocal(g + link[i])
			next := link[i] * inv
			u[i], f.next[i] = j*inv, next
			g, j = g*next, j*next
		}
	}
	f.back(l, u)
}

// foldLoop folds a closed span. Its pixels also have a conductance h to its first
// pixel, the hub; hubG and hubJ sum their conductance and current there.
func (f *fold1) foldLoop(l *Ladder, sp span, amps, cond, u []float64, g, j float64) (float64, float64) {
	tap, link := l.plus.tap, l.plus.link
	h, hubG, hubJ := sp.close.Plus, 0.0, 0.0
	for i := sp.last; i > sp.first; i-- {
		g += tap[i] + 2*cond[i]
		j += amps[i]
		inv := reciprocal(g + h + link[i])
		next, hub := link[i]*inv, h*inv
		u[i], f.next[i], f.hub[i] = j*inv, next, hub
		hubG, hubJ = hubG+g*hub, hubJ+j*hub
		g, h, j = g*next, h*next, j*next
	}
	i := sp.first
	g += tap[i] + 2*cond[i] + hubG
	j += amps[i] + hubJ
	inv := reciprocal(g + link[i])
	next := link[i] * inv
	u[i], f.next[i] = j*inv, next
	return g * next, j * next
}

// back completes the drops, from the first pixel to the last.
func (f *fold1) back(l *Ladder, u []float64) {
	before := 0.0
	for _, sp := range l.spans {
		if !sp.closed {
			for i := sp.first; i <= sp.last; i++ {
				before = u[i] + f.next[i]*before
				u[i] = before
			}
			continue
		}
		before = u[sp.first] + f.next[sp.first]*before
		hub := before
		u[sp.first] = hub
		for i := sp.first + 1; i <= sp.last; i++ {
			before = u[i] + f.next[i]*before + f.hub[i]*hub
			u[i] = before
		}
	}
}
