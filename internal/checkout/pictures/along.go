package pictures

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// An Along is the strength of the light at each place of a run, as read and as planned by
// the supply's voltage. 1 is the median place of the prop in both. A camera's picture is
// darker towards its edges, and nearer light is brighter, so only a large fall counts.
type Along struct {
	Run     string
	Read    []float64 // NaN where nothing was read
	Planned []float64

	// Strength of red over that of green and blue. As the voltage falls, green and blue
	// fade first, which no lens or distance causes.
	Red, PlannedRed []float64
}

// strengths are the Along of every run.
func (p *Proof) strengths() []Along {
	planned, reds := p.plannedLight()
	var out []Along
	at := 0
	for _, run := range p.Scene.Runs {
		a := Along{Run: run.Name}
		for range run.Places {
			a.Read = append(a.Read, strengthOf(p.Result.Places[at]))
			a.Planned = append(a.Planned, planned[at])
			a.Red = append(a.Red, rednessOf(p.Result.Places[at]))
			a.PlannedRed = append(a.PlannedRed, reds[at])
			at++
		}
		out = append(out, a)
	}
	normal(out)
	return out
}

// normal scales the strengths so that the median place is 1.
func normal(all []Along) {
	var read []float64
	for _, a := range all {
		read = append(read, slices.DeleteFunc(slices.Clone(a.Read), math.IsNaN)...)
	}
	if len(read) == 0 {
		return
	}
	slices.Sort(read)
	middle := math.Max(read[len(read)/2], 1e-3)
	for _, a := range all {
		for i := range a.Read {
			a.Read[i] /= middle
		}
	}
}

// strengthOf is the mean strength of the colours that are lit.
func strengthOf(one eyes.Place) float64 {
	sum, n := 0.0, 0
	for _, v := range one.Reading.Strength {
		if one.State == eyes.Read && v > 0 {
			sum, n = sum+v, n+1
		}
	}
	if n == 0 {
		return math.NaN()
	}
	return sum / float64(n)
}

// rednessOf is the strength of red over that of green and blue; NaN when one of them is
// dark.
func rednessOf(one eyes.Place) float64 {
	s := one.Reading.Strength
	if one.State != eyes.Read || min(s[0], s[1], s[2]) <= 0 {
		return math.NaN()
	}
	return 2 * s[0] / (s[1] + s[2])
}

// plannedLight is the planned strength at each place in a code look, 1 at the median place,
// and its redness; all 1 when the copper is not known.
func (p *Proof) plannedLight() (out, reds []float64) {
	out, reds = make([]float64, len(p.Result.Places)), make([]float64, len(p.Result.Places))
	for i := range out {
		out[i], reds[i] = 1, 1
	}
	left, err := p.left()
	if err != nil || len(left) != len(out) {
		return out, reds
	}
	channels := p.Prop.Chip.Order.Channels()
	for i, c := range left {
		sum := 0.0
		for _, ch := range channels {
			sum += float64(c.Get(ch)) / 255
		}
		out[i] = sum / float64(len(channels))
		reds[i] = float64(c.R) / math.Max(float64(c.G), 1)
	}
	middle := slices.Sorted(slices.Values(out))[len(out)/2]
	for i := range out {
		out[i] /= math.Max(middle, 1e-3)
	}
	return out, reds
}

// left is the light that the planned voltage leaves while the last look is shown.
func (p *Proof) left() ([]patterns.Colour, error) {
	sound, err := strip.New(p.Prop)
	if err != nil {
		return nil, err
	}
	sent := p.Scene.Frame(nil, p.Scene.Looks[len(p.Scene.Looks)-1], p.Prop.Chip.Order.Channels())
	for i, c := range sent {
		sent[i] = c.Dim(p.Scene.Level)
	}
	return sound.Left(sent)
}

// Ends are the mean strengths of the first and the last fifth of the places that were read,
// as read and as planned; NaN when none was.
func (a Along) Ends() (first, last, plannedFirst, plannedLast float64) {
	read, planned := known(a.Read, a.Planned)
	n := endOf(read)
	end := len(read) - n
	return mean(read[:n]), mean(read[end:]), mean(planned[:n]), mean(planned[end:])
}

// fall is the ratio of far to near light, over the planned ratio; NaN when nothing was read.
func (a Along) fall() float64 {
	first, last, plannedFirst, plannedLast := a.Ends()
	return (last / first) / (plannedLast / plannedFirst)
}

// known is all without NaN, and the values of with at the same indexes.
func known(all, with []float64) (values, others []float64) {
	for i, v := range all {
		if !math.IsNaN(v) {
			values, others = append(values, v), append(others, with[i])
		}
	}
	return values, others
}

// endOf is the number of values at an end: a fifth.
func endOf(all []float64) int { return min(len(all), max(1, len(all)/5)) }

// mean is the mean of the known values; NaN when most are not known.
func mean(all []float64) float64 {
	sum, n := 0.0, 0
	for _, v := range all {
		if !math.IsNaN(v) {
			sum, n = sum+v, n+1
		}
	}
	if n == 0 || 2*n < len(all) {
		return math.NaN()
	}
	return sum / float64(n)
}

// plainFall is the share of its light that a run must lose beyond the plan, from its
// brighter to its dimmer end, to be reported from camera pictures.
const plainFall = 0.3

// leastCurve is the least number of read places for a fall to be reported.
const leastCurve = 10

// Sags reports whether a run loses clearly more light along its data than planned.
func (a Along) Sags() bool {
	read, _ := known(a.Read, a.Planned)
	fall := a.fall()
	return len(read) >= leastCurve && (fall < 1-plainFall || fall > 1/(1-plainFall)) || a.Reddens()
}

// Limits for light that is clearly redder at one end than planned: the increase, and the
// increase over the deviation between places.
const (
	plainRed  = 0.15
	redSpread = 4
)

// Reddens reports whether the light is clearly redder than planned, and dimmer, towards one
// end.
func (a Along) Reddens() bool {
	reds, planned := known(a.Red, a.PlannedRed)
	if len(reds) < leastCurve {
		return false
	}
	n := endOf(reds)
	end := len(reds) - n
	for i := range reds {
		reds[i] /= planned[i]
	}
	one, other := mean(reds[:n]), mean(reds[end:])
	spread := math.Hypot(deviation(reds[:n]), deviation(reds[end:])) / math.Sqrt(float64(n))
	dims := a.fall()
	if other < one { // the near end is the redder one
		one, other, dims = other, one, 1/dims
	}
	return other/one > 1+plainRed && other-one > redSpread*spread && dims < 1
}

// deviation is the standard deviation of values.
func deviation(all []float64) float64 {
	m, sum := mean(all), 0.0
	for _, v := range all {
		sum += (v - m) * (v - m)
	}
	return math.Sqrt(sum / float64(max(len(all)-1, 1)))
}

// whole is the Along of all runs in wiring order, as the supply's current passes them.
func whole(all []Along) (out Along) {
	for _, a := range all {
		out.Read, out.Planned = append(out.Read, a.Read...), append(out.Planned, a.Planned...)
		out.Red, out.PlannedRed = append(out.Red, a.Red...), append(out.PlannedRed, a.PlannedRed...)
	}
	return out
}

// bars are eighths of a cell.
var bars = []rune("▁▂▃▄▅▆▇█")

// Curve draws strengths as a row of bars, full at 1.5 times the median; a dot for places
// that were not read. Of several places in a cell the weakest is drawn, so that a fault is
// not hidden.
func Curve(all []float64, width int) string {
	var b strings.Builder
	columns := min(width, len(all))
	for c := range columns {
		v := weakest(all[c*len(all)/columns : (c+1)*len(all)/columns])
		if math.IsNaN(v) {
			b.WriteByte('.')
			continue
		}
		b.WriteRune(bars[min(len(bars)-1, int(v/1.5*float64(len(bars))))])
	}
	return b.String()
}

// weakest is the least of strengths; NaN where one is.
func weakest(all []float64) float64 {
	least := math.Inf(1)
	for _, v := range all {
		least = math.Min(least, v) // NaN stays
	}
	return least
}

// Text is a run's curve and the planned one, each with the strength at its two ends, in
// lines of width and 24 cells.
func (a Along) Text(width int) (read, planned string) {
	first, last, pf, pl := a.Ends()
	return "read    " + Curve(a.Read, width) + ends(first, last), "planned " + Curve(a.Planned, width) + ends(pf, pl)
}

func ends(first, last float64) string {
	if math.IsNaN(first) || math.IsNaN(last) {
		return ""
	}
	return fmt.Sprintf("  ends %.2f, %.2f", first, last)
}
