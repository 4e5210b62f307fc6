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

// An Along is how strong the light is along a run, place by place, beside what
// the supply of the plan leaves there. 1 is the middle place of the prop in
// both. A camera darkens towards the edges of its picture, and light nearer to
// it is brighter, so only a fall that is plain is worth a look.
type Along struct {
	Run     string
	Read    []float64 // NaN where nothing was read
	Planned []float64

	// How red the light is against its green and blue. As the voltage falls,
	// green and blue go first, and no lens or distance looks like that.
	Red, PlannedRed []float64
}

// strengths is the light along every run.
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

// normal makes the middle place that was read 1.
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

// strengthOf is the mean strength of the colours that show.
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

// rednessOf is the strength of red against that of green and blue; NaN where one
// of them does not show.
func rednessOf(one eyes.Place) float64 {
	s := one.Reading.Strength
	if one.State != eyes.Read || min(s[0], s[1], s[2]) <= 0 {
		return math.NaN()
	}
	return 2 * s[0] / (s[1] + s[2])
}

// plannedLight is what the volts of the plan leave at each place in a code
// look, 1 at the middle place, and how red that is; 1 everywhere where the
// copper is not known.
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

// left is what the volts leave while the last look is shown.
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

// Ends are the mean light of the first and of the last fifth of the places of a
// run that were read, read and planned; NaN where none was.
func (a Along) Ends() (first, last, plannedFirst, plannedLast float64) {
	read, planned := known(a.Read, a.Planned)
	n := endOf(read)
	end := len(read) - n
	return mean(read[:n]), mean(read[end:]), mean(planned[:n]), mean(planned[end:])
}

// fall is what is left of the light at the far end, beside what was planned; NaN
// where nothing was read.
func (a Along) fall() float64 {
	first, last, plannedFirst, plannedLast := a.Ends()
	return (last / first) / (plannedLast / plannedFirst)
}

// known is values without those that are not known, and what goes with them.
func known(all, with []float64) (values, others []float64) {
	for i, v := range all {
		if !math.IsNaN(v) {
			values, others = append(values, v), append(others, with[i])
		}
	}
	return values, others
}

// endOf is how many of these are an end: a fifth.
func endOf(all []float64) int { return min(len(all), max(1, len(all)/5)) }

// mean is NaN where most is not known.
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

// plainFall is the share of its light that a run must lose more than planned
// from its brighter end to its dimmer one, for a camera to say so.
const plainFall = 0.3

// leastCurve is how many places must be read for a fall to be seen.
const leastCurve = 10

// Sags reports whether a run loses plainly more light along its way than
// planned.
func (a Along) Sags() bool {
	read, _ := known(a.Read, a.Planned)
	fall := a.fall()
	return len(read) >= leastCurve && (fall < 1-plainFall || fall > 1/(1-plainFall)) || a.Reddens()
}

// What makes light plainly redder at one end than planned: by so much, and by so
// many times what places differ among themselves.
const (
	plainRed  = 0.15
	redSpread = 4
)

// Reddens reports whether the light gets plainly redder than planned, and
// dimmer, towards one end.
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

// deviation is how far values lie from their mean, root mean square.
func deviation(all []float64) float64 {
	m, sum := mean(all), 0.0
	for _, v := range all {
		sum += (v - m) * (v - m)
	}
	return math.Sqrt(sum / float64(max(len(all)-1, 1)))
}

// whole is the light along all runs one after the other, as the supply's current
// goes through them.
func whole(all []Along) (out Along) {
	for _, a := range all {
		out.Read, out.Planned = append(out.Read, a.Read...), append(out.Planned, a.Planned...)
		out.Red, out.PlannedRed = append(out.Red, a.Red...), append(out.PlannedRed, a.PlannedRed...)
	}
	return out
}

// bars are eighths of a cell.
var bars = []rune("▁▂▃▄▅▆▇█")

// Curve draws strengths as a row of bars, full at one and a half times the middle one;
// a dot where of any place nothing was read. Of several places in a cell the weakest is
// drawn: what is wrong is not to be lost.
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

// Text is a run's curve beside the planned one with the strength at its two ends, in two
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
