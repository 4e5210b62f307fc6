package pictures

import "example.org/ringout/internal/prop"

// AsBuilt is the plan change of the first finding, if that is firm, nothing else looks the same and no
// place that was read contradicts it. Unread places do not count against it.
func (p *Proof) AsBuilt() (found prop.Found, ok bool) {
	if len(p.Findings) == 0 || len(p.Against) > 0 || p.Result.Unlit {
		return found, false
	}
	f := p.Findings[0]
	if f.Good || !f.Sure.Firm() || len(f.Causes) == 0 {
		return found, false
	}
	found, alike, ok := f.AsBuilt(p.Prop)
	if len(alike) > 0 {
		return prop.Found{}, false
	}
	return found, ok
}
