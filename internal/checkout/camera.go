package checkout

import (
	"slices"

	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// Sent is the frame that a sound prop is sent for the probe Next gave, at its
// level; nil when the check-out is done.
func (s *Session) Sent() patterns.Frame {
	s.settle()
	if s.next == nil {
		return nil
	}
	f := s.next.spec.Paint.frame(nil, s.field.pixels)
	for i, c := range f {
		f[i] = dim(c, s.next.spec.Level)
	}
	return f
}

// KeyFor is the answer of someone who sees these lights and nothing else to
// the probe Next gave: lights that a camera was read to show of the frame
// Sent. They are at rest, and how bright they are is not known well, so
// questions about change and about fading are not answered.
func (s *Session) KeyFor(light strip.Light) int { return s.KeyForMoving(light, nil, false) }

// KeyForMoving is KeyFor for lights that come and go: gone is what is left in the
// moments when they are away, nil where they are steady, and sparks says that
// they flash in other colours instead.
func (s *Session) KeyForMoving(light, gone strip.Light, sparks bool) int {
	s.settle()
	if s.next == nil || len(light) != len(s.field.prop.Runs) {
		return NotSure
	}
	row := questions[s.next.spec.Kind]
	if row.moves && (gone == nil || row.bothEnds) { // how bright the ends are is not known well
		return NotSure
	}
	var w watcher
	w.watch(s.field, s.next.spec)
	seen := strip.PiecesOf(light)
	see := sight{light: &seen, look: new(look), wanted: &w.wanted, hidden: s.field.hidden, sparks: sparks}
	see.look.of(&seen, s.field.hidden)
	if gone != nil && !sparks {
		left := strip.PiecesOf(gone)
		see.letGo = new(look)
		see.letGo.of(&left, s.field.hidden)
	}
	t := row.read(s.next.spec, &see)
	if i := slices.Index(s.next.answers, t); i >= 0 {
		return i + 1
	}
	if t == seesPerhaps {
		return NotSure
	}
	return slices.Index(s.next.answers, SeesElse) + 1 // NotSure when that is not offered either
}
