package strip

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// A lamp is one chip of the slow model below.
type lamp struct {
	run    int
	places []int
	order  prop.Order
	dead   bool
	lost   []patterns.Channel // it lacks
	stuck  []patterns.Channel // always lit
	first  bool               // of its run
	stops  bool
	cut    bool // the data or supply ends before it
}

// slowLight is the chain again, told chip by chip and byte by byte, without
// spans, universes as pieces or any other short cut: the model the quick one
// is held against.
func slowLight(p *prop.Prop, faults []Fault, slots [][]byte) Light {
	chain, l := slowChain(p, faults)
	bytes := slowStream(p, faults, slots)
	left := map[int][]byte{} // what was left for each run when it began
	for _, c := range chain {
		if c.cut {
			break
		}
		if c.first {
			for _, f := range faults {
				if had, begun := left[f.Run]; f.Kind == RunsParallel && f.Run2 == c.run && begun {
					bytes = had
				}
			}
			left[c.run] = bytes
		}
		n := min(c.order.Slots(), len(bytes))
		var own [5]byte
		copy(own[:], bytes[:n])
		bytes = bytes[n:]
		var col patterns.Colour
		for i, ch := range c.order.Channels() {
			if !slices.Contains(c.lost, ch) {
				col = col.With(ch, own[i])
			}
			if slices.Contains(c.stuck, ch) {
				col = col.With(ch, 255)
			}
		}
		if c.stops {
			break
		}
		for _, at := range c.places {
			if !c.dead {
				l[c.run][at] = col
			}
		}
	}
	return l
}

// slowStream is what the controller sends.
func slowStream(p *prop.Prop, faults []Fault, slots [][]byte) []byte {
	a := p.Address
	u, s, n := 0, a.Slot, p.Chip.Order.Slots()
	for _, f := range faults {
		switch f.Kind {
		case WrongAddress:
			u += f.N
		case SlotShift:
			s += f.N
		case WrongPacking:
			a.Packing = map[prop.Packing]prop.Packing{"": prop.Straddle, prop.Whole: prop.Straddle, prop.Straddle: prop.Whole}[a.Packing]
		}
	}
	var out []byte
	for range p.Pixels() {
		if a.Packing != prop.Straddle && s+n > 512 {
			u, s = u+1, 0
		}
		for range n {
			if s == 512 {
				u, s = u+1, 0
			}
			v := byte(0)
			from := u
			for _, f := range faults {
				switch a, b := f.N-int(p.Address.Universe), f.N2-int(p.Address.Universe); {
				case f.Kind == UniversesSwapped && u == a:
					from = b
				case f.Kind == UniversesSwapped && u == b:
					from = a
				}
			}
			if from >= 0 && from < len(slots) && s < len(slots[from]) {
				v = slots[from][s]
			}
			out, s = append(out, v), s+1
		}
	}
	if slices.ContainsFunc(faults, func(f Fault) bool { return f.Kind == HiddenFirst }) {
		out = out[n:]
	}
	return out
}

// slowChain is the chips along the wire, and a dark light of the right size.
func slowChain(p *prop.Prop, faults []Fault) ([]lamp, Light) {
	seq, group := make([]int, len(p.Runs)), 1
	places, back := make([][]int, len(p.Runs)), make([]bool, len(p.Runs))
	l := make(Light, len(p.Runs))
	for i := range seq {
		seq[i] = i
		n := p.Runs[i].Pixels
		for _, f := range faults {
			if f.Kind == Count && f.Run == i {
				n += f.N
			}
		}
		l[i] = make([]patterns.Colour, n)
		for k := range n {
			places[i] = append(places[i], k)
		}
	}
	for _, f := range faults {
		switch f.Kind {
		case Mirrored:
			slices.Reverse(seq)
			for i := range back {
				back[i] = !back[i]
			}
		case RunMirrored:
			back[f.Run] = !back[f.Run]
		case RunsSwapped:
			a, b := slices.Index(seq, f.Run), slices.Index(seq, f.Run2)
			seq[a], seq[b] = seq[b], seq[a]
		case Grouped:
			group = f.N
		}
	}
	var chain []lamp
	for _, r := range seq {
		if back[r] {
			slices.Reverse(places[r])
		}
		for i, chunk := range slices.Collect(slices.Chunk(places[r], group)) {
			chain = append(chain, slowLamp(p, faults, r, chunk, i == 0))
		}
	}
	return chain, l
}

// slowLamp is one chip with the faults that concern it.
func slowLamp(p *prop.Prop, faults []Fault, run int, places []int, first bool) lamp {
	c := lamp{run: run, places: places, order: p.Chip.Order, first: first}
	plan := p.FirstPixel(run) + min(places[0], p.Runs[run].Pixels-1)
	faults = slices.SortedStableFunc(slices.Values(faults), func(a, b Fault) int { return a.Pixel - b.Pixel })
	for _, f := range faults {
		fr, fa := p.Find(f.Pixel)
		here := fr == run && slices.Contains(places, fa)
		switch f.Kind {
		case NoSupply, WrongEnd:
			c.cut = true
		case OpenJoint, RailLost:
			c.cut = c.cut || here
		case DeadStop:
			c.stops = c.stops || here
		case DeadPixel:
			c.dead = c.dead || here
		case DeadChannel:
			if here {
				c.lost = append(c.lost, f.Channel)
			}
		case StuckChannel:
			if here {
				c.stuck = append(c.stuck, f.Channel)
			}
		case StuckOn:
			if here {
				c.stuck = []patterns.Channel{patterns.Red, patterns.Green, patterns.Blue, patterns.White, patterns.Cool}
			}
		case RunChannel:
			if f.Run == run {
				c.lost = append(c.lost, f.Channel)
			}
		case RunBackwards:
			c.cut = c.cut || f.Run == run && first
		case WrongChip:
			if f.Pixel <= plan {
				c.order = map[int]prop.Order{3: "GRB", 4: "GRBW"}[f.N]
			}
		}
	}
	for _, f := range faults {
		if f.Kind == RunChip && f.Run == run {
			c.order = map[int]prop.Order{3: "GRB", 4: "GRBW"}[f.N]
		}
	}
	for _, f := range faults {
		if f.Kind == WrongOrder && f.Pixel <= plan && f.Order.Slots() == c.order.Slots() {
			c.order = f.Order
		}
	}
	for _, f := range faults {
		if f.Kind == RunOrder && f.Run == run && f.Order.Slots() == c.order.Slots() {
			c.order = f.Order
		}
	}
	return c
}

// drawProp makes a prop over one or more universes.
func drawProp(t *rapid.T) *prop.Prop {
	order := rapid.SampledFrom([]string{"GRB", "GRBW"}).Draw(t, "order")
	runs := rapid.SliceOfN(rapid.IntRange(1, 90), 1, 5).Draw(t, "runs")
	p := bench(order, runs...)
	p.Address.Slot = rapid.SampledFrom([]int{0, 1, 3, 400, 509, 510, 511}).Draw(t, "slot")
	p.Address.Universe = 5
	p.Address.Packing = rapid.SampledFrom([]prop.Packing{"", prop.Whole, prop.Straddle}).Draw(t, "packing")
	return p
}

// drawStrip makes a strip with up to three faults, at most one of each kind.
func drawStrip(t *rapid.T, p *prop.Prop) *Strip {
	var faults []Fault
	for range rapid.IntRange(0, 3).Draw(t, "faults") {
		f := Random(p, rapid.Uint64().Draw(t, "seed"))
		if f.Kind == Sag || f.Kind == Flicker || f.Kind == Sparkle || slices.ContainsFunc(faults, func(g Fault) bool { return g.Kind == f.Kind }) {
			continue
		}
		if _, err := New(p, append(slices.Clone(faults), f)...); err == nil {
			faults = append(faults, f)
		}
	}
	s, err := New(p, faults...)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestQuickModelAgreesWithTheSlowOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProp(t)
		s := drawStrip(t, p)
		f := make(patterns.Frame, p.Pixels())
		seed := rapid.Uint64().Draw(t, "frame")
		for i := range f {
			x := scatter(seed + uint64(i))
			f[i] = patterns.Colour{R: byte(x), G: byte(x >> 8), B: byte(x >> 16), W: byte(x >> 24), C: byte(x >> 32)}
		}
		d := s.Lay(f)
		want := slowLight(p, s.Faults(), d.Slots())
		require.Equal(t, want, s.Light(d.Slots()), "%v", s.Faults())
		require.Equal(t, want, s.ShineInto(nil, d), "%v", s.Faults())
	})
}

func TestSlotsCutShortAndTooMany(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProp(t)
		s := drawStrip(t, p)
		slots := s.Buffers()
		slots = slots[:rapid.IntRange(0, len(slots)).Draw(t, "universes")]
		if rapid.Bool().Draw(t, "more") {
			slots = append(slots, make([]byte, 512))
		}
		for i := range slots {
			slots[i] = make([]byte, rapid.IntRange(0, 600).Draw(t, "len"))
			for k := range slots[i] {
				slots[i][k] = byte(scatter(uint64(i*1000 + k)))
			}
		}
		require.Equal(t, slowLight(p, s.Faults(), slots), s.Light(slots), "%v", s.Faults())
	})
}

func TestDirtyMemoryIsReused(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProp(t)
		a, b := drawStrip(t, p), drawStrip(t, p)
		d := a.Lay(all(p.Pixels(), white))
		dst := a.ShineInto(nil, d)
		require.Equal(t, b.ShineInto(nil, d), b.ShineInto(dst, d))
	})
}
