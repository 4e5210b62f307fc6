package eyes

import (
	"math"
	"slices"
	"strings"
)

// What makes a reading sure: how much of the light it explains and how far
// the next best one is. A reading that continues from its neighbour's, as data
// does, needs less than one that is alone.
const (
	sureFits, sureLead   = 0.72, 0.05
	aloneFits, aloneLead = 0.85, 0.10
	darkLight            = 0.1  // of the middle light: less is no light
	stuckLight           = 0.25 // of the middle light, in the black look
)

// judge says whether a spot by itself is sure.
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

// state is what is known of a place. Where two places lie on one another, one
// without light may be in the other's shine; where all is clipped, nothing was
// measured; and something bright may hide a pixel.
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

// onlyEcho reports whether all the light of a place is plainly another's.
func (p *placeReader) onlyEcho(i int) bool {
	x := p.readings[i]
	return p.echo(i) && x.Fits > 0.8 && x.Left == 0 && p.samples[i].peak < 0.35*p.brightest[x.Slot]
}

// covered reports whether another place lies too near to see this one apart.
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
	if x.Slot < 0 || p.echo(i) || p.spilt(i) {
		return false
	}
	on, against := p.goesOn(i)
	switch {
	case on && !against && !p.odd(x):
		return x.Fits > sureFits && x.Fits-x.Rival > sureLead
	case !on && (against || x.lost >= 0 || x.Chip != p.usualChip()), p.odd(x) && x.Left > 0:
		return false
	}
	return x.Fits > aloneFits && x.Fits-x.Rival > aloneLead
}

// spilt reports whether a place shows the same data as a neighbour, and plainly
// less of it: a dark pixel between two that are lit shines as both together do.
// Lights that share an address are about as bright.
func (p *placeReader) spilt(i int) bool {
	x := p.readings[i]
	own := amplitude(p.own[i], p.reader.model(x))
	return slices.ContainsFunc(p.near[i], func(j int) bool {
		y := p.readings[j]
		return y.good() && y.Slot == x.Slot && own < echoLight*amplitude(p.own[j], p.reader.model(y))
	})
}

// odd reports whether a reading has another order than most, or begins inside
// another's slots where hardly any does. That can be so, but the light of a
// neighbour looks like it too.
func (p *placeReader) odd(x Reading) bool {
	return p.reader.usual != "" && x.Order != p.reader.usual || p.reader.aside(x.Slot, x.Chip) > 0
}

// goesOn reports whether a place before or after in its run reads what must
// arrive there if this reading is right; against, that one reads well there
// and does not. Several lights may share one address. Data goes from pixel to pixel, so one that does not go on
// from either side is rather misread than fed by itself.
func (p *placeReader) goesOn(i int) (on, against bool) {
	for _, side := range []int{-1, 1} {
		step := side * p.nextGood(i, side)
		if step == 0 {
			continue
		}
		x, y := p.readings[i], p.readings[i+step]
		if d := y.Slot - x.Slot; y.Chip == x.Chip && (d == step*x.Chip || d == -step*x.Chip || d == 0 && !p.echo(i)) {
			on = true
			continue
		}
		against = true
	}
	return on, against
}

// nextGood is how far it is to the next place of the run that reads well, on
// one side; 0 when there is none within two.
func (p *placeReader) nextGood(i, side int) int {
	for n := 1; n <= 2; n++ {
		j := i + n*side
		if j < 0 || j >= len(p.readings) || p.run[j] != p.run[i] {
			return 0
		}
		if p.readings[j].good() && !p.lit[j] && !p.echo(j) {
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

// unit is the strength of the middle well read place.
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

// strength fills in how strong each colour of a place is.
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

// darkWhereLost reports whether each colour that does not show is dark in the
// picture too, in the look that lights it everywhere. A word may light a colour
// in that look alone, and what the neighbours are thought to spill must not
// take it away. A place at the far end of a strip that sags is dim in all
// colours, so what its others have is the measure there.
func (p *placeReader) darkWhereLost(i int, x Reading) bool {
	if !strings.Contains(x.Order, ".") {
		return true // as of nearly all places: what the others have is not worked out
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
	return lost <= lostRaw*math.Min(1, best)
}

// inAllLook is how much light of a colour a place has in the look that lights it
// everywhere, as a share of the middle place's; NaN where there is no such look.
func (p *placeReader) inAllLook(i int, x Reading, k int) float64 {
	slot := (x.Slot + k) % p.scene.Slots
	look := slices.IndexFunc(p.scene.Looks, func(l Look) bool { return l.Kind == All && l.Index == slot })
	l := indexOf(p.readings[i].Order[k])
	if look < 0 || l < 0 {
		return math.NaN()
	}
	var all []float32
	for _, s := range p.samples {
		all = append(all, alike(s.light[look], p.reader.mix[l]))
	}
	return float64(alike(p.samples[i].light[look], p.reader.mix[l]) / max(median(all), 1e-9))
}

// lostRaw is the share of the middle place's light from which a colour is not
// lost.
const lostRaw = 0.5

// alike is how much of one light is in another.
func alike(light, of vec) float32 { return light.dot(of) / max(of.dot(of), 1e-9) }
