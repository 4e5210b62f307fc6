package checkout

import (
	"slices"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// A family holds all faults of one kind and parameter, one for each place.
type family struct {
	name      string
	facts     strip.Facts
	prior     float64 // props of 100 that have one of them
	faults    []strip.Fault
	placed    bool // the faults differ in Pixel only, ascending
	moreAfter bool // a copy of another family, each fault with an unknown one after it

	of int // index of the family copied, when moreAfter

	from, to int // range of its hypotheses in field.hyps; to is not included
}

// priorGood and priorUnknown are the numbers of new props of 100 that have no
// fault, and that have a fault outside the list (common practice, rough). The
// number for each kind of fault is in its row in package strip.
const (
	priorGood    = 35
	priorUnknown = 3
)

// families lists every fault a prop can have, by family, without some kinds. The
// families of a kind share its prior by their weights.
func families(p *prop.Prop, without []strip.Kind) []family {
	var fs []family
	for _, k := range strip.Kinds() {
		facts := strip.FactsOf(k)
		if facts.Unlit || slices.Contains(without, k) {
			continue
		}
		every := strip.Every(k, p)
		if !k.Placed() || p.Pixels() == 1 {
			fs = append(fs, family{name: facts.Name, facts: facts, prior: facts.Chance, faults: every})
			continue
		}
		sum := 0.0
		for _, f := range every {
			sum += parameterWeight(p, f)
		}
		for _, f := range every {
			fs = append(fs, family{name: facts.Name, facts: facts, placed: true, faults: everywhere(f, p.Pixels()),
				prior: facts.Chance * parameterWeight(p, f) / sum})
		}
	}
	return fs
}

// parameterWeight is the relative weight of a fault's parameter. The place is
// set to pixel 0 and its joint weight divided out.
func parameterWeight(p *prop.Prop, f strip.Fault) float64 {
	f.Pixel = 0
	return f.Weight(p) / strip.FactsOf(f.Kind).JointWeight()
}

// everywhere returns one copy of a fault for each pixel.
func everywhere(f strip.Fault, pixels int) []strip.Fault {
	out := make([]strip.Fault, pixels)
	for k := range out {
		out[k] = f
		out[k].Pixel = k
	}
	return out
}

// channels are the chip's channels in the order red, green, blue, whites.
func channels(p *prop.Prop) []patterns.Channel {
	chs := p.Chip.Order.Channels()
	slices.Sort(chs)
	return chs
}
