package checkout

import (
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// AsBuilt is what the faults say of how the prop was really built, where the
// plan can follow: counts, colour order, order of the runs, travel and start
// slot. It reports false when there is nothing of the kind.
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
