// Package strip is a simulated pixel strip: it turns the slots of its universes
// into the light of every physical pixel, with faults.
//
// A strip is a chain. The controller turns the slots of its universes into one
// stream of bytes; every chip takes its own few bytes off the front and passes
// the rest on (WS2812B datasheet: 24 bits, high bit first, then the input is
// passed through). The light of each fault follows from that. Bits and their
// timing are not modelled: a byte arrives or does not, and Sparkle stands for bit
// errors.
//
// Units: pixels, runs, slots and chips count from 0. "Place" is the position of a
// light in its run on the prop, whatever the direction of the data.
//
// Cost: a strip is a few spans of chips that are alike, whatever its length,
// so that many thousand hypotheses about one prop fit in memory (about 1 kB
// each), and making one from another takes 2-4 µs whatever the pixel count
// (With), 0.4-1.1 µs if it is not kept (Draft). To show one frame on thousands
// of strips, lay it out once (Lay) and use PiecesInto: a picture of a few
// stretches takes 0.1-0.4 ns a pixel, or ShineInto: 0.1-0.2 ns a pixel where
// data is as planned, 2 ns where it runs the other way, 2 to 7 ns where bytes
// are shifted. Chips of another length take 8 ns a pixel in pieces, hardly any
// two of which are alike. LightInto, from slots, takes 2 ns a pixel, 7 ns with
// four slots. Sag and Resistance solve a ladder for every light: 80-200 ns a
// pixel and more. Of these only Resistance allocates. Measured on one noisy
// core with "go test -bench 'Light|Pieces|With' ./internal/strip".
package strip

import (
	"slices"
	"time"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol"
)

// Light is the light of a prop: for each run of the plan, the colours of its
// physical pixels, from the end where the plan says data enters. A run that has
// more or fewer pixels than planned has a longer or shorter slice.
type Light [][]patterns.Colour

// Lit is the number of pixels that are not dark.
func (l Light) Lit() int {
	n := 0
	for _, run := range l {
		for _, c := range run {
			if !c.Dark() {
				n++
			}
		}
	}
	return n
}

// A Strip is a prop as it was really built. It is never changed once made and
// may be used by many goroutines at once.
type Strip struct {
	*plan
	faults []Fault
	sizes  []int // lights of each run of the plan
	// All lights, in the order of the wire.
	spans []span
	// Loose contacts, in no order.
	loose []looseContact
	// The fall of voltage; nil without the fault Sag.
	sag    *sag
	sparks bool // the light changes at random
	// The supply's copper, only with a fault that sets metered (Resistance).
	copper  *copper
	metered bool
}

// New makes the strip of a prop with faults, none for a good one. Errors are one
// sentence: a prop without pixels, a fault at a pixel that the prop does not
// have, or faults that exclude each other.
func New(p *prop.Prop, faults ...Fault) (*Strip, error) {
	pl, err := newPlan(p)
	if err != nil {
		return nil, err
	}
	return (&Strip{plan: pl}).With(faults...)
}

// With is the strip of the same prop with these faults instead. It shares the
// plan, so it is faster than New. It refuses the same faults as New.
func (s *Strip) With(faults ...Fault) (*Strip, error) {
	if err := check(s.plan, faults); err != nil {
		return nil, err
	}
	return build(s.plan, append([]Fault(nil), faults...)), nil
}

// Prop is the plan the strip was built from.
func (s *Strip) Prop() *prop.Prop { return s.prop }

// Faults is a copy of the strip's faults.
func (s *Strip) Faults() []Fault { return append([]Fault(nil), s.faults...) }

// Buffers makes dark slots for every universe of the plan, in patch order.
func (s *Strip) Buffers() [][]byte { return s.patch.Buffers() }

// Light is the light for the slots of the plan's universes, in the order of the
// patch. Missing slots and universes count as 0.
func (s *Strip) Light(slots [][]byte) Light { return s.LightInto(nil, slots) }

// LightInto is Light in the memory of dst: it allocates nothing when dst came
// from a strip with runs as long.
func (s *Strip) LightInto(dst Light, slots [][]byte) Light {
	return s.fromSlots(dst, slots, len(s.spans))
}

// LightAt is LightInto t after the start, for strips with loose joints or random
// flashes; others are the same at any time.
func (s *Strip) LightAt(dst Light, slots [][]byte, t time.Duration) Light {
	return s.sparkAt(s.fromSlots(dst, slots, s.spansInContact(t)), t)
}

// fromSlots lights the spans before upto; the rest is dark.
func (s *Strip) fromSlots(dst Light, slots [][]byte, upto int) Light {
	dst = s.resize(dst)
	for i := range s.spans {
		sp := &s.spans[i]
		if sp.dark || i >= upto {
			sp.blacken(dst[sp.run])
		} else {
			sp.fromSlots(dst[sp.run], slots)
		}
	}
	return s.dim(dst)
}

// resize makes dst fit the strip.
func (s *Strip) resize(dst Light) Light {
	dst = slices.Grow(dst[:cap(dst)], max(0, len(s.sizes)-cap(dst)))[:len(s.sizes)]
	for i, n := range s.sizes {
		dst[i] = slices.Grow(dst[i][:0], n)[:n]
	}
	return dst
}

// Universes are the universes that the controller reads: the plan's, and those
// beyond them that a wrong set-up reads.
func (s *Strip) Universes() []protocol.Universe {
	last := len(s.patch.Universes()) - 1
	for i := range s.spans {
		if sp := &s.spans[i]; !sp.dark && sp.splitBytes == nil {
			last = max(last, int(sp.universe))
		}
	}
	var out []protocol.Universe
	for i := range last + 1 {
		if u := int(s.prop.Address.Universe) + i; u <= prop.MaxUniverse {
			out = append(out, protocol.Universe(u))
		}
	}
	return out
}
