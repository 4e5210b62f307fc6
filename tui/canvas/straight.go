package canvas

import "example.org/ringout/internal/prop"

// Straight reports whether a prop is one straight strip, which is better drawn in rows.
func Straight(p *prop.Prop) bool {
	return len(p.Runs) == 1 && p.Runs[0].Shape.Kind == prop.Line && len(p.Runs[0].Shape.Corners) <= 2
}
