package strip

import (
	"math/rand/v2"

	"example.org/ringout/internal/prop"
)

// Random is a fault that the prop can have and that its light tells: each kind
// is as likely as any other, then each place. Resistance is left out: at bench
// levels it takes a voltmeter. The same seed gives the same fault. A prop no strip
// can be made for gets a fault that New refuses along with it.
func Random(p *prop.Prop, seed uint64) Fault {
	pl, err := newPlan(p)
	if err != nil {
		return Fault{}
	}
	rng := rand.New(rand.NewPCG(seed, 0x72696e67))
	for {
		f := draw(pl, rng)
		if check(pl, []Fault{f}) == nil {
			return f
		}
	}
}

// draw makes up a fault, not always one that can be. NoSupply and others
// without a value always can, so Random ends.
func draw(pl *plan, rng *rand.Rand) Fault {
	k := kinds[rng.IntN(len(kinds)-1)] // the last is Resistance
	f := Fault{Kind: k.kind}
	if k.fields&fieldPixel != 0 {
		f.Pixel = rng.IntN(pl.pixels)
	}
	if k.fields&fieldRun != 0 {
		f.Run = rng.IntN(len(pl.first))
	}
	if k.fields&fieldRun2 != 0 {
		f.Run2 = rng.IntN(len(pl.first))
	}
	if k.fields&fieldChannel != 0 {
		f.Channel = pl.channels[rng.IntN(len(pl.channels))]
	}
	if k.kind == WrongOrder {
		f.Order = shuffled(pl.order, rng)
	}
	if (k.kind == WrongOrder || k.kind == WrongChip) && rng.IntN(2) == 0 {
		f.Pixel = pl.first[rng.IntN(len(pl.first))] // whole reels are wrong more often than pieces
	}
	if k.fields&fieldN != 0 {
		f.N = drawNumber(k.kind, rng)
	}
	return f
}

// drawNumber is a number likely for the kind.
func drawNumber(k Kind, rng *rand.Rand) int {
	sign := 1 - 2*rng.IntN(2)
	switch k {
	case WrongChip:
		return 3 + rng.IntN(2)
	case Grouped:
		return 2 + rng.IntN(2)
	case Sag:
		return 0
	case Count:
		return sign * (1 + rng.IntN(3))
	}
	return sign * (1 + rng.IntN(2)) // WrongAddress, SlotShift
}

// shuffled is the order with its letters in another place.
func shuffled(o prop.Order, rng *rand.Rand) prop.Order {
	b := []byte(o)
	rng.Shuffle(len(b), func(i, j int) { b[i], b[j] = b[j], b[i] })
	return prop.Order(b)
}
