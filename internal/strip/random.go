package strip

import (
	"math/rand/v2"

	"example.org/ringout/internal/prop"
)

// Random is a fault that the prop can have and that its light tells: each kind
// is as likely as any other, then each place. The same seed gives the same
// fault. A prop no strip can be made for gets a fault that New refuses along
// with it.
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

// random makes up a fault, not always one that can be. NoSupply and others
// without a value always can, so Random ends.
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
