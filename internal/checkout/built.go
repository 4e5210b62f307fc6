package checkout

import (
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
