package strip

import (
	"fmt"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// A plan is the data that all strips of one prop share. It is never changed once
// made.
type plan struct {
	prop   *prop.Prop
	patch  *prop.Patch
	order  prop.Order // of the chips' slots on the wire
	pixels int        // of the prop
	first  []int      // first pixel of each run, from 0
	// The channels of the planned chip in wire order: 3 to 5.
	channels []patterns.Channel
	stream   []stretch // what a controller sends that is set up as planned
	source   source    // of a planned chip
	// Flat slots sent in every universe, from the first up to but not including
	// the second.
	sent [][2]int
	// The spans of a strip without fault, along the wire, and the first chip of each.
	sound  []span
	starts []int
}

// newPlan makes the plan of a prop. It refuses a prop without runs or pixels, and
// one that has no patch.
func newPlan(p *prop.Prop) (*plan, error) {
	if p == nil || len(p.Runs) == 0 {
		return nil, fmt.Errorf("the prop has no runs: give it at least one run with its pixels")
	}
	order, err := prop.ParseOrder(string(p.Chip.Order))
	if err != nil {
		return nil, err
	}
	for i, r := range p.Runs {
		if r.Pixels < 1 {
			return nil, fmt.Errorf("%s has %d pixels: give 1 or more", p.RunText(i), r.Pixels)
		}
	}
	pl := &plan{prop: p, order: order, pixels: p.Pixels(), channels: order.Channels()}
	if pl.patch, err = prop.NewPatch(pl.pixels, order, p.Address); err != nil {
		return nil, err
	}
	n := 0
	for _, r := range p.Runs {
		pl.first = append(pl.first, n)
		n += r.Pixels
	}
	pl.stream = stream(pl.pixels, len(pl.channels), 0, p.Address.Slot, p.Address.Packing)
	pl.sent = sentOf(pl.stream)
	var slots [patterns.NumChannels]int32
	for ch, at := range bytesOf(order) {
		slots[ch] = int32(at)
		if at == none {
			slots[ch] = unsent
		}
	}
	pl.source = sourceOf(&slots, 0)
	at, sound := 0, build(pl, nil).spans
	for i := range sound {
		pl.starts = append(pl.starts, at)
		at += int(sound[i].lights)
	}
	pl.sound = sound
	return pl, nil
}
