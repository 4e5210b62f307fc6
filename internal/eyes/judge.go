package eyes

import (
	"math"
	"slices"
	"strings"
)

// Limits of a sure reading: the share of the light that it explains, and its lead
// over the next best one. A reading that continues its neighbour's data needs less
// than one alone. The figures come from a prototype's trials on ray-traced scenes.
const (
	sureFits, sureLead   = 0.72, 0.05
	aloneFits, aloneLead = 0.85, 0.10
	darkLight            = 0.1  // share of the middle light below which a place is dark
	stuckLight           = 0.25 // share of the middle light in the black look above which it is stuck
)

// judge sets whether the reading of a spot by itself is sure.
func (r *reader) judge(x *Reading) {
	x.Sure = x.Slot >= 0 && x.Fits > aloneFits && x.Fits-x.Rival > aloneLead && x.lost < 0
}

// judgeAll gives every place its state.
func (p *placeReader) judgeAll() {
	unit := p.unit()
	p.result.Places = make([]Place, len(p.readings))
	for i := range p.readings {
		out := &p.result.Places[i]
		out.At = p.layout.at[i]
		x := p.readings[i]
		p.strength(i, &x, unit)
		x.Sure = p.sure(i) && p.darkWhereLost(i, x)
		out.State = p.state(i, x.Sure)
		out.Reading = x
	}
}

// state is the state of a place. A place without light is not called dark where
// another place covers it, where all camera pixels are clipped, or where something
// bright may hide it.
func (p *placeReader) state(i int, sure bool) State {
	dark := mostLight(p.own[i]) < darkLight*p.middle || p.onlyEcho(i)
	switch {
	case p.outside(p.layout.at[i]):
		return Unread
	case sure && !dark:
		return Read
	case p.lit[i]:
		return Stuck
	case dark && !p.covered(i) && !p.bright[i] && p.samples[i].usable > 0.1:
		return Dark
	}
	return Unread
}

// onlyEcho reports whether all the light of a place clearly comes from another.
func (p *placeReader) onlyEcho(i int) bool {
	x := p.readings[i]
	return p.isEcho(i) && x.Fits > 0.8 && x.Left == 0 && p.samples[i].peak < 0.35*p.brightest[x.Slot]
}

// covered reports whether another place is too near to separate the two.
func (p *placeReader) covered(i int) bool {
	n := p.near[i]
	return len(n) > 0 && distance(p.layout.at[i], p.layout.at[n[0]]) < 0.4*p.layout.spacing
}

func mostLight(light []vec) float32 {
	var most float32
	for _, v := range light {
		most = max(most, v.most())
	}
	return most
}

// sure reports whether the reading of a place can be relied on.
func (p *placeReader) sure(i int) bool {
	x := p.readings[i]
	if x.Slot < 0 || p.isEcho(i) || p.isSpill(i) {
		return false
	}
	on, against := p.continues(i)
	switch {
	case on && !against && !p.unusual(x):
		return x.Fits > sureFits && x.Fits-x.Rival > sureLead
	case !on && (against || x.lost >= 0 || x.Chip != p.usualChip()), p.unusual(x) && x.Left > 0:
		return false
	}
	return x.Fits > aloneFits && x.Fits-x.Rival > aloneLead
}

// isSpill reports whether a place has the same data as a neighbour and is clearly
// dimmer: light of lit neighbours spills onto a dark pixel. Lights that share an
// address are about equally bright.
func (p *placeReader) isSpill(i int) bool {
	x := p.readings[i]
	own := amplitude(p.own[i], p.reader.model(x))
	return slices.ContainsFunc(p.near[i], func(j int) bool {
		y := p.readings[j]
		return y.good() && y.Slot == x.Slot && own < echoLight*amplitude(p.own[j], p.reader.model(y))
	})
}

// unusual reports whether a reading has another order than most, or begins inside
// another's slots where few do. It may be right, but spilt light of a neighbour
// looks the same.
func (p *placeReader) unusual(x Reading) bool {
	return p.reader.usual != "" && x.Order != p.reader.usual || p.reader.offsetPenalty(x.Slot, x.Chip) > 0
}

// continues compares a place with the next well read ones before and after it in
// its run. on reports that the data of one continues here, or is the same (lights
// that share an address); against that the data of one does not. Data passes from
// pixel to pixel, so a place that continues neither is more likely misread.
func (p *placeReader) continues(i int) (on, against bool) {
	for _, side := range []int{-1, 1} {
		step := side * p.nextGood(i, side)
		if step == 0 {
			continue
		}
		x, y := p.readings[i], p.readings[i+step]
		if d := y.Slot - x.Slot; y.Chip == x.Chip && (d == step*x.Chip || d == -step*x.Chip || d == 0 && !p.isEcho(i)) {
			on = true
			continue
		}
		against = true
	}
	return on, against
}

// nextGood is the distance, in places, to the next well read place of the run on
// one side: 1 or 2, or 0 for none.
func (p *placeReader) nextGood(i, side int) int {
	for n := 1; n <= 2; n++ {
		j := i + n*side
		if j < 0 || j >= len(p.readings) || p.run[j] != p.run[i] {
			return 0
		}
		if p.readings[j].good() && !p.lit[j] && !p.isEcho(j) {
			return n
		}
	}
	return 0
}

// usualChip is the number of slots that most pixels take.
func (p *placeReader) usualChip() int {
	three, four := 0, 0
	for _, x := range p.readings {
		switch {
		case x.good() && x.Chip == 3:
			three++
		case x.good():
			four++
		}
	}
	if four > three {
		return 4
	}
	return 3
}

// unit is the median strength of the well read places.
func (p *placeReader) unit() float32 {
	var all []float32
	for i, x := range p.readings {
		if x.good() {
			all = append(all, amplitude(p.own[i], p.reader.model(x)))
		}
	}
	if m := median(all); m > 0 {
		return m
	}
	return 1
}

// strength sets the strength of each colour of a place, and marks dark colours in
// its order.
func (p *placeReader) strength(i int, x *Reading, unit float32) {
	if x.Slot < 0 {
		return
	}
	var parts [][]vec
	for k := range x.Order {
		one := *x
		one.Order = strings.Repeat(".", k) + x.Order[k:k+1]
		parts = append(parts, p.reader.model(one))
	}
	share := p.shares(p.own[i], parts, 1e-3)
	order := []byte(x.Order)
	for k := range share {
		l := indexOf(x.Order[k])
		x.Strength[l] = max(0, share[k]/float64(unit))
		if x.Strength[l] < 0.2*slices.Max(share)/float64(unit) {
			order[k] = '.'
		}
	}
	x.Order = string(order)
}

// darkWhereLost reports whether each colour counted as lost is also dark in the
// unprocessed picture of the look that lights it at every pixel: the subtraction
// of neighbours' light must not remove a colour. The limit follows the place's
// brightest colour, since the far end of a sagging strip is dim in all of them.
func (p *placeReader) darkWhereLost(i int, x Reading) bool {
	if !strings.Contains(x.Order, ".") {
		return true // nearly all places; saves the work below
	}
	best, lost := 0.0, 0.0
	for k := range x.Order {
		share := p.inAllLook(i, x, k)
		switch {
		case math.IsNaN(share):
		case x.Order[k] == '.':
			lost = math.Max(lost, share)
		default:
			best = math.Max(best, share)
		}
	}
	return lost <= lostLimit*math.Min(1, best)
}

// inAllLook is the light of colour k of a place in the look that lights it at every
// pixel, as a share of the median place's; NaN when there is no such look.
func (p *placeReader) inAllLook(i int, x Reading, k int) float64 {
	slot := (x.Slot + k) % p.scene.Slots
	look := slices.IndexFunc(p.scene.Looks, func(l Look) bool { return l.Kind == All && l.Index == slot })
	l := indexOf(p.readings[i].Order[k])
	if look < 0 || l < 0 {
		return math.NaN()
	}
	var all []float32
	for _, s := range p.samples {
		all = append(all, component(s.light[look], p.reader.mix[l]))
	}
	return float64(component(p.samples[i].light[look], p.reader.mix[l]) / max(median(all), 1e-9))
}

// lostLimit is the share of the median place's light above which a colour is not
// lost.
const lostLimit = 0.5

// component is the coefficient of the projection of light onto of.
func component(light, of vec) float32 { return light.dot(of) / max(of.dot(of), 1e-9) }
