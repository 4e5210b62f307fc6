package prop

import (
	"math"
	"sort"
)

// Circumference of a ring of the given diameter, in metres.
func Circumference(diameter float64) float64 { return math.Pi * diameter }

// RingDiameter is the diameter of the ring that a length of tube or strip
// bends into, in metres.
func RingDiameter(circumference float64) float64 { return circumference / math.Pi }

// NestSpacing is the distance from tube to tube, centre to centre, of two
// nested rings, in metres, from their circumferences: each ring is 2 pi times
// the spacing longer than the one inside it.
func NestSpacing(outer, inner float64) float64 { return (outer - inner) / (2 * math.Pi) }

// A Mark is where a ring crosses the backbone.
type Mark struct {
	Ring int     // index into the diameters given
	At   float64 // metres from the first mark
}

// Backbone are the marks to drill on a straight bar through the middle of
// nested rings that share one centre: each ring crosses it twice. Sorted along
// the bar, from the outermost ring's mark at 0 to its other one. Diameters in
// metres; one that is not above zero has no marks.
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

// RingDiameters are the diameters of the prop's runs that are rings, and which
// runs they are.
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
