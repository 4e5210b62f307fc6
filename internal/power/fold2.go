package power

// fold2 solves a ladder with unequal rails and a conductance between the rails
// at every pixel: one round of Newton's method for sagging pixels.
//
// The unknowns at a pixel are u, the drop of plus below the supply, and x, the
// negative voltage of the minus rail. The pixel has volts - u + x, so a
// conductance between the rails is an edge between u and x. The pixels are
// removed by the star-mesh rule of NewLadder, u before x.
type fold2 struct {
	rows []row2
	hubs []hubRow2 // used inside closed spans only
}

// row2 holds the coefficients of the second pass: u = u0 + ux*x + uu*u', and x
// = x0 + xu*u' + xx*x', where u' and x' belong to the pixel before. u0 and x0
// are volts, the rest shares from 0 to 1.
type row2 struct{ u0, ux, uu, x0, xu, xx float64 }

// hubRow2 adds the shares of the hub's u and x.
type hubRow2 struct{ uU, uX, xU, xX float64 }

// carry2 sums the folded pixels for the pixel before them: conductance to the
// supply from plus and from minus (a, b) and between the rails (c), siemens, and
// current drawn from each rail (j, k), amps.
type carry2 struct{ a, b, c, j, k float64 }

// solve computes u and x, volts. Pixel i draws amps[i] at any voltage, and has
// cond[i] siemens between the rails.
func (f *fold2) solve(l *Ladder, amps, cond, u, x []float64) {
	if len(f.rows) < len(amps) {
		f.rows = make([]row2, len(amps))
		f.hubs = make([]hubRow2, len(amps))
	}
	var c carry2
	for s := len(l.spans) - 1; s >= 0; s-- {
		if sp := l.spans[s]; sp.closed {
			c = f.foldLoop(l, sp, amps, cond, c)
		} else {
			c = f.foldSpan(l, sp.first, sp.last, amps, cond, c)
		}
	}
	u1, x1 := 0.0, 0.0
	for _, sp := range l.spans {
		if sp.closed {
			u1, x1 = f.backLoop(sp, u, x, u1, x1)
			continue
		}
		for i := sp.first; i <= sp.last; i++ {
			r := &f.rows[i]
			x1, u1 = r.x0+r.xu*u1+r.xx*x1, r.u0+r.uu*u1 // then the share of this pixel's x
			u1 += r.ux * x1
			u[i], x[i] = u1, x1
		}
	}
}

// foldSpan folds the pixels from last back to first.
func (f *fold2) foldSpan(l *Ladder, first, last int, amps, cond []float64, c carry2) carry2 {
	a, b, e, j, k := c.a, c.b, c.c, c.j, c.k
	for i := last; i >= first; i-- {
		lu, lx := l.plus.link[i], l.minus.link[i]
		a, b, e = a+l.plus.tap[i], b+l.minus.tap[i], e+cond[i]
		j, k = j+amps[i], k-amps[i]
		r := &f.rows[i]

		inv := reciprocal(a + e + lu)
		ux, uu := e*inv, lu*inv
		r.u0, r.ux, r.uu = j*inv, ux, uu
		b, k = b+a*ux, k+j*ux
		d := lu * ux // edge from x to u'
		a, j = a*uu, j*uu

		inv = reciprocal(b + d + lx)
		xu, xx := d*inv, lx*inv
		r.x0, r.xu, r.xx = k*inv, xu, xx
		a, j = a+b*xu, j+k*xu
		b, k, e = b*xx, k*xx, d*xx
	}
	return carry2{a, b, e, j, k}
}

// reciprocal turns siemens into ohms. It is 0 for a pixel that is joined to
// nothing: an infinity would make its neighbours NaN.
func reciprocal(g float64) float64 {
	if g == 0 {
		return 0
	}
	return 1 / g
}

// foldLoop folds a closed span. Each pixel has edges to the hub as well: p from
// u to the hub's u, q from u to its x, r from x to its u, s from x to its x. The
// variable hub sums them and is added when the hub is folded.
func (f *fold2) foldLoop(l *Ladder, sp span, amps, cond []float64, c carry2) carry2 {
	var hub carry2
	p, q, r, s := sp.close.Plus, 0.0, 0.0, sp.close.Minus
	for i := sp.last; i > sp.first; i-- {
		lu, lx := l.plus.link[i], l.minus.link[i]
		a, b, e := c.a+l.plus.tap[i], c.b+l.minus.tap[i], c.c+cond[i]
		j, k := c.j+amps[i], c.k-amps[i]
		row, h := &f.rows[i], &f.hubs[i]

		inv := reciprocal(a + e + lu + p + q)
		row.u0, row.ux, row.uu = j*inv, e*inv, lu*inv
		h.uU, h.uX = p*inv, q*inv
		b, r, s, k = b+a*row.ux, r+p*row.ux, s+q*row.ux, k+j*row.ux
		d := lu * row.ux
		hub.a, hub.b, hub.c = hub.a+a*h.uU, hub.b+a*h.uX, hub.c+p*h.uX
		hub.j, hub.k = hub.j+j*h.uU, hub.k+j*h.uX
		p, q = p*row.uu, q*row.uu
		c = carry2{a: a * row.uu, j: j * row.uu}

		inv = reciprocal(b + d + lx + r + s)
		row.x0, row.xu, row.xx = k*inv, d*inv, lx*inv
		h.xU, h.xX = r*inv, s*inv
		c.a, c.b, c.c = c.a+b*row.xu, b*row.xx, d*row.xx
		c.j, c.k = c.j+k*row.xu, k*row.xx
		hub.a, hub.b, hub.c = hub.a+b*h.xU, hub.b+b*h.xX, hub.c+r*h.xX
		hub.j, hub.k = hub.j+k*h.xU, hub.k+k*h.xX
		p, q = p+r*row.xu, q+s*row.xu
		r, s = r*row.xx, s*row.xx
	}
	c.a, c.b, c.c = c.a+hub.a, c.b+hub.b, c.c+hub.c+q+r // q and r now join the hub's own u and x
	c.j, c.k = c.j+hub.j, c.k+hub.k
	return f.foldSpan(l, sp.first, sp.first, amps, cond, c)
}

// backLoop is the second pass through a closed span: the hub, its first pixel,
// is known first, and every other pixel takes its shares of the hub's u and x.
func (f *fold2) backLoop(sp span, u, x []float64, u1, x1 float64) (float64, float64) {
	var hubU, hubX float64
	for i := sp.first; i <= sp.last; i++ {
		r, h := &f.rows[i], hubRow2{}
		if i > sp.first {
			h = f.hubs[i]
		}
		x0 := r.x0 + r.xu*u1 + r.xx*x1 + h.xU*hubU + h.xX*hubX
		u1 = r.u0 + r.ux*x0 + r.uu*u1 + h.uU*hubU + h.uX*hubX
		x1 = x0
		u[i], x[i] = u1, x1
		if i == sp.first {
			hubU, hubX = u1, x1
		}
	}
	return u1, x1
}
