package prop

import (
	"math"
	"sort"
)

// Circumference is that of a ring of the given diameter, both in metres.
func Circumference(diameter float64) float64 { return math.Pi * diameter }

// RingDiameter is the diameter, in metres, of a ring bent from a length of tube or
// strip.
func RingDiameter(circumference float64) float64 { return circumference / math.Pi }

// NestSpacing is the centre distance of the tubes of two nested rings, in metres, from
// their circumferences, which differ by 2 pi times the spacing.
func NestSpacing(outer, inner float64) float64 { return (outer - inner) / (2 * math.Pi) }

// A Mark is where a ring crosses the backbone.
type Mark struct {
	Ring int     // index into the diameters given
	At   float64 // metres from the first mark
}

// Backbone returns the drilling marks on a straight bar through the common centre of
// nested rings, which each cross it twice. The marks are sorted along the bar, from 0
// at the first mark of the outermost ring. Diameters are in metres; those not above
// zero have no marks.
func Backbone(diameters []float64) []Mark {
	span := 0.0
	for _, d := range diameters {
		span = max(span, d)
	}
	var marks []Mark
	for i, d := range diameters {
		if d > 0 {
			marks = append(marks, Mark{i, (span - d) / 2}, Mark{i, (span + d) / 2})
		}
	}
	sort.SliceStable(marks, func(a, b int) bool { return marks[a].At < marks[b].At })
	return marks
}

// RingDiameters returns the runs of the prop that are rings and their diameters, in
// metres.
func RingDiameters(p *Prop) (runs []int, diameters []float64) {
	for i, r := range p.Runs {
		if r.Shape.Kind != Ring {
			continue
		}
		d := r.Shape.Diameter
		if d <= 0 {
			d = RingDiameter(p.Length(i))
		}
		runs, diameters = append(runs, i), append(diameters, d)
	}
	return runs, diameters
}
