package eyes

import (
	"math"

	"example.org/ringout/internal/parallel"
)

// readPlaces reads every planned place. The light of neighbours is subtracted three
// times, each time with better readings of them.
func (d *decoder) readPlaces() {
	p := &placeReader{decoder: d, near: d.neighbours()}
	p.samples = make([]sample, len(d.layout.at))
	parallel.Each(len(p.samples), func(i int) { p.samples[i] = d.taker.take(d.layout.at[i], d.ownSpacing(i, p.near[i])) })
	p.own = make([][]vec, len(p.samples))
	p.findLit()
	usual := p.usualBrightness()
	for i := range p.samples {
		p.reader.limitBright(p.samples[i].light, usual)
	}
	for i, s := range p.samples {
		p.own[i] = s.light
	}
	p.readings = make([]Reading, len(p.samples))
	for r, run := range d.scene.Runs {
		for range run.Places {
			p.run = append(p.run, r)
		}
	}
	for range 3 {
		p.readAll()
		p.levelLooks()
		p.takeSpillOff()
	}
	p.readAll()
	p.judgeAll()
}

// usualBrightness is the median brightness of the lit looks of all places.
func (p *placeReader) usualBrightness() float32 {
	all := make([]float32, len(p.samples))
	for i, s := range p.samples {
		_, all[i] = p.reader.brightness(s.light)
	}
	return median(all)
}

// A placeReader holds the state of reading all places.
type placeReader struct {
	*decoder
	near     [][]int
	samples  []sample
	own      [][]vec // light of each place without its neighbours'
	readings []Reading
	lit      []bool // in the black look
	bright   []bool // something larger than a pixel is bright there in the black look
	run      []int  // of each place

	brightest map[int]float32 // by slot, the most light of a place that reads it
}

// neighbours are the up to eight nearest places whose light can reach each place.
func (d *decoder) neighbours() [][]int {
	reach := 2.3 * d.layout.spacing
	g := gridOf(d.layout.at, reach)
	out := make([][]int, len(d.layout.at))
	for i, p := range d.layout.at {
		g.around(p, 1, func(j int) {
			if j != i && distance(p, d.layout.at[j]) < reach {
				out[i] = append(out[i], j)
			}
		})
		out[i] = nearest(d.layout.at, p, out[i], 8)
	}
	return out
}

func nearest(at []Point, p Point, of []int, n int) []int {
	for i := range of { // few: an insertion sort
		for j := i; j > 0 && distance(p, at[of[j]]) < distance(p, at[of[j-1]]); j-- {
			of[j], of[j-1] = of[j-1], of[j]
		}
	}
	return of[:min(n, len(of))]
}

// ownSpacing is the distance to the nearest other place, at most 1.5 times the
// layout's spacing.
func (d *decoder) ownSpacing(i int, near []int) float64 {
	s := 1.5 * d.layout.spacing
	if len(near) > 0 {
		s = math.Min(s, distance(d.layout.at[i], d.layout.at[near[0]]))
	}
	return math.Max(s, LeastSpacing)
}

func (p *placeReader) readAll() {
	parallel.Each(len(p.readings), func(i int) { p.readings[i] = p.reader.read(p.own[i]) })
	p.findBrightest()
}

// model is the light of a reading in each look, at strength 1.
func (r *reader) model(x Reading) []vec {
	out := make([]vec, len(r.scene.Looks))
	for i := range x.Order {
		l := indexOf(x.Order[i])
		if l < 0 || l == x.lost || x.Slot+i >= len(r.on) {
			continue
		}
		for _, k := range r.on[x.Slot+i] {
			out[k] = out[k].plus(r.mix[l])
		}
	}
	return out
}

func indexOf(letter byte) int {
	for i := range letters {
		if letters[i] == letter {
			return i
		}
	}
	return -1
}

// good reports whether a reading is good enough to subtract its light.
func (x Reading) good() bool { return x.Slot >= 0 && x.Fits > 0.6 && x.Fits-x.Rival > 0.03 }

// levelLooks corrects each look for changes of the camera's exposure, by the median
// of the well read places.
func (p *placeReader) levelLooks() {
	for k, l := range p.scene.Looks {
		if l.Kind == Black || l.Kind == Full {
			continue
		}
		var all []float32
		for i, x := range p.readings {
			if !x.good() {
				continue
			}
			m := p.reader.model(x)
			if a := amplitude(p.own[i], m); a > 0 && m[k].sum() > 0 {
				all = append(all, p.own[i][k].dot(m[k])/(m[k].dot(m[k])*a))
			}
		}
		if g := median(all); len(all) > 5 && g > 0.3 && g < 3 {
			for i := range p.samples {
				p.samples[i].light[k] = p.samples[i].light[k].times(1 / g)
			}
		}
	}
}

// amplitude is the least-squares strength of a model in the light.
func amplitude(light, model []vec) float32 {
	var d, n float32
	for k := range model {
		if model[k] == (vec{}) {
			continue
		}
		d += light[k].dot(model[k])
		n += model[k].dot(model[k])
	}
	if n == 0 {
		return 0
	}
	return d / n
}

// takeSpillOff subtracts from each place the light of its neighbours. The share of
// each neighbour is fitted together with the place's own light.
func (p *placeReader) takeSpillOff() {
	models := make([][]vec, len(p.readings))
	for i, x := range p.readings {
		if x.good() {
			models[i] = p.reader.model(x)
		}
	}
	parallel.Each(len(p.own), func(i int) { p.own[i] = p.withoutNeighbours(i, models) })
}

func (p *placeReader) withoutNeighbours(i int, models [][]vec) []vec {
	light := p.samples[i].light
	parts := [][]vec{}
	for _, j := range p.near[i] {
		if models[j] != nil && !p.sameData(i, j) {
			parts = append(parts, models[j])
		}
	}
	spills := len(parts)
	if !p.isEcho(i) {
		parts = append(parts, p.ownModel(i))
	}
	share := p.shares(light, parts, spillPull)
	out := append([]vec(nil), light...)
	for j, m := range parts[:spills] {
		if share[j] <= 0 {
			continue
		}
		for k := range out {
			out[k] = out[k].minus(m[k].times(float32(share[j])))
		}
	}
	return out
}

// sameData reports whether two places have the same data, as with several lights at
// one address. Their light cannot be separated, and need not be.
func (p *placeReader) sameData(i, j int) bool {
	x, y := p.readings[i], p.readings[j]
	return x.good() && x.Slot == y.Slot && x.Chip == y.Chip && x.Order == y.Order && !p.isEcho(i)
}

// ownModel is the model of a place's own light: that of its reading, or the mean of
// all words while it has none.
func (p *placeReader) ownModel(i int) []vec {
	if p.readings[i].Slot >= 0 && p.readings[i].Fits > 0.5 {
		return p.reader.model(p.readings[i])
	}
	out := make([]vec, len(p.scene.Looks))
	mean := p.reader.mix[red].plus(p.reader.mix[green]).plus(p.reader.mix[blue]).times(1. / 3)
	for k, l := range p.scene.Looks {
		switch {
		case l.Kind == Code:
			out[k] = mean
		case l.Kind == All && l.Index < len(p.result.Usual):
			out[k] = p.reader.mix[indexOf(p.result.Usual[l.Index])]
		}
	}
	return out
}

// isEcho reports whether a place reads the same slot as a much brighter one, whose
// light then is spilt or mirrored here. Two places that share an address are about
// equally bright.
func (p *placeReader) isEcho(i int) bool {
	x := p.readings[i]
	return x.Slot >= 0 && p.samples[i].peak < echoLight*p.brightest[x.Slot]
}

// findBrightest sets brightest.
func (p *placeReader) findBrightest() {
	p.brightest = map[int]float32{}
	for i, x := range p.readings {
		if x.good() {
			p.brightest[x.Slot] = max(p.brightest[x.Slot], p.samples[i].peak)
		}
	}
}

// echoLight is the share of another place's light below which a place counts as its
// echo; above it, one address drives both.
const echoLight = 0.6

// ownShare is the share of its light in the black look by which a lit pixel must be
// brighter than its surroundings, unlike a wall or a hand.
const ownShare = 0.4

// findLit sets lit for places that are lit in the black look, and replaces their
// black by that of the median place. It sets bright where something larger than a
// pixel is bright.
func (p *placeReader) findLit() {
	usual := p.blackLight()
	p.lit, p.bright = make([]bool, len(p.samples)), make([]bool, len(p.samples))
	for i := range p.samples {
		s := &p.samples[i]
		over := s.black.minus(usual)
		if over.most() <= stuckLight*p.middle {
			continue
		}
		if s.black.minus(p.blackAround(i)).most() < ownShare*over.most() {
			p.bright[i] = true
			continue
		}
		p.lit[i] = true
		for k := range s.light {
			s.light[k] = s.light[k].plus(over)
		}
		s.light[p.finder.black] = vec{}
	}
}

// blackAround is the median light of the black look on a circle around a place,
// within its neighbours.
func (p *placeReader) blackAround(i int) (out vec) {
	const points, reach = 12, 0.7
	black := p.finder.black
	at := p.layout.at[i].plus(p.finder.moved[black])
	r := reach * p.ownSpacing(i, p.near[i])
	var all [3][]float32
	for k := range points {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / points)
		v := p.looks[black].light(at.X+r*cos, at.Y+r*sin)
		for c := range all {
			all[c] = append(all[c], v[c])
		}
	}
	for c := range out {
		out[c] = median(all[c])
	}
	return out
}

// blackLight is the median light of the places in the black look.
func (p *placeReader) blackLight() vec {
	all := make([]vec, len(p.samples))
	for i, s := range p.samples {
		all[i] = s.black
	}
	return middle(all)
}

// spillPull is the regularisation that keeps the share of a neighbour's light near
// 0 where the looks do not determine it.
const spillPull = 0.3

// shares is the share of each part in the light, by least squares with a pull to 0;
// all 0 when there is no solution.
func (p *placeReader) shares(light []vec, parts [][]vec, pull float64) []float64 {
	l := newLeastSquares(len(parts))
	row := make([]float64, len(parts))
	for k, look := range p.scene.Looks {
		if look.Kind == Black || look.Kind == Full {
			continue
		}
		for c := range 3 {
			for j, m := range parts {
				row[j] = float64(m[k][c])
			}
			l.add(row, float64(light[k][c]), 1)
		}
	}
	l.pull(make([]float64, len(parts)), pull)
	out, good := l.solve()
	if !good {
		return make([]float64, len(parts))
	}
	return out
}
