package prop

import (
	"fmt"

	"example.org/ringout/patterns"
)

// Limits of ANSI E1.31-2018: universe numbers (9.1.1) and slots (7.7).
const (
	MaxUniverse      = 63999
	SlotsPerUniverse = 512
	MaxPixels        = 100_000
)

// A Place is one slot of one universe. Slot counts from 0.
type Place struct {
	Universe uint16
	Slot     int
}

// String writes the place as people read it, with the slot from 1: "U3 S109".
func (p Place) String() string { return fmt.Sprintf("U%d S%d", p.Universe, p.Slot+1) }

// A Patch maps every pixel and channel to its slot. It is never changed after
// NewPatch and may be shared.
type Patch struct {
	pixels   int
	channels []patterns.Channel
	first    Place
	whole    bool
	used     []int // slots used of each universe, from slot 0 to the last driven
}

// NewPatch assigns slots to pixels from the address on, in wire order.
func NewPatch(pixels int, order Order, a Address) (*Patch, error) {
	switch {
	case pixels < 1 || pixels > MaxPixels:
		return nil, fmt.Errorf("%d pixels: give 1 to %d", pixels, MaxPixels)
	case len(order) == 0:
		return nil, fmt.Errorf("the chip has no colour order: give one, such as GRB")
	case a.Universe < 1 || a.Universe > MaxUniverse:
		return nil, fmt.Errorf("universe %d does not exist: give 1 to %d", a.Universe, MaxUniverse)
	case a.Slot < 0 || a.Slot >= SlotsPerUniverse:
		return nil, fmt.Errorf("slot %d does not exist: give 1 to %d", a.Slot+1, SlotsPerUniverse)
	}
	p := &Patch{pixels: pixels, channels: order.Channels(), whole: a.Packing != Straddle,
		first: Place{a.Universe, a.Slot}}
	last := p.offset(pixels-1) + len(p.channels) - 1
	if int(a.Universe)+last/SlotsPerUniverse > MaxUniverse {
		return nil, fmt.Errorf("%d pixels from universe %d slot %d on need more slots than universe %d holds: start lower or use fewer pixels",
			pixels, a.Universe, a.Slot+1, MaxUniverse)
	}
	p.used = p.usage(last)
	return p, nil
}

// usage is how far each universe is filled; last is the offset of the last slot. All
// universes but the first and the last are filled alike.
func (p *Patch) usage(last int) []int {
	used := make([]int, last/SlotsPerUniverse+1)
	n, full := len(p.channels), SlotsPerUniverse
	if p.whole {
		full -= SlotsPerUniverse % n
	}
	for i := range used {
		used[i] = full
	}
	used[0] = SlotsPerUniverse
	if p.whole {
		used[0] = 0
		if room := (SlotsPerUniverse - p.first.Slot) / n; room > 0 {
			used[0] = p.first.Slot + room*n
		}
	}
	used[len(used)-1] = last%SlotsPerUniverse + 1
	return used
}

// offset is the distance in slots from slot 0 of the first universe to the
// first slot of the pixel.
func (p *Patch) offset(pixel int) int {
	n := len(p.channels)
	if !p.whole {
		return p.first.Slot + pixel*n
	}
	inFirst := (SlotsPerUniverse - p.first.Slot) / n
	if pixel < inFirst {
		return p.first.Slot + pixel*n
	}
	pixel -= inFirst
	each := SlotsPerUniverse / n
	return (1+pixel/each)*SlotsPerUniverse + pixel%each*n
}

// At is the slot that drives the channel at place ch of the wire order.
func (p *Patch) At(pixel, ch int) Place {
	o := p.offset(pixel) + ch
	return Place{p.first.Universe + uint16(o/SlotsPerUniverse), o % SlotsPerUniverse}
}

// Pixels is the number of pixels laid out.
func (p *Patch) Pixels() int { return p.pixels }

// Universes lists the universes in use, ascending. It includes a first universe with no
// room for a whole pixel, with no slots used.
func (p *Patch) Universes() []uint16 {
	us := make([]uint16, len(p.used))
	for i := range us {
		us[i] = p.first.Universe + uint16(i)
	}
	return us
}

// Idle is the number of universes at the front that drive no pixel: one when the first
// slot leaves no room for a whole pixel, else none. A sender leaves them out, since a
// packet claims all 512 slots of its universe (ANSI E1.31-2018 7.7: slots past the last
// one sent are 0).
func (p *Patch) Idle() int {
	if p.used[0] == 0 {
		return 1
	}
	return 0
}

// Moved says that pixel 1 went to the next universe because the first had no room;
// empty otherwise.
func (p *Patch) Moved() string {
	if p.Idle() == 0 {
		return ""
	}
	return fmt.Sprintf("slot %d of universe %d leaves no room for a whole pixel of %d slots: pixel 1 is at universe %d slot 1; universe %[2]d is left alone",
		p.first.Slot+1, p.first.Universe, len(p.channels), p.first.Universe+1)
}

// Used is the number of slots to send in universe i of Universes: from slot 0
// to the last one that drives a pixel.
func (p *Patch) Used(i int) int { return p.used[i] }

// Buffers makes a slice of slots, all dark, for each universe.
func (p *Patch) Buffers() [][]byte {
	b := make([][]byte, len(p.used))
	for i := range b {
		b[i] = make([]byte, p.used[i])
	}
	return b
}

// Fill writes the frame into slots made by Buffers and allocates nothing. Pixels
// missing from the frame go dark. It visits the same slots as At, in order.
func (p *Patch) Fill(slots [][]byte, f patterns.Frame) {
	at := p.first.Slot
	u := 0
	n := len(p.channels)
	for i := range p.pixels {
		var c patterns.Colour
		if i < len(f) {
			c = f[i]
		}
		if p.whole && at+n > SlotsPerUniverse {
			at, u = 0, u+1
		}
		for _, ch := range p.channels {
			if at == SlotsPerUniverse {
				at, u = 0, u+1
			}
			slots[u][at] = c.Get(ch)
			at++
		}
	}
}

// Find returns the pixel that a slot drives and the channel, by its place in the wire
// order; false when it drives none.
func (p *Patch) Find(at Place) (pixel, ch int, ok bool) {
	u := int(at.Universe) - int(p.first.Universe)
	if u < 0 || u >= len(p.used) || at.Slot < 0 || at.Slot >= p.used[u] || u == 0 && at.Slot < p.first.Slot {
		return 0, 0, false
	}
	n := len(p.channels)
	if !p.whole {
		o := u*SlotsPerUniverse + at.Slot - p.first.Slot
		return o / n, o % n, true
	}
	if u == 0 {
		o := at.Slot - p.first.Slot
		return o / n, o % n, true
	}
	inFirst := (SlotsPerUniverse - p.first.Slot) / n
	return inFirst + (u-1)*(SlotsPerUniverse/n) + at.Slot/n, at.Slot % n, true
}
