package checkout

import (
	"fmt"

	"example.org/ringout/internal/strip"
)

// effort is the sort key of causes with the same light: one fault before two,
// then the cheapest to try.
func effort(c Cause) int {
	n := 0
	for _, f := range c.Faults {
		n += 1000 + strip.FactsOf(f.Kind).Effort
	}
	return n
}

// where names the place of a fault: run, pixel from the data end, and joint;
// empty for the whole prop.
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
