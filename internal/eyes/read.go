package eyes

import (
	"math"
	"slices"

	"example.org/ringout/internal/sorting"
)

// A Reading is the data read from one spot.
type Reading struct {
	Slot     int             // first slot of the data of this pixel, from 0; -1 for none
	Chip     int             // slots that the pixel takes: 3 or 4
	Order    string          // its colours in wire order, such as GRB; a dot for a dark colour
	Strength [lights]float64 // of red, green, blue and white over the median of all pixels; 0 is dark
	Fits     float64         // share of the light that this reading explains, 0 to 1
	Rival    float64         // share that the best reading with another slot explains
	Left     int             // number of looks left out because they do not fit, 0 to 2
	Sure     bool            // it explains enough, and clearly more than the next best

	lost int // the light that is dark in every look, -1 for none
}

// A reader finds the word that fits the light of a spot. A pixel may begin at any
// slot from 0, and may reach past the last.
type reader struct {
	scene   *Scene
	slots   int
	on      [][]int   // by slot: the looks with a weight in which it is lit
	weight  []float32 // of each look
	norm    []float32 // by slot: sum of the weights of those looks
	common  [][4]float32
	mix     mix
	inverse [3]vec
	orders  [2][]order // of three lights and of four
	usual   string     // the order that most spots show
	whole   bool       // nearly all pixels begin at a whole multiple of their slots
}

// An order is the light that each slot of a pixel drives.
type order struct {
	lights []int
	name   string
	rare   float32 // penalty against the usual order
}

// ordersOf are the permutations of the first n lights.
func ordersOf(n int) []order {
	var out []order
	var place func(o []int)
	place = func(o []int) {
		if len(o) == n {
			out = append(out, orderOf(o))
			return
		}
		for l := range n {
			if !slices.Contains(o, l) {
				place(append(o[:len(o):len(o)], l))
			}
		}
	}
	place(nil)
	return out
}

func orderOf(o []int) order {
	name := make([]byte, len(o))
	for i, l := range o {
		name[i] = letters[l]
	}
	return order{lights: o, name: string(name)}
}

func newReader(s *Scene) *reader {
	r := &reader{scene: s, slots: s.Slots * len(s.Words), orders: [2][]order{ordersOf(3), ordersOf(4)}}
	r.on = make([][]int, r.slots+4)
	r.norm = make([]float32, r.slots+4)
	r.weight = make([]float32, len(s.Looks))
	for k, l := range s.Looks {
		r.weight[k] = lookWeight[l.Kind]
		for slot := range r.on {
			if r.weight[k] > 0 && s.Lit(l, slot) {
				r.on[slot] = append(r.on[slot], k)
				r.norm[slot] += r.weight[k]
			}
		}
	}
	r.common = r.shared()
	r.setMix(startMix)
	r.setUsual(s.Order)
	return r
}

// lookWeight is the weight of each kind of look. An All look shows the order best,
// since no neighbour spills another colour; a Full look distinguishes no slots.
var lookWeight = [...]float32{Black: 0, Full: 0, All: 2, Code: 1}

// shared is, for a slot and each of the next three, the weight of the looks in
// which both are lit.
func (r *reader) shared() [][4]float32 {
	out := make([][4]float32, len(r.on))
	for a := range r.on {
		for d := 0; d < 4 && a+d < len(r.on); d++ {
			out[a][d] = r.both(a, a+d)
		}
	}
	return out
}

// both is the weight of the looks in which two slots are lit.
func (r *reader) both(a, b int) (sum float32) {
	for _, k := range r.on[a] {
		if slices.Contains(r.on[b], k) {
			sum += r.weight[k]
		}
	}
	return sum
}

// setMix sets the colours as the camera sees them.
func (r *reader) setMix(m mix) {
	r.mix = m
	r.inverse = m.inverse()
}

// setUsual sets the order that most pixels have.
func (r *reader) setUsual(name string) {
	r.usual = name
	for _, orders := range r.orders {
		for i := range orders {
			orders[i].rare = 0
			if name != "" && orders[i].name != name {
				orders[i].rare = orderPenalty
			}
		}
	}
}

// Penalties on the share of light that a candidate explains, for rare pixels.
const (
	lostPenalty  = 0.05 // a lost colour
	orderPenalty = 0.03 // another order than most
	partPenalty  = 0.1  // begins inside another's slots, where few do
)

// brightLimit limits the brightness of a look, as a multiple of that of the lit
// looks: a flash of a pixel must not outweigh its word.
const brightLimit = 1.6

// limitBright scales down looks that are much brighter than most lit ones, in place.
// usual is the usual brightness of lit looks over all pixels, 0 while it is not
// known; up to it looks are never scaled, since a pixel with a lost colour may be
// dark in nearly all looks.
func (r *reader) limitBright(light []vec, usual float32) {
	sizes, most := r.brightness(light)
	most = brightLimit * max(most, usual)
	for k, n := range sizes {
		if r.weight[k] > 0 && n > most && most > 0 {
			light[k] = light[k].times(most / n)
		}
	}
}

// brightness is the brightness of each look of a sample, and their upper quartile as
// that of the lit looks.
func (r *reader) brightness(light []vec) (sizes []float32, most float32) {
	sizes = make([]float32, len(light))
	var lit []float32
	for k := range light {
		var v vec
		for c := range 3 {
			v[c] = r.inverse[c].dot(light[k])
		}
		if sizes[k] = float32(math.Sqrt(float64(v.dot(v)))); r.weight[k] > 0 {
			lit = append(lit, sizes[k])
		}
	}
	slices.Sort(lit)
	return sizes, lit[len(lit)*3/4]
}

// unmixed is the light of a sample as red, green and blue of a pixel, by look, and
// the weighted sum of their squares.
func (r *reader) unmixed(light []vec) (parts []vec, total float32) {
	parts = make([]vec, len(light))
	for k := range parts {
		if r.weight[k] == 0 {
			continue
		}
		for c := range 3 {
			parts[k][c] = r.inverse[c].dot(light[k])
		}
		total += r.weight[k] * parts[k].dot(parts[k])
	}
	return parts, total
}

// sums is, by slot, the weighted light of each colour in the looks in which the slot
// is lit. It changes parts.
func (r *reader) sums(parts []vec) []vec {
	for k := range parts {
		parts[k] = parts[k].times(r.weight[k])
	}
	out := make([]vec, len(r.on))
	for slot, on := range r.on {
		var v vec
		for _, k := range on {
			v[0], v[1], v[2] = v[0]+parts[k][0], v[1]+parts[k][1], v[2]+parts[k][2]
		}
		out[slot] = v
	}
	return out
}

// A candidate is one possible reading of a sample.
type candidate struct {
	slot  int
	order *order
	lost  int // a light that does not show, -1 for none
	fits  float32
	// penalty is subtracted because such pixels are rare.
	penalty float32
}

// mostCandidates is the number of candidates that are kept.
const mostCandidates = 6

// read is the best candidate for a sample and the fit of the best one with another
// slot. Where it explains too little, up to two looks are left out, for each
// candidate the ones that fit it worst: a pixel that flickers spoils only some.
func (r *reader) read(light []vec) Reading {
	parts, total := r.unmixed(light)
	if total <= 0 {
		return Reading{Slot: -1}
	}
	top := r.search(r.sums(parts), total)
	if len(top) == 0 {
		return Reading{Slot: -1}
	}
	left := 0
	for ; left < 2 && top[0].fits < aloneFits; left++ {
		for i := range top {
			top[i].fits = r.trimmed(top[i], light, left+1)
		}
		sorting.Stable(top, func(a, b candidate) int { return compare(b.fits, a.fits) })
	}
	best := top[0]
	out := Reading{Slot: best.slot, Chip: len(best.order.lights), Order: best.order.name, lost: best.lost, Fits: float64(best.fits), Left: left}
	if len(top) > 1 {
		out.Rival = float64(top[1].fits)
	}
	return out
}

// trimmed is the share of light that a candidate explains without the n looks that
// fit it worst, less its penalties.
func (r *reader) trimmed(g candidate, light []vec, n int) float32 {
	model := r.model(Reading{Slot: g.slot, Order: g.order.name, lost: g.lost})
	a := amplitude(light, model)
	miss := make([]float32, 0, len(light))
	var total, missed float32
	for k := range light {
		if r.weight[k] > 0 {
			d := light[k].minus(model[k].times(a))
			miss = append(miss, d.dot(d)-0.3*light[k].dot(light[k]))
			total += light[k].dot(light[k])
			missed += d.dot(d)
		}
	}
	slices.Sort(miss)
	for _, m := range miss[max(0, len(miss)-n):] {
		missed -= max(0, m)
	}
	if total == 0 {
		return 0
	}
	return 1 - missed/total - g.penalty
}

// search returns the best candidates over every slot and order, no two with the same
// light. Chips of four slots are tried only where three explain too little, where a
// white slot after them explains more, or where the data has four.
func (r *reader) search(sums []vec, total float32) []candidate {
	top := r.searchChip(nil, sums, total, 3, r.best3)
	if r.scene.Slots != 4 && len(top) > 0 && top[0].fits > 0.8 && r.best4(sums[top[0].slot:], top[0].slot, total).fits <= top[0].fits {
		return top
	}
	return r.searchChip(top, sums, total, 4, r.best4)
}

// searchChip tries every slot for chips of n slots. It skips slots whose upper bound
// is below the candidates kept.
func (r *reader) searchChip(top []candidate, sums []vec, total float32, n int, try func(sums []vec, slot int, total float32) candidate) []candidate {
	for slot := range r.slots {
		if n == 3 && len(top) == mostCandidates && r.bound(sums[slot:slot+3], slot) <= top[mostCandidates-1].fits*total {
			continue
		}
		if g := try(sums[slot:], slot, total); g.order != nil {
			top = r.rank(top, g)
		}
	}
	return top
}

// rank inserts a candidate into the list of the best. Of two with the same light or
// the same slot the better one stays.
func (r *reader) rank(top []candidate, g candidate) []candidate {
	if len(top) == mostCandidates && g.fits <= top[mostCandidates-1].fits {
		return top
	}
	if i := slices.IndexFunc(top, func(h candidate) bool { return h.slot == g.slot || r.same(g, h) }); i >= 0 {
		if g.fits <= top[i].fits {
			return top
		}
		top = slices.Delete(top, i, i+1)
	}
	at, _ := slices.BinarySearchFunc(top, g, func(a, b candidate) int { return compare(b.fits, a.fits) })
	top = slices.Insert(top, at, g)
	return top[:min(len(top), mostCandidates)]
}

// same reports whether two candidates give the same light in every look, as when
// they differ only in slots of lost colours, or in white slots that no code look
// lights. Then the usual order or a neighbour must decide.
func (r *reader) same(g, h candidate) bool {
	if len(g.order.lights) != len(h.order.lights) {
		return false
	}
	for l := range len(g.order.lights) {
		if !slices.Equal(r.lit(g, l), r.lit(h, l)) {
			return false
		}
	}
	return true
}

// lit is the looks in which a guess has a light lit.
func (r *reader) lit(g candidate, light int) []int {
	if light == g.lost {
		return nil
	}
	return r.on[g.slot+slices.Index(g.order.lights, light)]
}
