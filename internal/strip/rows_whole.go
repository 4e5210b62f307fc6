package strip

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// wholeRows are the faults of the whole prop, its controller or its supply.
var wholeRows = []*row{
	// All dark, as with missing ground, missing data, reversed strip and another
	// universe (common practice): light alone does not distinguish them.
	{
		kind: NoSupply, sample: "no-supply",
		large: always("No supply"),
		Facts: Facts{Scope: Whole, Name: "no supply", Effort: 0, Chance: 3, bring: bringSupply,
			Remedy: "Measure the supply's voltage at the first pixel; check switch, fuse and polarity. Power off before you touch wires or fuse. The mains side is for licensed people."},
		sentence: sameSentence("The prop has no supply."),
		effect:   effect{stop: func(*builder, Fault) int { return 0 }, feeds: func(c *copper, _ *prop.Prop, _ Fault) { c.fed = 0 }},
	},
	// A chip takes data at its input pin alone: all dark (common practice).
	{
		kind: WrongEnd, sample: "wrong-end",
		large: always("Data in the wrong end", "Wrong end"),
		Facts: Facts{Scope: Whole, Name: "data into the wrong end", Effort: 30, Chance: 3, bring: bringJoint,
			Remedy: "Power off. Follow the arrows printed on the strip: the data wire goes to the end they point away from."},
		sentence: sameSentence("The data wire is soldered to the output end of the prop."),
		effect:   effect{stop: func(*builder, Fault) int { return 0 }},
	},
	// N universes are added to the planned one; the sum is 1 to 63999 (E1.31 6.2.7).
	// A prop of one universe is dark; one of several shows data of another place.
	{
		kind: WrongAddress, reads: fieldN, sample: "wrong-address by 1",
		large: func(p *prop.Prop, f Fault) []string {
			at := int(p.Address.Universe)
			return []string{fmt.Sprintf("Universe %d, not %d", at+f.N, at), fmt.Sprintf("Universe is %d", at+f.N)}
		},
		Facts: Facts{Scope: Whole, Name: "universe not as planned", Many: "universes", Effort: 10, Chance: 4,
			Remedy: "Compare host and universe with the controller's own setting."},
		sentence: func(f Fault, p *prop.Prop) string {
			return fmt.Sprintf("The controller listens on universe %d instead of %d.", int(p.Address.Universe)+f.N, p.Address.Universe)
		},
		check: checkAddress, every: addressFaults, weight: smallLikelier, draw: drawSigned(2),
		effect: effect{send: func(c *controller, f Fault) { c.universe += f.N }},
	},
	// N slots are added to the planned start. An offset of 1 rotates the colours of
	// every pixel, and the first or last pixel has some channels only.
	{
		kind: SlotShift, reads: fieldN, sample: "slot-shift by 1",
		large: func(p *prop.Prop, f Fault) []string {
			at := p.Address.Slot + 1
			return []string{fmt.Sprintf("Starts at slot %d, not %d", at+f.N, at), fmt.Sprintf("Slot %d, not %d", at+f.N, at)}
		},
		Facts: Facts{Scope: Whole, Name: "start slot not as planned", Many: "slots", Effort: 20, Chance: 4,
			Remedy: "Set the start slot in the controller or in the prop file: both must say the same."},
		sentence: func(f Fault, p *prop.Prop) string {
			return fmt.Sprintf("The controller starts at slot %d instead of %d.", p.Address.Slot+f.N+1, p.Address.Slot+1)
		},
		check: checkSlot, every: slotFaults, weight: smallLikelier, draw: drawSigned(2),
		built:  func(out *prop.Found, p *prop.Prop, f Fault) { out.Slot = p.Address.Slot + f.N + 1 },
		effect: effect{send: func(c *controller, f Fault) { c.slot += f.N }},
	},
	// With 510 slots used on one side and 512 on the other, RGB pixels are right up
	// to 170 and shifted by two slots from 171 on.
	{
		kind: WrongPacking, sample: "wrong-packing",
		large: func(p *prop.Prop, _ Fault) []string {
			if p.Address.Packing == prop.Straddle {
				return []string{"No pixel in two universes", "No pixel in two"}
			}
			return []string{"Universe has 512 slots", "512 slots, not 510"}
		},
		Facts: Facts{Scope: Whole, Name: "universes filled in another way", Effort: 22, Chance: 3,
			Remedy: "May a pixel lie across two universes? Controller and prop file must say the same: change one of them."},
		sentence: packingSentence, check: checkPacking,
		effect: effect{send: func(c *controller, _ Fault) { c.packing = otherPacking(c.packing) }},
	},
	// N and N2 are universe numbers. The first 170 RGB pixels show the data of the
	// second 170.
	{
		kind: UniversesSwapped, reads: fieldN | fieldN2, sample: "universes-swapped universe 1 universe 2",
		large: func(_ *prop.Prop, f Fault) []string {
			return []string{fmt.Sprintf("Universes %d and %d swapped", f.N, f.N2), "Universes swapped"}
		},
		Facts: Facts{Scope: Whole, Name: "universes swapped", Many: "pairs", Effort: 24, Chance: 2,
			Remedy: "Compare the order of the universes in controller and prop file, and set both alike."},
		sentence: func(f Fault, _ *prop.Prop) string {
			return fmt.Sprintf("Universes %d and %d are exchanged in the controller.", f.N, f.N2)
		},
		check: checkUniverses, every: universeFaults, draw: drawUniverses,
		effect: effect{send: func(c *controller, f Fault) { c.swaps = append(c.swaps, [2]int{f.N, f.N2}) }},
	},
	// A level shifter made of one pixel takes the first pixel's bytes: every pixel
	// shows what the one before it should, the last one's are dropped.
	{
		kind: HiddenFirst, sample: "hidden-first",
		large: always("Hidden pixel before pixel 1", "Hidden pixel"),
		Facts: Facts{Scope: Whole, Name: "hidden pixel before the first", Effort: 26, Chance: 2, bring: bringJoint,
			Remedy: "A pixel between controller and prop takes the first pixel's data; a level shifter may be made of one: plan for it with a start slot one pixel earlier. Or power off and take it out."},
		sentence: sameSentence("A hidden pixel before the first one takes its data: all that follows is one pixel late."),
		effect:   effect{wire: func(w *wiring, _ Fault) { w.hiddenChips++ }},
	},
	// Every run and the order of the runs are reversed: the data reaches the first
	// pixel on the drawing last.
	{
		kind: Mirrored, sample: "mirrored",
		large: always("Wired from the far end", "Wired from far end"),
		Facts: Facts{Scope: Whole, Name: "wired from the far end", Effort: 70, Chance: 2, bring: bringJoint,
			Remedy: "Power off and feed data into the other end. Or turn the order of the runs round in the prop file."},
		sentence: sameSentence("The prop is wired from its far end."),
		built:    mirroredPlan,
		effect: effect{wire: func(w *wiring, _ Fault) {
			slices.Reverse(w.seq)
			for i := range w.back {
				w.back[i] = !w.back[i]
			}
		}},
	},
	// N lights an address. Strip of 12 V has three LEDs in series on one chip, so 60
	// a metre have 20 addresses: a dark group of 3 is one pixel (common practice).
	{
		kind: Grouped, reads: fieldN, sample: "grouped by 3",
		large: func(_ *prop.Prop, f Fault) []string {
			return []string{fmt.Sprintf("%d lights act as one", f.N), fmt.Sprintf("%d act as one", f.N)}
		},
		Facts: Facts{Scope: Whole, Name: "several lights share an address", Many: "group sizes", Effort: 50, Chance: 3,
			Remedy: "Set the lights per address in the prop file; or power off and change to strip with one address a light."},
		sentence: func(f Fault, _ *prop.Prop) string {
			return fmt.Sprintf("One address drives %d lights where one was planned.", f.N)
		},
		check: checkGroup, every: func(*prop.Prop) []Fault { return []Fault{{N: 2}, {N: 3}, {N: 4}, {N: 6}} },
		draw:   func(_ *plan, f *Fault, rng *rand.Rand) { f.N = 2 + rng.IntN(2) },
		effect: effect{wire: func(w *wiring, f Fault) { w.group = f.N }},
	},
	// N in milliohms a metre, both rails. White turns yellow, orange, then red
	// towards the far end, and not when dimmed (common practice; LED voltages from
	// the WS2812B datasheet).
	{
		kind: Sag, reads: fieldN, optional: fieldN, sample: "sag by 1500",
		large: always("Volts too low at the far end", "Volts too low"),
		Facts: Facts{Scope: Whole, Name: "voltage too low at the far end", Effort: 180, Chance: 5, Graded: true, bring: bringSupply,
			Remedy: "Lower the level. Or power off and add a feed, with a fuse, at the far end. Or power off and use thicker wire."},
		sentence: sagSentence, check: checkSag, every: sagFaults,
		effect: effect{supply: func(s *Strip, f Fault) { s.sag = newSag(s.prop, f) }},
	},
	// Random sparkles at every level come from a long or unshielded data lead, no
	// resistor, no common ground, or 3.3 V at an input that wants 0.7·VDD, 3.5 V
	// (common practice; WS2812B datasheet).
	{
		kind: Sparkle, sample: "sparkle",
		large: always("Data is disturbed"),
		Facts: Facts{Scope: Whole, Name: "random flashes", Effort: 170, Chance: 4, bring: bringJoint,
			Remedy: "Does another sender light this prop too? End it and check again. Power off. Join the grounds of controller and supply. Shorten the data lead or twist it with ground. Put a level shifter in it if the controller drives 3.3 V; a resistor of some hundred ohms at the controller helps against ringing."},
		sentence: sameSentence("The data is disturbed on its way: pixels flash in random colours."),
		effect:   effect{sparks: true},
	},
}

// sameSentence is the same sentence for every fault of a kind.
func sameSentence(text string) func(Fault, *prop.Prop) string {
	return func(Fault, *prop.Prop) string { return text }
}

func packingSentence(_ Fault, p *prop.Prop) string {
	if p.Address.Packing == prop.Straddle {
		return "The controller keeps pixels whole in a universe; all 512 slots were planned to be used."
	}
	return "The controller uses all 512 slots of a universe where whole pixels were planned."
}

func sagSentence(f Fault, _ *prop.Prop) string {
	if f.N == 0 {
		return "The voltage falls along the prop: white turns red and dim towards the far end."
	}
	return fmt.Sprintf("The voltage falls along the prop: as with about %s a metre there and back: white turns red and dim towards the far end.", words.Ohms(float64(f.N)/1000))
}

// SagBetween is the sentence of a fall of voltage with a strength from low to
// high, milliohms a metre, both rails. The largest listed strength stands for all
// larger ones, the smallest for all smaller ones.
func SagBetween(low, high int) string {
	if low == high {
		return sagSentence(Fault{N: low}, nil)
	}
	ohms, last := func(n int) string { return words.Ohms(float64(n) / 1000) }, len(sagOhms)-1
	about := words.Figure(float64(low)/1000) + " to " + ohms(high) + " a metre"
	switch {
	case low <= sagOhms[0] && high >= sagOhms[last]:
		return "The voltage falls along the prop, how strongly is not known: white turns red and dim towards the far end."
	case high >= sagOhms[last]:
		about = ohms(low) + " a metre or more"
	case low <= sagOhms[0]:
		about = ohms(high) + " a metre or less"
	}
	return fmt.Sprintf("The voltage falls along the prop, as with %s there and back: white turns red and dim towards the far end.", about)
}

// slotOff is the largest error of the start slot that is listed.
const slotOff = 12

// smallLikelier is the weight of a fault by N: smaller changes weigh more
// (assumed).
func smallLikelier(_ *prop.Prop, f Fault) float64 { return 1 / float64(2+max(f.N, -f.N)) }

func addressFaults(p *prop.Prop) []Fault {
	var out []Fault
	universes := 1 + (p.Address.Slot+p.Pixels()*p.Chip.Order.Slots())/prop.SlotsPerUniverse
	for n := 1; n <= min(universes, 12); n++ {
		for _, by := range []int{n, -n} {
			if u := int(p.Address.Universe) + by; u >= 1 && u <= prop.MaxUniverse {
				out = append(out, Fault{N: by})
			}
		}
	}
	return out
}

func slotFaults(p *prop.Prop) []Fault {
	var out []Fault
	for n := -slotOff; n <= slotOff; n++ {
		if s := p.Address.Slot + n; n != 0 && s >= 0 && s < prop.SlotsPerUniverse {
			out = append(out, Fault{N: n})
		}
	}
	return out
}

// universesOf are the universe numbers of a prop; none when it has no patch.
func universesOf(p *prop.Prop) []int {
	patch, err := prop.PatchFor(p)
	if err != nil {
		return nil
	}
	var out []int
	for _, u := range patch.Universes() {
		out = append(out, int(u))
	}
	return out
}

// mostPairs is the largest number of pairs of universes or runs that is listed;
// with more of them only neighbours are.
const mostPairs = 66

// pairs are the pairs of 0..n-1, or only neighbours when there are more than
// mostPairs.
func pairs(n int) (out [][2]int) {
	for b := range n {
		for a := range b {
			if n*(n-1)/2 <= mostPairs || b == a+1 {
				out = append(out, [2]int{a, b})
			}
		}
	}
	return out
}

func universeFaults(p *prop.Prop) []Fault {
	var out []Fault
	us := universesOf(p)
	for _, ab := range pairs(len(us)) {
		out = append(out, Fault{N: us[ab[0]], N2: us[ab[1]]})
	}
	return out
}

func drawUniverses(pl *plan, f *Fault, rng *rand.Rand) {
	us := universesOf(pl.prop)
	f.N, f.N2 = us[rng.IntN(len(us))], us[rng.IntN(len(us))]
	if f.N > f.N2 {
		f.N, f.N2 = f.N2, f.N
	}
}

// sagOhms are the strengths of Sag, milliohms a metre, both rails: from a sound
// strip fed at one end (0.4 Ω) to an almost broken rail. Each is about 1.5 times
// the one before, since people do not see smaller differences (assumed).
var sagOhms = []int{500, 700, 1000, 1500, 2200, 3300, 5000, 7500, 11000}

func sagFaults(*prop.Prop) []Fault {
	var out []Fault
	for _, n := range sagOhms {
		out = append(out, Fault{N: n})
	}
	return out
}

// drawSigned draws N from 1 to most, positive or negative.
func drawSigned(most int) func(*plan, *Fault, *rand.Rand) {
	return func(_ *plan, f *Fault, rng *rand.Rand) {
		sign := 1 - 2*rng.IntN(2)
		f.N = sign * (1 + rng.IntN(most))
	}
}

func mirroredPlan(out *prop.Found, p *prop.Prop, _ Fault) {
	out.Runs = inOrder(len(p.Runs))
	slices.Reverse(out.Runs)
	for i, r := range p.Runs {
		out.Reverse = put(out.Reverse, i, !r.Reverse)
	}
}

// put sets a value of a map, and makes the map if it is nil.
func put[V any](m map[int]V, k int, v V) map[int]V {
	if m == nil {
		m = map[int]V{}
	}
	m[k] = v
	return m
}

func inOrder(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

func checkAddress(pl *plan, f Fault) error {
	if u := int(pl.prop.Address.Universe); f.N == 0 || u+f.N < 1 || u+f.N > prop.MaxUniverse {
		return fmt.Errorf("universe %d moved by %d: give a change other than 0 that leaves 1 to %d", u, f.N, prop.MaxUniverse)
	}
	return nil
}

func checkSlot(pl *plan, f Fault) error {
	if s := pl.prop.Address.Slot; f.N == 0 || s+f.N < 0 || s+f.N >= prop.SlotsPerUniverse {
		return fmt.Errorf("slot %d moved by %d: give a change other than 0 that leaves 1 to %d", s+1, f.N, prop.SlotsPerUniverse)
	}
	return nil
}

func checkPacking(pl *plan, _ Fault) error {
	a := pl.prop.Address
	if slices.Equal(stream(pl.pixels, len(pl.channels), 0, a.Slot, otherPacking(a.Packing)), pl.stream) {
		return fmt.Errorf("the slots of this prop lie the same whether or not pixels may straddle universes: it cannot be packed wrongly")
	}
	return nil
}

func checkUniverses(pl *plan, f Fault) error {
	us := pl.patch.Universes()
	first, last := int(us[0]), int(us[len(us)-1])
	if f.N == f.N2 || min(f.N, f.N2) < first || max(f.N, f.N2) > last {
		return fmt.Errorf("universes %d and %d exchanged: name two of the prop's, %d to %d", f.N, f.N2, first, last)
	}
	return nil
}

func checkGroup(_ *plan, f Fault) error {
	if f.N < 2 || f.N > prop.MaxPixels {
		return fmt.Errorf("grouped by %d: give 2 or more lights to an address", f.N)
	}
	return nil
}

func checkSag(_ *plan, f Fault) error {
	if f.N < 0 || f.N > 1_000_000 {
		return fmt.Errorf("sag by %d: give the milliohms of a metre of strip, there and back, up to 1000000", f.N)
	}
	return nil
}
