package checkout

import "example.org/ringout/internal/strip"

// Pixels of empty parts are sent black and not looked at: they are missing or
// covered. They keep their places and addresses, so the pixels after them are
// where the plan has them.

// findHidden sets dark and hidden; both stay nil when every pixel is seen.
func (f *field) findHidden() {
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

// sees reports whether a pixel of a run is visible. A negative place counts from
// the end, -1 for the last one. Pixels beyond the plan are visible.
func (h maskedPlaces) sees(run, place int) bool {
	if run >= len(h) {
		return true
	}
	if place < 0 {
		place += len(h[run])
	}
	return place < 0 || place >= len(h[run]) || !h[run][place]
}

// maskedPlaces is true for hidden pixels, by run of the plan and place in it.
type maskedPlaces [][]bool

// each calls do with the visible pieces of a run, in order.
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

// ends are the first and the last visible pixel of a run, as pixels of the plan;
// false when there are none.
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

// before is pixel plus shift, moved towards the start to a visible pixel when
// shift is negative.
func (f *field) before(pixel, shift int) int {
	at := pixel + shift
	for shift < 0 && at > 0 && at < len(f.dark) && f.dark[at] {
		at--
	}
	return at
}

// unlit is a picture with hidden pixels dark.
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
