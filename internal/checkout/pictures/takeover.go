package pictures

import (
	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
)

// AsBuilt is what the plan could take over: what the first finding says of how
// the prop was built, where it is certain enough and nothing that was read
// speaks against it. A place that was not read is no proof against.
func (p *Proof) AsBuilt() (found prop.Found, ok bool) {
	if len(p.Findings) == 0 || len(p.Against) > 0 || p.Result.Unlit {
		return found, false
	}
	f := p.Findings[0]
	if f.Good || !f.Sure.Firm() || len(f.Causes) == 0 {
		return found, false
	}
	return checkout.AsBuilt(p.Prop, f.Causes[0].Faults)
}
