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
	share := p.Supply.Continuous
	if share <= 0 {
		share = 0.8
	}
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
	field  *field
	spec   *Spec
	sent   *strip.Sent
	light  strip.Pieces
	gone   strip.Pieces // while loose contacts are open
	frame  patterns.Frame
	look   look
	letGo  look
	wanted look
	see    sight
}

// watch prepares a watcher for a probe.
func (w *watcher) watch(f *field, s *Spec) {
	w.field, w.spec = f, s
	w.frame = s.Paint.frame(w.frame, f.pixels)
	for i, c := range w.frame {
		w.frame[i] = dim(c, s.Level)
	}
	w.sent = f.sound.LayInto(w.sent, w.frame)
	f.sound.PiecesInto(&w.light, w.sent)
	w.wanted.of(&w.light, f.hidden)
}

// dim is a colour at a level, as the show sends it.
func dim(c patterns.Colour, level float64) patterns.Colour {
	at := func(v uint8) uint8 { return uint8(float64(v)*level + 0.5) }
	return patterns.Colour{R: at(c.R), G: at(c.G), B: at(c.B), W: at(c.W), C: at(c.C)}
}

// sees is what a person answers if the prop is this strip.
func (w *watcher) sees(s *strip.Strip) Token {
	w.shine(s)
	return readings[w.spec.Kind](w.spec, &w.see)
}

// shine lights the strip and looks.
func (w *watcher) shine(s *strip.Strip) {
	s.PiecesInto(&w.light, w.sent)
	w.look.of(&w.light, w.field.hidden)
	w.see = sight{light: &w.light, look: &w.look, wanted: &w.wanted, hidden: w.field.hidden}
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
// that cannot be said.
func (w *watcher) expects(h *hypothesis) Token {
	w.shine(h.strip)
	return w.answer(w.spec, h)
}

// answer is what is answered to a probe that shows the light watched, if the
// hypothesis, which was lit, holds.
func (w *watcher) answer(s *Spec, h *hypothesis) Token {
	t := readings[s.Kind](s, &w.see)
	if s.Kind == AskFade && t == SeesAlike && h.sags() {
		return w.perhapsFades()
	}
	if h.behind {
		return h.veiled(w.field, s, t)
	}
	return t
}

// sags reports whether the voltage falls along the prop.
func (h *hypothesis) sags() bool {
	return slices.ContainsFunc(h.faults, func(ft strip.Fault) bool { return ft.Kind == strip.Sag })
}

// perhapsFades is the answer where eyes differ: one sees a fall of voltage that
// another does not.
func (w *watcher) perhapsFades() Token {
	if w.see.fall() > barelySeen {
		return seesFaintly
	}
	return seesFading
}
