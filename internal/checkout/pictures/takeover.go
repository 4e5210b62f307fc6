package pictures

import (
	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
)

// AsBuilt is the plan change of the first finding, if that is firm and no place that was
// read contradicts it. Unread places do not count against it.
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
