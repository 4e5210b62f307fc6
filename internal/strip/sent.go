package strip

import (
	"time"

	"example.org/ringout/patterns"
)

// Sent is one frame laid into slots once, to be shown on many strips of one
// prop. It is never changed once made.
type Sent struct {
	frame patterns.Frame // in data order, without channels the planned chip lacks
	slots [][]byte
}

// Lay lays a frame into slots, as the show does before it sends them.
func (s *Strip) Lay(f patterns.Frame) *Sent {
	d := &Sent{frame: make(patterns.Frame, s.pixels), slots: s.patch.Buffers()}
	s.patch.Fill(d.slots, f)
	for i := range min(len(f), s.pixels) {
		for _, ch := range s.channels {
			d.frame[i] = d.frame[i].With(ch, f[i].Get(ch))
		}
	}
	return d
}

// Slots are the slots of every universe, in patch order, not to be changed.
func (d *Sent) Slots() [][]byte { return d.slots }

// Shine is what the strip shows when a frame is sent to it.
func (s *Strip) Shine(f patterns.Frame) Light { return s.ShineInto(nil, s.Lay(f)) }

// ShineInto is the light of a frame that was laid out once with Lay of any
// strip of the same prop. It shows what LightInto shows of the same slots, but
// copies colours wherever the strip is as planned, which is the quick way
// through thousands of hypotheses.
func (s *Strip) ShineInto(dst Light, d *Sent) Light {
	return s.fromSent(dst, d, len(s.spans))
}

// ShineAt is ShineInto at a moment, for strips with a loose joint.
func (s *Strip) ShineAt(dst Light, d *Sent, t time.Duration) Light {
	return s.fromSent(dst, d, s.heldAt(t))
}

// fromSent lights the spans before upto; the rest is dark.
func (s *Strip) fromSent(dst Light, d *Sent, upto int) Light {
	dst = s.room(dst)
	for i := range s.spans {
		sp := &s.spans[i]
		switch {
		case sp.dark || i >= upto:
			sp.blacken(dst[sp.run])
		case sp.pixel >= 0:
			sp.fromFrame(dst[sp.run], d.frame)
		default:
			sp.fromSlots(dst[sp.run], d.slots)
		}
	}
	return s.dim(dst)
}
