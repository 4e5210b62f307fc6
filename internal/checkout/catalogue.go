package checkout

import (
	"slices"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// A family is all faults of one kind and parameter, at every place.
type family struct {
	name   string
	facts  strip.Facts
	prior  float64 // of a hundred props, how many have one of them
	faults []strip.Fault
	places bool // the faults differ in Pixel only, ascending
	behind bool // it represents another family's with something unknown after

	of int // that family

	from, to int // its hypotheses
}

// priorGood and priorUnknown are how many of a hundred fresh props have nothing
// wrong, and a fault that is none of the list (common practice, and rough; how
// many have each kind of fault is in its row in package strip).
const (
	priorGood    = 35
	priorUnknown = 3
)

// families lists every fault a prop can have, by family. A kind's prior is
// shared by its families.
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
			fs = append(fs, family{name: facts.Name, facts: facts, places: true, faults: everywhere(f, p.Pixels()),
				prior: facts.Chance * parameterWeight(p, f) / sum})
		}
	}
	return fs
}

// parameterWeight is the weight of a fault apart from its place.
func parameterWeight(p *prop.Prop, f strip.Fault) float64 {
	f.Pixel = 0
	return f.Weight(p) / strip.FactsOf(f.Kind).JointWeight()
}

// everywhere is a fault at every pixel.
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
