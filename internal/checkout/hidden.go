package checkout

import "example.org/ringout/internal/strip"

// Pixels of empty parts are sent nothing and not looked at: there is no light,
// or it is hidden. They keep their places and addresses, so the pixels after
// them are where the plan has them.

// hide notes the places no one looks at, by run; none of it when all are seen.
func (f *field) hide() {
	on, lit := f.prop.Lights()
	if lit == f.pixels {
		return
	}
	f.dark = make([]bool, f.pixels)
	for i := range on {
		f.dark[i] = !on[i]
	}
	for r, n := range f.sizes {
		f.hidden = append(f.hidden, f.dark[f.firsts[r]:f.firsts[r]+n])
	}
}

// sees reports whether a place of a run, from its end when negative, is looked
// at. Pixels beyond the plan are.
func (h maskedPlaces) sees(run, place int) bool {
	if run >= len(h) {
		return true
	}
	if place < 0 {
		place += len(h[run])
	}
	return place < 0 || place >= len(h[run]) || !h[run][place]
}

// maskedPlaces tells, by run of the plan and place, what no one looks at.
type maskedPlaces [][]bool

// each hands on the pieces of a run that are looked at, in order.
func (h maskedPlaces) each(run int, row []strip.Piece, do func(strip.Piece)) {
	if run >= len(h) {
		for _, pc := range row {
			do(pc)
		}
		return
	}
	at := 0
	for _, pc := range row {
		seen := 0
		for i := range pc.Lights {
			if h.sees(run, at+i) {
				seen++
			}
		}
		if at += pc.Lights; seen > 0 {
			do(strip.Piece{Colour: pc.Colour, Lights: seen})
		}
	}
}

// first and last are the places of a run that are looked at at its ends, as
// indexes of the plan's pixels; false when there are none.
func (f *field) ends(run int) (first, last int, ok bool) {
	first, last = f.firsts[run], f.firsts[run]+f.sizes[run]-1
	if f.dark == nil {
		return first, last, true
	}
	for first <= last && f.dark[first] {
		first++
	}
	for first <= last && f.dark[last] {
		last--
	}
	return first, last, first <= last
}

// before is the pixel that far from another, and of those before it one that is
// looked at.
func (f *field) before(pixel, shift int) int {
	at := pixel + shift
	for shift < 0 && at > 0 && at < len(f.dark) && f.dark[at] {
		at--
	}
	return at
}

// unlit is a picture with nothing where no one looks.
func (f *field) unlit(p Paint) Paint {
	if f.dark == nil {
		return p
	}
	pt, at := newPainter(f.pixels, HueDark), 0
	for _, s := range p {
		pt.span(at, at+s.Pixels-1, s.Colour)
		at += s.Pixels
	}
	for i, d := range f.dark {
		if d {
			pt[i] = HueDark
		}
	}
	return pt.paint()
}
