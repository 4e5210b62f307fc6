package checkout

import (
	"reflect"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// AsBuilt returns the differences between plan and prop that a new plan can
// take over: counts, colour order, order of the runs, travel and start slot. It
// reports false when the faults hold none of these.
func AsBuilt(p *prop.Prop, faults []strip.Fault) (prop.Found, bool) {
	var f prop.Found
	known := false
	for _, ft := range faults {
		if ft.Built(&f, p) {
			known = true
		}
	}
	return f, known
}

// AsBuilt is the plan change of the finding's first cause, and alike the causes with the same light
// that mean another change or none: while one of them may be true, the plan must not follow unasked.
func (f Finding) AsBuilt(p *prop.Prop) (found prop.Found, alike []Cause, ok bool) {
	if len(f.Causes) == 0 {
		return found, nil, false
	}
	if found, ok = AsBuilt(p, f.Causes[0].Faults); !ok {
		return found, nil, false
	}
	for _, c := range f.Causes[1:] {
		if other, too := AsBuilt(p, c.Faults); !too || !reflect.DeepEqual(found, other) {
			alike = append(alike, c)
		}
	}
	return found, alike, true
}
