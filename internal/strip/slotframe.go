package strip

import (
	"slices"

	"example.org/ringout/patterns"
)

// A SlotFrame is one frame as slots, to be sent to many strips of one prop.
type SlotFrame struct {
	// In data order, without channels the planned chip lacks.
	frame patterns.Frame
	// Slots of every universe of the patch, from slot 0: 512 values at the most,
	// 0 to 255.
	slots [][]byte
	// Slots of a planned chip: 3 to 5.
	chip int
	// For every pixel, the first of the equal neighbours it belongs to, and the
	// one after the last.
	equalFrom, equalTo []int32
	// For every slot of a universe, the first slot from it on that differs from
	// the slot one chip further.
	repeats [][]int32
}

// Lay makes the slots of a frame, as the show does before it sends them.
func (s *Strip) Lay(f patterns.Frame) *SlotFrame { return s.LayInto(nil, f) }

// LayInto is Lay in the memory of d, which came from Lay of any strip of the same
// prop, or is nil. The frame that d held is overwritten.
func (s *Strip) LayInto(d *SlotFrame, f patterns.Frame) *SlotFrame {
	if d == nil {
		n := s.pixels
		both := make([]int32, 2*n)
		d = &SlotFrame{frame: make(patterns.Frame, n), slots: s.patch.Buffers(), chip: len(s.channels),
			equalFrom: both[:n:n], equalTo: both[n:]}
		for _, buf := range d.slots {
			d.repeats = append(d.repeats, make([]int32, len(buf)))
		}
	}
	s.patch.Fill(d.slots, f)
	for i := range d.frame {
		d.frame[i] = patterns.Colour{}
		if i < len(f) {
			d.frame[i] = s.withPlannedChannels(f[i])
		}
	}
	d.index()
	return d
}

// withPlannedChannels is a colour without the channels that the planned chip
// lacks.
func (s *Strip) withPlannedChannels(c patterns.Colour) patterns.Colour {
	var out patterns.Colour
	for _, ch := range s.channels {
		out = out.With(ch, c.Get(ch))
	}
	return out
}

// index fills equalFrom, equalTo and repeats.
func (d *SlotFrame) index() {
	n := len(d.frame)
	for i, c := range d.frame {
		if i > 0 && c == d.frame[i-1] {
			d.equalFrom[i] = d.equalFrom[i-1]
		} else {
			d.equalFrom[i] = int32(i)
		}
	}
	for i := n - 1; i >= 0; i-- {
		d.equalTo[i] = int32(i + 1)
		if i+1 < n && d.frame[i] == d.frame[i+1] {
			d.equalTo[i] = d.equalTo[i+1]
		}
	}
	for u, buf := range d.slots {
		repeats(d.repeats[u], buf, d.chip)
	}
}

// repeats fills SlotFrame.repeats of one universe, for chips of m slots.
func repeats(out []int32, buf []byte, m int) {
	for i, v := range slices.Backward(buf) {
		out[i] = int32(i)
		if i+m < len(buf) && v == buf[i+m] {
			out[i] = out[i+1]
		}
	}
}

// Slots are the slots of every universe, in patch order, not to be changed.
func (d *SlotFrame) Slots() [][]byte { return d.slots }

// Shine is what the strip shows when a frame is sent to it.
func (s *Strip) Shine(f patterns.Frame) Light { return s.ShineInto(nil, s.Lay(f)) }

// ShineInto is the light of a frame that Lay of any strip of the same prop made,
// in the memory of dst. It returns what LightInto returns of the same slots, but
// copies colours where the strip is as planned, which is faster.
func (s *Strip) ShineInto(dst Light, d *SlotFrame) Light {
	return s.fromSent(dst, d, len(s.spans))
}

// fromSent lights the spans before upto; the rest is dark.
func (s *Strip) fromSent(dst Light, d *SlotFrame, upto int) Light {
	dst = s.resize(dst)
	for i := range s.spans {
		sp := &s.spans[i]
		switch {
		case sp.dark || i >= upto:
			sp.blacken(dst[sp.run])
		case sp.asPlanned():
			sp.fromFrame(dst[sp.run], d.frame)
		default:
			sp.fromSlots(dst[sp.run], d.slots)
		}
	}
	return s.dim(dst)
}
