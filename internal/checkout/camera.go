package checkout

import (
	"slices"

	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// Sent is the frame of the probe that Next returned, in data order of the plan
// and dimmed to its level; nil when the check-out is done.
func (s *Session) Sent() patterns.Frame {
	s.decide()
	if s.next == nil {
		return nil
	}
	f := s.next.spec.Paint.frame(nil, s.field.pixels)
	for i, c := range f {
		f[i] = dim(c, s.next.spec.Level)
	}
	return f
}

// KeyFor is the key of the answer to the probe that Next returned, for light
// that a camera measured while the frame Sent was shown. A camera shows the prop
// at rest and its brightness is not accurate, so questions about flicker and
// about the fall of voltage give NotSure.
func (s *Session) KeyFor(light strip.Light) int { return s.KeyForMoving(light, nil, false) }

// KeyForMoving is KeyFor for light that changes. gone is the light at the
// moments when flickering pixels are dark, nil for steady light. sparks says
// that pixels flash in other colours.
func (s *Session) KeyForMoving(light, gone strip.Light, sparks bool) int {
	s.decide()
	if s.next == nil || len(light) != len(s.field.prop.Runs) {
		return NotSure
	}
	row := questions[s.next.spec.Kind]
	if row.moves && (gone == nil || row.bothEnds) { // a camera's brightness is not accurate enough
		return NotSure
	}
	var w watcher
	w.watch(s.field, s.next.spec)
	seen := strip.PiecesOf(light)
	see := sight{light: &seen, look: new(look), wanted: &w.wanted, hidden: s.field.hidden, sparks: sparks}
	see.look.of(&seen, s.field.hidden)
	if gone != nil && !sparks {
		left := strip.PiecesOf(gone)
		see.contactOpen = new(look)
		see.contactOpen.of(&left, s.field.hidden)
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
