package strip

import (
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/sorting"
	"example.org/ringout/patterns"
)

// Fingerprint is a hash of which slot drives which light, at rest and with loose
// contacts open. Strips of one prop with equal light for every frame have equal
// fingerprints. A fall of voltage is not part of it.
func (s *Strip) Fingerprint() uint64 {
	var t tracer
	held := t.trace(s, len(s.spans))
	if s.sparks {
		held = mix(held, 1<<60)
	}
	if len(s.loose) == 0 {
		return held
	}
	if gone := t.trace(s, s.firstLoose()); gone != held {
		return mix(held, gone)
	}
	return held
}

// mix continues the hash h by a value: FNV-1a, 64 bits at a time, with its
// published 64-bit prime 2⁴⁰ + 2⁸ + 0xb3 and offset basis 0xcbf29ce484222325.
func mix(h, v uint64) uint64 { return (h ^ v) * 1099511628211 }

const mixStart = 14695981039346656037

// A source encodes what drives a chip: the slot of every channel, as its distance
// from the lowest one (0 to 4 for a chip whose slots follow each other), and the
// stuck channels. 0 is a dark chip that no slot drives.
type source uint64

// sourceOf is the source with these slots, unsent for a channel without one,
// and channels that are always lit, a bit each. 4099 is prime.
func sourceOf(at *[patterns.NumChannels]int32, stuck uint8) source {
	key := uint64(0)
	for _, x := range at {
		key = key*4099 + uint64(x)
	}
	return source(key<<8 | uint64(stuck))
}

// unsent is above every flat slot: 63999 universes of 512 slots are 2²⁵.
const unsent = 1 << 30

// A tracer hashes rows of lights whose slots follow each other. It joins rows
// across spans, so that the hash does not depend on how a strip is cut into
// spans.
type tracer struct {
	hash uint64
	// The current row: its source, the flat slot of the first light, the slots from
	// light to light once there are two, and the number of lights.
	of           source
	flat, stride int
	lights       int
	runs         []rowOfSpans
}

// rowOfSpans are the spans from..to of one run, along the wire.
type rowOfSpans struct{ run, from, to int }

// trace is the hash of the strip when the spans from upto on are dark.
func (t *tracer) trace(s *Strip, upto int) uint64 {
	t.hash, t.runs = mixStart, t.runs[:0]
	for from := 0; from < len(s.spans); {
		to := s.endOfRun(from)
		t.runs = append(t.runs, rowOfSpans{int(s.spans[from].run), from, to})
		from = to
	}
	sorting.By(t.runs, func(a, b rowOfSpans) int { return a.run - b.run })
	for _, r := range t.runs {
		t.hash = mix(t.hash, uint64(r.run)<<32|uint64(s.sizes[r.run])|1<<62)
		for k := range r.to - r.from {
			i := s.inPlace(r.from, r.to, k)
			if sp := &s.spans[i]; sp.dark || i >= upto {
				t.add(0, 0, 0, int(sp.lights))
			} else {
				t.span(s.plan, sp)
			}
		}
		t.flush()
	}
	return t.hash
}

// span adds a lit span in the order of its places: the chips whose slots the plan
// sends together, others one by one.
func (t *tracer) span(pl *plan, sp *span) {
	n, m := sp.chips(), int(sp.slots)
	whole, end := n, n // range of the chips whose slots the plan sends
	if sp.splitBytes == nil && sp.group == 1 {
		lo, hi := pl.sentIn(int(sp.universe))
		whole = min(n, max(0, (lo-sp.flat(0)+m-1)/m))
		end = min(n, max(whole, (hi-sp.flat(0))/m))
	}
	for done := 0; done < n; {
		from, to := done, done+1
		if sp.back() {
			from, to = n-to, n-from
		}
		switch inside := from >= whole && to <= end; {
		case inside && sp.back():
			from = whole
		case inside:
			to = end
		}
		t.chips(pl, sp, from, to)
		done += to - from
	}
}

// chips adds the chips from..to-1 of a span, which have one source.
func (t *tracer) chips(pl *plan, sp *span, from, to int) {
	first, stride := sp.flat(from), 0 // of the chip at the lowest place
	if to-from > 1 {
		stride = int(sp.slots) * int(sp.step)
	}
	if sp.back() {
		first = sp.flat(to - 1)
	}
	if sp.asPlanned() && sp.splitBytes == nil {
		t.add(pl.source, first, stride, sp.lightsOf(from, to))
		return
	}
	var at [patterns.NumChannels]int32
	low := unsent
	for ch := range at {
		at[ch] = unsent
		if slot := sp.slotOf(ch, first); sp.stuck>>ch&1 == 0 && pl.sends(slot) {
			at[ch], low = int32(slot), min(low, slot)
		}
	}
	if low == unsent {
		t.add(source(sp.stuck), 0, 0, sp.lightsOf(from, to))
		return
	}
	for ch, slot := range at {
		if slot != unsent {
			at[ch] = slot - int32(low)
		}
	}
	t.add(sourceOf(&at, sp.stuck), low, stride, sp.lightsOf(from, to))
}

// flat is the flat slot of a chip's first byte. Flat slots count from slot 0 of
// the plan's first universe, 512 a universe.
func (s *span) flat(chip int) int {
	return int(s.universe)*prop.SlotsPerUniverse + int(s.slot) + chip*int(s.slots)
}

// slotOf is the flat slot that drives a channel of a chip reading from flat slot
// first on, or less than 0.
func (s *span) slotOf(ch, first int) int {
	switch at := s.at[ch]; {
	case at == none:
		return -1
	case s.splitBytes != nil:
		return int(s.splitBytes[at])
	default:
		return first + int(at)
	}
}

// add adds n lights of one source, the first at slot flat, with stride slots from
// light to light. The second light of a row sets its stride.
func (t *tracer) add(src source, flat, stride, n int) {
	for n > 0 {
		switch {
		case t.lights == 1 && t.of == src:
			t.stride = flat - t.flat
		case t.lights == 0 || t.of != src || flat != t.flat+t.stride*t.lights:
			t.flush()
			t.of, t.flat, t.stride = src, flat, 0
		}
		take := 1
		if stride == t.stride {
			take = n
		}
		t.lights, flat, n = t.lights+take, flat+stride*take, n-take
	}
}

// flush hashes the current row and ends it.
func (t *tracer) flush() {
	if t.lights == 0 {
		return
	}
	t.hash = mix(t.hash, uint64(t.of))
	t.hash = mix(t.hash, uint64(uint32(t.flat))|uint64(uint32(t.stride))<<32)
	t.hash = mix(t.hash, uint64(t.lights))
	t.lights = 0
}

// sentIn is the range of flat slots that the plan sends in a universe, counted
// from its first one; empty when it sends none.
func (pl *plan) sentIn(universe int) (lo, hi int) {
	if universe < 0 || universe >= len(pl.sent) {
		return 0, 0
	}
	return pl.sent[universe][0], pl.sent[universe][1]
}

// sends reports whether the plan sends a flat slot.
func (pl *plan) sends(flat int) bool {
	lo, hi := pl.sentIn(flat / prop.SlotsPerUniverse)
	return flat >= lo && flat < hi
}

// sentOf is sentIn of every universe of a stream.
func sentOf(all []stretch) [][2]int {
	var out [][2]int
	for _, st := range all {
		for u := st.flat / prop.SlotsPerUniverse; len(out) <= u; {
			out = append(out, [2]int{})
		}
		out[st.flat/prop.SlotsPerUniverse] = [2]int{st.flat, st.flat + st.len}
	}
	return out
}
