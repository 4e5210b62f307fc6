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
	kind   strip.Kind
	chance float64 // that a prop has one of them, before anything was asked
	faults []strip.Fault
	places bool // the faults differ in Pixel only, ascending
	behind bool // it stands for another family's with something unknown behind

	from, to int // its hypotheses
}

// chances is how often a kind of fault is met on a fresh prop, in parts of a
// hundred (common practice, and rough: a few answers outweigh it).
var chances = map[strip.Kind]float64{
	strip.NoSupply: 3, strip.WrongEnd: 3, strip.WrongAddress: 4,
	strip.OpenJoint: 10, strip.RunBackwards: 3, strip.DeadStop: 5, strip.RailLost: 3,
	strip.DeadPixel: 6, strip.DeadChannel: 5, strip.WrongOrder: 8, strip.WrongChip: 4,
	strip.Mirrored: 2, strip.RunMirrored: 4, strip.RunsSwapped: 4, strip.Count: 6,
	strip.SlotShift: 4, strip.Grouped: 3, strip.Flicker: 5, strip.Sag: 5,
}

// chanceGood is that nothing is wrong.
const chanceGood = 0.35

// Most that counts and start slots are thought to be off.
const (
	countOff = 10
	slotOff  = 6
)

// families lists every fault a prop can have, by family. A kind's chance is
// shared by its families, and by its places: a joint made by hand is as likely
// to fail as jointWeight places inside a run.
func families(p *prop.Prop) []family {
	var fs []family
	n := p.Pixels()
	whole := func(k strip.Kind, faults ...strip.Fault) {
		if len(faults) > 0 {
			fs = append(fs, family{name: string(k), kind: k, faults: faults})
		}
	}
	everywhere := func(name string, f strip.Fault) {
		fam := family{name: name, kind: f.Kind, places: true}
		for k := range n {
			f.Pixel = k
			fam.faults = append(fam.faults, f)
		}
		fs = append(fs, fam)
	}
	whole(strip.NoSupply, strip.Fault{Kind: strip.NoSupply})
	whole(strip.WrongEnd, strip.Fault{Kind: strip.WrongEnd})
	whole(strip.WrongAddress, addressFaults(p)...)
	for _, k := range []strip.Kind{strip.OpenJoint, strip.DeadStop, strip.RailLost, strip.DeadPixel, strip.Flicker} {
		everywhere(string(k), strip.Fault{Kind: k})
	}
	for _, ch := range p.Chip.Order.Channels() {
		everywhere(string(strip.DeadChannel)+" "+ch.String(), strip.Fault{Kind: strip.DeadChannel, Channel: ch})
	}
	if n == 1 { // "from its first pixel on" and "all of it" are the same
		whole(strip.WrongOrder, allOrders(p.Chip.Order)...)
	} else {
		whole(strip.WrongOrder, orderFaults(p.Chip.Order)...)
		for _, o := range colourOrders(p.Chip.Order) {
			everywhere(string(strip.WrongOrder)+" "+string(o), strip.Fault{Kind: strip.WrongOrder, Order: o})
		}
	}
	everywhere(string(strip.WrongChip), strip.Fault{Kind: strip.WrongChip, N: otherSlots(p.Chip.Order)})
	whole(strip.RunBackwards, eachRun(p, strip.RunBackwards)...)
	whole(strip.Mirrored, strip.Fault{Kind: strip.Mirrored})
	whole(strip.RunMirrored, eachRun(p, strip.RunMirrored)...)
	whole(strip.RunsSwapped, swaps(p)...)
	whole(strip.Count, counts(p)...)
	whole(strip.SlotShift, shifts(p)...)
	whole(strip.Grouped, strip.Fault{Kind: strip.Grouped, N: 2}, strip.Fault{Kind: strip.Grouped, N: 3}, strip.Fault{Kind: strip.Grouped, N: 4})
	whole(strip.Sag, sags(p)...)
	share(fs)
	return fs
}

// share gives each family its part of its kind's chance.
func share(fs []family) {
	of := map[strip.Kind]float64{}
	for _, f := range fs {
		of[f.kind]++
	}
	for i := range fs {
		fs[i].chance = chances[fs[i].kind] / of[fs[i].kind]
	}
}

// jointWeight is how many places inside a run one joint stands for.
const jointWeight = 20

// weight is how likely a fault is beside the others of its family.
func (f *family) weight(p *prop.Prop, ft strip.Fault) float64 {
	if _, at := p.Find(ft.Pixel); !f.places || at != 0 {
		return 1
	}
	switch f.kind {
	case strip.OpenJoint, strip.RailLost, strip.WrongOrder, strip.WrongChip, strip.Flicker:
		return jointWeight
	}
	return 1
}

func addressFaults(p *prop.Prop) []strip.Fault {
	var out []strip.Fault
	for _, n := range []int{1, -1} {
		if u := int(p.Address.Universe) + n; u >= 1 && u <= prop.MaxUniverse {
			out = append(out, strip.Fault{Kind: strip.WrongAddress, N: n})
		}
	}
	return out
}

func eachRun(p *prop.Prop, k strip.Kind) []strip.Fault {
	var out []strip.Fault
	for r := range p.Runs {
		out = append(out, strip.Fault{Kind: k, Run: r})
	}
	return out
}

func swaps(p *prop.Prop) []strip.Fault {
	var out []strip.Fault
	for a := range p.Runs {
		for b := range a {
			out = append(out, strip.Fault{Kind: strip.RunsSwapped, Run: b, Run2: a})
		}
	}
	return out
}

func counts(p *prop.Prop) []strip.Fault {
	var out []strip.Fault
	for r, run := range p.Runs {
		for n := -countOff; n <= countOff; n++ {
			if n != 0 && run.Pixels+n >= 1 && p.Pixels() > 1 {
				out = append(out, strip.Fault{Kind: strip.Count, Run: r, N: n})
			}
		}
	}
	return out
}

func shifts(p *prop.Prop) []strip.Fault {
	var out []strip.Fault
	for n := -slotOff; n <= slotOff; n++ {
		if s := p.Address.Slot + n; n != 0 && s >= 0 && s < prop.SlotsPerUniverse {
			out = append(out, strip.Fault{Kind: strip.SlotShift, N: n})
		}
	}
	return out
}

// sagOhms are the strengths of a falling voltage that are weighed, in milliohms
// a metre there and back: from what a sound strip fed at one end has (0.4 ohm)
// to a rail that hardly carries. Each is about 1.5 times the one before, as
// fine as eyes can tell.
var sagOhms = []int{500, 700, 1000, 1500, 2200, 3300, 5000}

func sags(p *prop.Prop) []strip.Fault {
	var out []strip.Fault
	for _, n := range sagOhms {
		out = append(out, strip.Fault{Kind: strip.Sag, N: n})
	}
	return out
}

// otherSlots is the number of slots of the chip most easily taken for this one.
func otherSlots(o prop.Order) int {
	if o.Slots() == 4 {
		return 3
	}
	return 4
}

// colourOrders are the orders with red, green and blue in other places, and the
// whites where they are.
func colourOrders(o prop.Order) []prop.Order {
	var out []prop.Order
	for _, q := range orders(o) {
		if whitesStay(o, q) {
			out = append(out, q)
		}
	}
	return out
}

func whitesStay(o, q prop.Order) bool {
	for i := range o {
		white := o[i] == 'W' || o[i] == 'C'
		if white && o[i] != q[i] {
			return false
		}
	}
	return true
}

// orderFaults are the orders of a whole prop that colourOrders has not.
func orderFaults(o prop.Order) []strip.Fault {
	var out []strip.Fault
	for _, q := range orders(o) {
		if !whitesStay(o, q) {
			out = append(out, strip.Fault{Kind: strip.WrongOrder, Order: q})
		}
	}
	return out
}

// allOrders are all other orders of a whole prop.
func allOrders(o prop.Order) []strip.Fault {
	var out []strip.Fault
	for _, q := range orders(o) {
		out = append(out, strip.Fault{Kind: strip.WrongOrder, Order: q})
	}
	return out
}

// orders are all orders of the same letters but the one given, sorted.
func orders(o prop.Order) []prop.Order {
	var out []prop.Order
	var grow func(head, rest string)
	grow = func(head, rest string) {
		if rest == "" && head != string(o) {
			out = append(out, prop.Order(head))
		}
		for i := range rest {
			grow(head+rest[i:i+1], rest[:i]+rest[i+1:])
		}
	}
	grow("", string(o))
	slices.Sort(out)
	return out
}

// channels are the chip's channels in the order red, green, blue, whites.
func channels(p *prop.Prop) []patterns.Channel {
	chs := p.Chip.Order.Channels()
	slices.Sort(chs)
	return chs
}
