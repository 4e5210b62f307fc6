package traffic

import (
	"slices"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol"
)

// Values for who lights a pixel, besides the index of a source in
// Light.Sources.
const (
	You    = -1
	No     = -2 // no source drives it
	Merged = -3 // you and others at one priority, or a pixel whose channels are shared
)

// A Pixel is one pixel of ours: its light at the receivers, which source drives
// it, and the colour that we send.
type Pixel struct {
	Shown, Yours patterns.Colour
	From         int // index in Light.Sources, or You, No, Merged
}

// A Light is the light of a whole prop, by the sources that receivers follow.
type Light struct {
	Pixels  []Pixel        // in data order
	Sources []protocol.CID // that light some of it, in order of first pixel
}

// Count is the number of pixels whose From is who.
func (l Light) Count(who int) (n int) {
	for _, p := range l.Pixels {
		if p.From == who {
			n++
		}
	}
	return n
}

// Shown is the frame that the prop shows.
func (l Light) Shown() patterns.Frame {
	out := make(patterns.Frame, len(l.Pixels))
	for i, p := range l.Pixels {
		out[i] = p.Shown
	}
	return out
}

// LightOf works out how a prop is lit from what is heard (nil for nothing) and
// what we send ourselves (nil when we do not). Receivers follow the highest
// priority, slot by slot where a source sends START code 0xdd; at one priority
// they may merge, and the highest value is taken (ANSI E1.31-2018 6.2.3). Our
// own packets count whether they are heard here or not.
func LightOf(patch *prop.Patch, order prop.Order, r *protocol.Report, ours protocol.Ours, sent patterns.Frame) Light {
	l := Light{Pixels: make([]Pixel, patch.Pixels())}
	slots := patch.Buffers()
	if sent != nil {
		patch.Fill(slots, sent)
	}
	universes := map[uint16]*sharedUniverse{}
	for i, u := range patch.Universes() {
		universes[u] = newSharedUniverse(r, protocol.Universe(u), ours, slots[i], sent != nil)
	}
	for i := range l.Pixels {
		p := &l.Pixels[i]
		if i < len(sent) {
			p.Yours = sent[i]
		}
		for ch := range order.Slots() {
			at := patch.At(i, ch)
			v, who := universes[at.Universe].winner(at.Slot)
			p.Shown = p.Shown.With(order.Channel(ch), v)
			from := l.index(who)
			if ch > 0 && from != p.From {
				from = Merged
			}
			p.From = from
		}
	}
	return l
}

// index returns the index of a winner in Sources; a new one is appended.
func (l *Light) index(w slotOwner) int {
	if w.who != other {
		return int(w.who)
	}
	i := slices.Index(l.Sources, w.cid)
	if i < 0 {
		i = len(l.Sources)
		l.Sources = append(l.Sources, w.cid)
	}
	return i
}

// other as slotOwner.who means another source, identified by its CID.
const other = 0

// A slotOwner is the source whose value receivers act on in a slot.
type slotOwner struct {
	who int // You, No, Merged or other
	cid protocol.CID
}

// A sharedUniverse is one universe in which we and others drive slots.
type sharedUniverse struct {
	out     *protocol.Output
	drivers []*protocol.StreamReport // of each of out.Sources; nil for our own
	ours    protocol.Ours
	levels  []byte // that we send
	sending bool
}

func newSharedUniverse(r *protocol.Report, u protocol.Universe, ours protocol.Ours, levels []byte, sending bool) *sharedUniverse {
	a := &sharedUniverse{out: &protocol.Output{}, ours: ours, levels: levels, sending: sending}
	if r == nil || r.Universe(u) == nil {
		return a
	}
	a.out = &r.Universe(u).Output
	for _, c := range a.out.Sources {
		var st *protocol.StreamReport
		if s := r.Source(c); s != nil && c != ours.CID {
			st = s.Stream(u)
		}
		a.drivers = append(a.drivers, st)
	}
	return a
}

// winner returns the value of a slot, from 0, that receivers act on, and its
// source.
func (a *sharedUniverse) winner(slot int) (byte, slotOwner) {
	mine := byte(0)
	if slot < len(a.levels) {
		mine = a.levels[slot]
	}
	rival, value, rank := a.rival(slot)
	switch {
	case rival == nil && a.sending:
		return mine, slotOwner{who: You}
	case rival == nil && slot < a.out.Count:
		return a.out.Slots[slot], slotOwner{who: You} // our packets are still heard
	case rival == nil:
		return 0, slotOwner{who: No}
	case !a.sending || rank > a.ours.Priority:
		return value, slotOwner{who: other, cid: *rival}
	case rank == a.ours.Priority:
		return max(mine, value), slotOwner{who: Merged}
	}
	return mine, slotOwner{who: You}
}

// rival is the source with the highest priority on a slot beside us, with its value; c
// is nil if there is none. A packet claims the whole universe, and slots that it does
// not hold are 0 (7.7). Where slots have priorities of their own, a source drives only
// the slots that it sends.
func (a *sharedUniverse) rival(slot int) (c *protocol.CID, value byte, rank uint8) {
	for i, st := range a.drivers {
		if st == nil || a.out.PerSlot && slot >= st.Slots {
			continue
		}
		p := st.Priority
		if st.SlotPriority != nil {
			p = st.SlotPriority[slot]
			if p == 0 || p > protocol.MaxPriority {
				continue
			}
		}
		if c == nil || p > rank || p == rank && st.Levels[slot] > value {
			c, value, rank = &a.out.Sources[i], st.Levels[slot], p
		}
	}
	return c, value, rank
}

// A Stretch is neighbouring pixels of one run with the same light from the same
// source.
type Stretch struct {
	Run         int // from 0
	First, Last int // pixels from 0 along the whole prop
	Pixel
}

// Stretches lists the stretches in data order, separately for each run.
func (l Light) Stretches(runs []prop.Run) []Stretch {
	var out []Stretch
	at := 0
	for run := range runs {
		first := len(out)
		for range runs[run].Pixels {
			if at >= len(l.Pixels) {
				return out
			}
			p := l.Pixels[at]
			if n := len(out); n > first && out[n-1].Pixel == p {
				out[n-1].Last = at
			} else {
				out = append(out, Stretch{run, at, at, p})
			}
			at++
		}
	}
	return out
}
