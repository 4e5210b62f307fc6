package strip

import (
	"math/rand/v2"

	"example.org/ringout/internal/prop"
)

// Random is a fault that the prop can have and that its light shows. All kinds
// are equally likely, then all places. The same seed gives the same fault. For a
// prop that New refuses it is the zero Fault.
func Random(p *prop.Prop, seed uint64) Fault {
	pl, err := newPlan(p)
	if err != nil {
		return Fault{}
	}
	rng := rand.New(rand.NewPCG(seed, 0x72696e67))
	for {
		r := table[rng.IntN(len(table))]
		if r.Unlit {
			continue
		}
		if f := r.random(pl, rng); check(pl, []Fault{f}) == nil {
			return f
		}
	}
}

// random draws a fault of the kind, which check may refuse. NoSupply and other
// kinds without a value are never refused, so Random ends.
func (r *row) random(pl *plan, rng *rand.Rand) Fault {
	f := Fault{Kind: r.kind}
	if r.reads&fieldPixel != 0 {
		f.Pixel = rng.IntN(pl.pixels)
	}
	if r.reads&fieldRun != 0 {
		f.Run = rng.IntN(len(pl.first))
	}
	if r.reads&fieldRun2 != 0 {
		f.Run2 = rng.IntN(len(pl.first))
	}
	if r.reads&fieldChannel != 0 {
		f.Channel = pl.channels[rng.IntN(len(pl.channels))]
	}
	if r.draw != nil {
		r.draw(pl, &f, rng)
	}
	return f
}
