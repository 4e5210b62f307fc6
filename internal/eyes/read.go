package eyes

import (
	"math"
	"slices"

	"example.org/ringout/internal/sorting"
)

// A Reading is what one spot says.
type Reading struct {
	Slot     int             // slot of the data that arrives first at this pixel, from 0; -1 for none
	Chip     int             // slots that the pixel takes: 3 or 4
	Order    string          // its colours in wire order, as GRB; a dot for a colour that is not seen
	Strength [lights]float64 // of red, green, blue and white, against the middle of all pixels; 0 is not seen
	Fits     float64         // share of the light that this explains, 0 to 1
	Rival    float64         // share that the best other slot explains
	Left     int             // looks left out because they do not fit, as when a pixel flickers
	Sure     bool            // nothing else comes near

	lost int // the light that no look shows, -1 for none
}

// A reader finds the word that fits the light of a spot. Slots before the
// first (a pixel cannot start there) are left out; a pixel may reach past the
// last.
type reader struct {
	scene  *Scene
	slots  int
	on     [][]int   // looks in which each slot is lit, those that tell slots apart
	weight []float32 // of each look
	norm   []float32 // sum of the weights of the looks in which each slot is lit
	common [][4]float32
	mix    mix
	turn   [3]vec
	orders [2][]order // of three lights and of four
	usual  string     // the order that most spots show
	whole  bool       // nearly all pixels begin at a whole multiple of their slots
}

// An order is which light each slot of a pixel drives.
type order struct {
	lights []int
	name   string
	rare   float32 // what it must explain more than the usual order
}

// ordersOf is every way to arrange the first n lights.
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

// lookWeight is how much each kind of look counts. In a look of one slot no
// neighbour spills another colour, so it says the order best; a look with all
// slots lit distinguishes no slots.
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

// setMix gives the reader the colours as the camera sees them.
func (r *reader) setMix(m mix) {
	r.mix = m
	r.turn = m.inverse()
}

// setUsual tells the reader which order most pixels have.
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

// What an explanation must explain more than another to be taken, because
// such pixels are rare: one with a lost colour, one with another order than
// most.
const (
	lostPenalty  = 0.05
	orderPenalty = 0.03
	partPenalty  = 0.1 // one that begins inside another's slots, where none else does
)

// mostOfLit is how much more light than in other lit looks is believed of any
// look: a pixel that sparkles must not speak louder than its word.
const mostOfLit = 1.6

// tame cuts looks that are much brighter than most lit ones down, in place. A
// pixel that has lost a colour may be dark in nearly all looks, so usual, the
// light of most pixels' lit looks, is never too bright; 0 while it is not known.
func (r *reader) tame(light []vec, usual float32) {
	sizes, most := r.brightness(light)
	most = mostOfLit * max(most, usual)
	for k, n := range sizes {
		if r.weight[k] > 0 && n > most && most > 0 {
			light[k] = light[k].times(most / n)
		}
	}
}

// brightness is how bright each look of a sample is, and how bright its lit
// looks are: three quarters of all are no brighter.
func (r *reader) brightness(light []vec) (sizes []float32, most float32) {
	sizes = make([]float32, len(light))
	var lit []float32
	for k := range light {
		var v vec
		for c := range 3 {
			v[c] = r.turn[c].dot(light[k])
		}
		if sizes[k] = float32(math.Sqrt(float64(v.dot(v)))); r.weight[k] > 0 {
			lit = append(lit, sizes[k])
		}
	}
	slices.Sort(lit)
	return sizes, lit[len(lit)*3/4]
}

// unmixed is the light of a sample as red, green and blue of a pixel, look by
// look, and the weighted sum of their squares.
func (r *reader) unmixed(light []vec) (parts []vec, total float32) {
	parts = make([]vec, len(light))
	for k := range parts {
		if r.weight[k] == 0 {
			continue
		}
		for c := range 3 {
			parts[k][c] = r.turn[c].dot(light[k])
		}
		total += r.weight[k] * parts[k].dot(parts[k])
	}
	return parts, total
}

// sums is for each slot the weighted light of each colour in the looks where
// it is lit.
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

// A guess is one explanation of a sample.
type guess struct {
	slot  int
	order *order
	lost  int // a light that does not show, -1 for none
	fits  float32
	// penalty is what is taken off because such pixels are rare.
	penalty float32
}

// contest is how many explanations are compared when the best one explains too
// little.
const contest = 6

// read is the best explanation of a sample and how well the best one with
// another slot does. Where that explains too little, up to two looks are left
// out, for each explanation those that fit it worst: a pixel that flickers
// spoils only some, and no explanation may choose them for the others.
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
		sorting.Stable(top, func(a, b guess) int { return compare(b.fits, a.fits) })
	}
	best := top[0]
	out := Reading{Slot: best.slot, Chip: len(best.order.lights), Order: best.order.name, lost: best.lost, Fits: float64(best.fits), Left: left}
	if len(top) > 1 {
		out.Rival = float64(top[1].fits)
	}
	return out
}

// trimmed is what a guess explains of the light without the n looks that fit
// it worst, less its penalties.
func (r *reader) trimmed(g guess, light []vec, n int) float32 {
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

// search tries every slot and order and keeps the few best, no two of which
// give the same light; chips of four slots only where three explain too
// little, a white one after them explains more, or the data has four.
func (r *reader) search(sums []vec, total float32) []guess {
	top := r.searchChip(nil, sums, total, 3, r.best3)
	if r.scene.Slots != 4 && len(top) > 0 && top[0].fits > 0.8 && r.best4(sums[top[0].slot:], top[0].slot, total).fits <= top[0].fits {
		return top
	}
	return r.searchChip(top, sums, total, 4, r.best4)
}

// searchChip tries every slot for chips of n slots. A slot that could not
// come near even if each colour had its own strength is passed over.
func (r *reader) searchChip(top []guess, sums []vec, total float32, n int, try func(sums []vec, slot int, total float32) guess) []guess {
	for slot := range r.slots {
		if n == 3 && len(top) == contest && r.bound(sums[slot:slot+3], slot) <= top[contest-1].fits*total {
			continue
		}
		if g := try(sums[slot:], slot, total); g.order != nil {
			top = r.rank(top, g)
		}
	}
	return top
}

// rank puts a guess into the list of the best. Of two that mean the same
// light, or begin at the same slot, the better stays.
func (r *reader) rank(top []guess, g guess) []guess {
	if len(top) == contest && g.fits <= top[contest-1].fits {
		return top
	}
	if i := slices.IndexFunc(top, func(h guess) bool { return h.slot == g.slot || r.same(g, h) }); i >= 0 {
		if g.fits <= top[i].fits {
			return top
		}
		top = slices.Delete(top, i, i+1)
	}
	at, _ := slices.BinarySearchFunc(top, g, func(a, b guess) int { return compare(b.fits, a.fits) })
	top = slices.Insert(top, at, g)
	return top[:min(len(top), contest)]
}

// same reports whether two explanations give the same light in every
// look, as when the slots that differ are those of lost colours, or white ones
// that no code look lights. Then the light cannot tell them apart, and the
// usual order or a neighbour must.
func (r *reader) same(g, h guess) bool {
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
func (r *reader) lit(g guess, light int) []int {
	if light == g.lost {
		return nil
	}
	return r.on[g.slot+slices.Index(g.order.lights, light)]
}
