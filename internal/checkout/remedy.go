package checkout

import (
	"fmt"

	"example.org/ringout/internal/strip"
)

// effort sorts causes that look alike: one fault before two, then what costs
// least to try.
func effort(c Cause) int {
	n := 0
	for _, f := range c.Faults {
		n += 1000 + strip.FactsOf(f.Kind).Effort
	}
	return n
}

// where says the place: run, pixel from the data end, and joint.
func (f *field) where(ft strip.Fault) string {
	places := ft.Places(f.prop)
	if len(places) == 0 {
		return ""
	}
	scope := strip.FactsOf(ft.Kind).Scope
	switch run, at := f.prop.Find(places[0].First); {
	case scope == strip.ChipsFrom && ft.Pixel == 0:
		return "" // the whole prop
	case scope == strip.TwoRuns:
		return f.runText(ft.Run) + " and " + f.runText(ft.Run2)
	case scope == strip.OneRun:
		return f.runText(run)
	case at == 0 && run > 0:
		return fmt.Sprintf("%s, at the joint of %s and %s", strip.Spot(f.prop, ft.Pixel), f.runText(run-1), f.runText(run))
	}
	return strip.Spot(f.prop, ft.Pixel)
}
