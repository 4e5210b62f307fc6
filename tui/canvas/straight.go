package canvas

import (
	"slices"

	"example.org/ringout/internal/prop"
)

// Straight reports whether a prop is one straight strip, which is better drawn in rows.
func Straight(p *prop.Prop) bool {
	return len(p.Runs) == 1 && p.Runs[0].Shape.Kind == prop.Line && len(p.Runs[0].Shape.Corners) <= 2
}

// shapeless reports whether rows show more than any drawing as it lies.
func shapeless(p *prop.Prop) bool { return Straight(p) || unplaced(p) }

// unplaced reports whether the prop file says nowhere how the strip lies: its runs are lines that
// only a drawing of our own puts one below another, so rows show more.
func unplaced(p *prop.Prop) bool {
	return !slices.ContainsFunc(p.Runs, func(r prop.Run) bool {
		return r.Shape.Kind != prop.Line || len(r.Shape.Corners) > 0 || r.Shape.Centre != prop.Point{}
	})
}
