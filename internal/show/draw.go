package show

import (
	"slices"
	"time"

	"example.org/ringout/patterns"
)

// A frameState is one frame, before and after the limiter.
type frameState struct {
	wanted patterns.Frame
	sent   patterns.Frame
	moment patterns.Moment
	dimming
	made bool // false until the first frame is made
}

// draw makes the current frame and gives it to the output, unless it was already sent
// or the guard holds it. No other function gives frames to the output.
func (s *Show) draw(now time.Time) {
	at := patterns.Moment{T: now.Sub(s.start), Step: patterns.StepAt(s.pattern, s.want.Settings, s.walk.step(now))}
	if s.isDrawn(at) {
		s.drawn.moment = at
		return
	}
	n := &s.next
	n.moment = at
	n.wanted = s.frame(n.wanted, n.moment)
	n.sent, n.dimming = s.limiter.take(n.sent, n.wanted, s.want.Level)
	n.made = true
	same := s.drawn.made && slices.Equal(n.sent, s.drawn.sent)
	if !same && !s.guard.pass(n.sent, now) {
		s.held = now.Add(Period)
		return
	}
	s.held = time.Time{}
	if !same || !slices.Equal(n.wanted, s.drawn.wanted) {
		s.report.wanted, s.report.sent = nil, nil // the copies handed out are out of date
	}
	s.drawn, s.next = s.next, s.drawn
	if !same {
		s.patch.Fill(s.slots, s.drawn.sent)
		s.out.Put(s.slots[s.patch.Idle():])
	}
}

// isDrawn reports whether the frame of a moment is the last one drawn: a
// pattern depends on its settings and its step alone, so an unchanged frame
// need not be drawn again.
func (s *Show) isDrawn(at patterns.Moment) bool {
	known := s.drawn.made && !s.redraw && s.held.IsZero() && s.want.Frames == nil
	s.redraw = false
	return known && at.Step == s.drawn.moment.Step
}

// frame returns the light wanted at a moment, exactly one colour a pixel.
func (s *Show) frame(dst patterns.Frame, at patterns.Moment) patterns.Frame {
	if s.want.Frames == nil {
		dst = s.placed(s.pattern.Frame(dst, s.want.Settings, at))
		for i := range dst {
			if inSpans(s.empty, i) {
				dst[i] = patterns.Colour{}
			}
		}
	} else {
		dst = append(dst[:0], s.want.Frames(dst[:0], s.fixed.Pixels, at.T)...) // copied, since the caller may keep its slice
		for len(dst) < s.fixed.Pixels {
			dst = append(dst, patterns.Colour{})
		}
		dst = dst[:s.fixed.Pixels]
	}
	if len(s.want.Mask) > 0 {
		for i := range dst {
			if !inSpans(s.want.Mask, i) {
				dst[i] = patterns.Colour{}
			}
		}
	}
	return dst
}

// placed moves the frame of a pattern that runs in Want.Only to the first pixel of that
// span. All other pixels are dark.
func (s *Show) placed(f patterns.Frame) patterns.Frame {
	o := s.want.Only
	if o == nil {
		return f
	}
	n := len(f)
	for len(f) < s.fixed.Pixels {
		f = append(f, patterns.Colour{})
	}
	copy(f[o.First:], f[:n])
	clear(f[:o.First])
	clear(f[o.First+n:])
	return f
}
