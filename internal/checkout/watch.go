package checkout

import (
	"slices"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// startLevel is the level of ordinary probes, 0 to 1: bright enough to name
// colours, without glare and with little current.
const startLevel = 0.2

// levels returns the level of ordinary probes, and the level of the fade probe:
// the highest at which all-white pixels stay within the supply's continuous
// rating, 0.05 to 0.8.
func levels(p *prop.Prop) (ordinary, bright float64) {
	white := power.PixelAmps(p.Chip, HueWhite.Colour())
	idle := power.PixelAmps(p.Chip, patterns.Colour{})
	most := 1.0
	if n := float64(p.Pixels()); p.Supply.Amps > 0 && white > idle {
		most = (p.Supply.Amps*p.Supply.Share() - n*idle) / (n * (white - idle))
	}
	bright = min(0.8, max(0.05, most))
	return min(startLevel, bright), bright
}

// A watcher runs hypotheses through a probe and reads their light, in the same
// memory each time.
type watcher struct {
	stripBuilder
	scene
	light       strip.Pieces
	openLight   strip.Pieces // while loose contacts are open
	look        look
	contactOpen look
	see         sight
}

// A scene is the laid-out picture of a probe, to be sent to many strips.
type scene struct {
	spec   *Spec
	row    *question // of the spec
	sent   *strip.SlotFrame
	frame  patterns.Frame
	wanted look // the look to compare with: Spec.Expected, or that of a sound prop
}

// ready lays out the picture of a probe; p is scratch memory.
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

// sees is the answer of a person who sees this strip.
func (w *watcher) sees(s *strip.Strip) Token {
	if t, ok := w.onePixel(w.row, w.spec, s); ok {
		return t
	}
	w.shine(s)
	return w.row.read(w.spec, &w.see)
}

// lights lights the strip of a hypothesis.
func (w *watcher) lights(h *hypothesis) {
	st, _ := w.strip(h.faults) // no error: newField made this strip
	w.shine(st)
}

// shine sends the picture to the strip and reads its light.
func (w *watcher) shine(s *strip.Strip) {
	s.PiecesInto(&w.light, w.sent)
	w.look.of(&w.light, w.field.hidden)
	w.see = sight{light: &w.light, look: &w.look, wanted: &w.wanted, hidden: w.field.hidden, sparks: s.Sparks()}
	if s.Flickers() {
		w.flicker(s)
	}
}

// flicker adds the look while a loose contact is open, if it is different.
func (w *watcher) flicker(s *strip.Strip) {
	s.PiecesOpen(&w.openLight, w.sent)
	w.contactOpen.of(&w.openLight, w.field.hidden)
	if !w.contactOpen.equal(&w.look) {
		w.see.contactOpen = &w.contactOpen
	}
}

// expects is the predicted answer under a hypothesis; seesAnything when there is
// none, and with the flag roughly when a somewhat stronger or weaker fall of
// voltage gives another answer.
func (w *watcher) expects(h *hypothesis) Token {
	st, _ := w.strip(h.faults) // no error: newField made this strip
	if t, ok := w.onePixel(w.row, w.spec, st); ok {
		return w.allowFor(w.row, w.spec, h, t)
	}
	w.shine(st)
	t := w.answer(w.row, w.spec, h)
	if h.sag && (t < seesAnything || t >= seesRun) && !w.sameWithOtherSag(h, t) {
		return roughly | t
	}
	return t
}

// sagApart is the largest ratio of a fall of voltage to the listed strength next
// to it: neighbours in the list differ by a factor of about 1.5.
const sagApart = 1.25

// sameWithOtherSag reports whether a fall of voltage stronger or weaker by
// sagApart gives the same answer.
func (w *watcher) sameWithOtherSag(h *hypothesis, t Token) bool {
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

// onePixel answers a question about one pixel without lighting the others. ok is
// false for other questions, and with a fall of voltage, where the light depends
// on the other pixels.
func (w *watcher) onePixel(q *question, s *Spec, st *strip.Strip) (Token, bool) {
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

// answer is the predicted answer under h, whose light was read last.
func (w *watcher) answer(q *question, s *Spec, h *hypothesis) Token {
	return w.allowFor(q, s, h, q.read(s, &w.see))
}

// allowFor turns the reading t into the predicted answer, for hypotheses whose
// light is not fully known.
func (w *watcher) allowFor(q *question, s *Spec, h *hypothesis, t Token) Token {
	switch {
	case h.sparks && !q.sparkles:
		return seesAnything // colours cannot be read from sparkling pixels
	case h.sag && q.bothEnds && t == SeesAlike:
		return w.perhapsFades()
	case h.moreAfter:
		return w.field.beforeUnknown(q, h, s, t)
	}
	return t
}

// beforeUnknown is the predicted answer when an unknown fault follows that of h.
func (f *field) beforeUnknown(q *question, h *hypothesis, s *Spec, t Token) Token {
	if sure := q.beforeUnknown; sure != nil {
		return sure(f, h, s, t)
	}
	return seesAnything
}

// perhapsFades is the predicted answer for a fall of voltage that not everyone
// sees.
func (w *watcher) perhapsFades() Token {
	if w.see.fall() > barelySeen {
		return seesFaintly
	}
	return seesFading
}
