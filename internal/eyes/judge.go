package eyes

import "slices"

// What makes a reading sure: how much of the light it explains and how far
// the next best one is. A reading that goes on from its neighbour's, as data
// does, needs less than one that stands alone.
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
		x.Sure = p.sure(i)
		out.State = p.state(i, x.Sure)
		out.Reading = x
	}
}

// state is what is known of a place. Where two places lie on one another, one
// without light may be in the other's shine; where all is clipped, nothing was
// measured.
func (p *placeReader) state(i int, sure bool) State {
	dark := mostLight(p.own[i]) < darkLight*p.middle
	switch {
	case sure && !dark:
		return Read
	case p.lit[i]:
		return Stuck
	case dark && !p.covered(i) && p.samples[i].usable > 0.1:
		return Dark
	}
	return Unread
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
	fits, lead := aloneFits, aloneLead
	on := p.goesOn(i)
	if on {
		fits, lead = sureFits, sureLead
	}
	if x.lost >= 0 && !on {
		return false
	}
	return x.Slot >= 0 && x.Fits > fits && x.Fits-x.Rival > lead && !p.echo(i)
}

// goesOn reports whether a place before or after reads what must arrive there
// if this reading is right.
func (p *placeReader) goesOn(i int) bool {
	x := p.readings[i]
	for _, step := range []int{-2, -1, 1, 2} {
		j := i + step
		if j < 0 || j >= len(p.readings) || !p.readings[j].good() || !slices.Contains(p.near[i], j) {
			continue
		}
		if d := p.readings[j].Slot - x.Slot; d == step*x.Chip || d == -step*x.Chip {
			return true
		}
	}
	return false
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
		one.Order = dots(k) + x.Order[k:k+1]
		parts = append(parts, p.reader.model(one))
	}
	share := p.shares(p.own[i], parts, 1e-3)
	order := []byte(x.Order)
	for k := range share {
		l := indexOf(x.Order[k])
		x.Strength[l] = max(0, share[k]/float64(unit))
		if x.Strength[l] < 0.2*strongest(share)/float64(unit) {
			order[k] = '.'
		}
	}
	x.Order = string(order)
}

func dots(n int) string { return "......"[:n] }

func strongest(v []float64) float64 { return slices.Max(v) }
