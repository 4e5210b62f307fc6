package checkout

import (
	"slices"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// startLevel is the level of ordinary probes: bright enough to name colours,
// easy on eyes and supply.
const startLevel = 0.2

// levels gives the level of ordinary probes and the one at which a falling
// voltage shows: as bright as the supply allows for hours with all white.
func levels(p *prop.Prop) (ordinary, bright float64) {
	white := power.PixelAmps(p.Chip, HueWhite.Colour())
	idle := power.PixelAmps(p.Chip, patterns.Colour{})
	share := p.Supply.Share()
	room := 1.0
	if n := float64(p.Pixels()); p.Supply.Amps > 0 && white > idle {
		room = (p.Supply.Amps*share - n*idle) / (n * (white - idle))
	}
	bright = min(0.8, max(0.05, room))
	return min(startLevel, bright), bright
}

// A watcher runs hypotheses through a probe and reads their light. It keeps
// its memory from one to the next.
type watcher struct {
	stripBuilder
	scene
	light strip.Pieces
	gone  strip.Pieces // while loose contacts are open
	look  look
	letGo look
	see   sight
}

// A scene is a probe made ready to be shown on many strips.
type scene struct {
	spec   *Spec
	row    *question // of the spec
	sent   *strip.SlotFrame
	frame  patterns.Frame
	wanted look // the picture, as a sound prop shows it, or as it is to be compared with
}

// ready makes a scene of a probe.
func (c *scene) ready(f *field, s *Spec, p *strip.Pieces) {
	c.spec, c.row = s, s.row()
	c.frame = s.Paint.frame(c.frame, f.pixels)
	for i, x := range c.frame {
		c.frame[i] = dim(x, s.Level)
	}
	c.sent = f.sound.LayInto(c.sent, c.frame)
	if s.Expected != nil {
		c.wanted.ofPaint(s.Expected)
		return
	}
	f.sound.PiecesInto(p, c.sent)
	c.wanted.of(p, f.hidden)
}

// watch prepares a watcher for a probe.
func (w *watcher) watch(f *field, s *Spec) {
	w.field = f
	w.ready(f, s, &w.light)
}

// dim is a colour at a level, as the show sends it.
func dim(c patterns.Colour, level float64) patterns.Colour {
	at := func(v uint8) uint8 { return uint8(float64(v)*level + 0.5) }
	return patterns.Colour{R: at(c.R), G: at(c.G), B: at(c.B), W: at(c.W), C: at(c.C)}
}

// sees is what a person answers if the prop is this strip.
func (w *watcher) sees(s *strip.Strip) Token {
	if t, ok := w.placed(w.row, w.spec, s); ok {
		return t
	}
	w.shine(s)
	return w.row.read(w.spec, &w.see)
}

// lights lights the strip of a hypothesis.
func (w *watcher) lights(h *hypothesis) {
	st, _ := w.strip(h.faults) // it was made before
	w.shine(st)
}

// shine lights the strip and looks.
func (w *watcher) shine(s *strip.Strip) {
	s.PiecesInto(&w.light, w.sent)
	w.look.of(&w.light, w.field.hidden)
	w.see = sight{light: &w.light, look: &w.look, wanted: &w.wanted, hidden: w.field.hidden, sparks: s.Sparks()}
	if s.Flickers() {
		w.flicker(s)
	}
}

// flicker adds the moments when a loose contact is open, if they look
// different.
func (w *watcher) flicker(s *strip.Strip) {
	s.PiecesLetGo(&w.gone, w.sent)
	w.letGo.of(&w.gone, w.field.hidden)
	if !w.letGo.equal(&w.look) {
		w.see.letGo = &w.letGo
	}
}

// expects is what a person answers if the hypothesis holds; seesAnything when
// that cannot be said, and roughly a token where a fall of voltage that is
// somewhat stronger or weaker than the one taken gives another.
func (w *watcher) expects(h *hypothesis) Token {
	st, _ := w.strip(h.faults) // it was made before
	if t, ok := w.placed(w.row, w.spec, st); ok {
		return w.allowFor(w.row, w.spec, h, t)
	}
	w.shine(st)
	t := w.answer(w.row, w.spec, h)
	if h.sag && (t < seesAnything || t >= seesRun) && !w.firm(h, t) {
		return roughly | t
	}
	return t
}

// sagApart is by how much a fall of voltage may be off from the strength that
// represents it: strengths are about 1.5 apart.
const sagApart = 1.25

// firm reports whether a fall of voltage somewhat stronger or weaker gives the
// same answer.
func (w *watcher) firm(h *hypothesis, t Token) bool {
	faults := slices.Clone(h.faults)
	at := slices.IndexFunc(faults, graded)
	for _, by := range []float64{1 / sagApart, sagApart} {
		faults[at].N = int(float64(h.faults[at].N) * by)
		st, err := w.strip(faults)
		if err != nil {
			return false
		}
		w.shine(st)
		if w.row.read(w.spec, &w.see) != t {
			return false
		}
	}
	return true
}

// placed is the reading of a question about one pixel, which takes no look at
// the others; false for other questions, and where the light there depends on
// the other pixels.
func (w *watcher) placed(q *question, s *Spec, st *strip.Strip) (Token, bool) {
	if !q.onePixel || st.Sags() {
		return 0, false
	}
	at := s.Pixel
	if at < 0 {
		at += st.Places(s.Run)
	}
	c, _ := st.Drives(w.sent, s.Run, at) // dark where there is no such pixel
	return Token(NameOf(c)), true
}

// answer is what is answered to a probe that shows the light watched, if the
// hypothesis, which was lit, holds.
func (w *watcher) answer(q *question, s *Spec, h *hypothesis) Token {
	return w.allowFor(q, s, h, q.read(s, &w.see))
}

// allowFor turns what is seen into what is answered, for hypotheses of which
// not all is known.
func (w *watcher) allowFor(q *question, s *Spec, h *hypothesis, t Token) Token {
	switch {
	case h.sparks && !q.sparkles:
		return seesAnything // no one reads colours off it
	case h.sag && q.bothEnds && t == SeesAlike:
		return w.perhapsFades()
	case h.behind:
		return w.field.pastOdd(q, h, s, t)
	}
	return t
}

// pastOdd is what is still sure of an answer when something unknown lies after
// a fault.
func (f *field) pastOdd(q *question, h *hypothesis, s *Spec, t Token) Token {
	if sure := q.pastOdd; sure != nil {
		return sure(f, h, s, t)
	}
	return seesAnything
}

// perhapsFades is the answer where eyes differ: one sees a fall of voltage that
// another does not.
func (w *watcher) perhapsFades() Token {
	if w.see.fall() > barelySeen {
		return seesFaintly
	}
	return seesFading
}
