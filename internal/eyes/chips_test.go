package eyes

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// lightOfPixel is what a camera sees in every look of a pixel that takes its colours
// from slot on, in this order; a lost light, -1 for none, does not show. It adds
// up the lights that are lit, and knows nothing of how they are read.
func lightOfPixel(s *Scene, slot int, order string, lost int, dim float32) []vec {
	seen := map[byte]vec{'R': {1, 0.1, 0.05}, 'G': {0.1, 1, 0.1}, 'B': {0.05, 0.1, 1}}
	seen['W'] = seen['R'].plus(seen['G']).plus(seen['B'])
	out := make([]vec, len(s.Looks))
	for k, l := range s.Looks {
		for i := range len(order) {
			if s.Lit(l, slot+i) && (lost < 0 || letters[lost] != order[i]) {
				out[k] = out[k].plus(seen[order[i]].times(dim))
			}
		}
	}
	return out
}

// Whatever order the chips have, how many slots they take and where they begin
// in the data, their light is read back as that, with some noise in it; one that
// lost a colour, by what it still shows.
func TestOrdersAreReadFromTheLight(t *testing.T) {
	names := map[int][]string{}
	for n := range 2 {
		for _, o := range ordersOf(3 + n) {
			names[3+n] = append(names[3+n], o.name)
		}
	}
	require.Len(t, names[3], 6)
	require.Len(t, names[4], 24)
	scenes := map[int][]*Scene{}
	for _, slots := range []int{3, 4} {
		for _, pixels := range []int{20, 60} {
			scenes[slots] = append(scenes[slots], sceneOf(t, pixels, slots))
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		slots, chip := rapid.IntRange(3, 4).Draw(t, "slots"), rapid.IntRange(3, 4).Draw(t, "chip")
		s := rapid.SampledFrom(scenes[slots]).Draw(t, "scene")
		order := rapid.SampledFrom(names[chip]).Draw(t, "order")
		lost := -1
		if chip == 3 && slots == 3 && rapid.IntRange(0, 3).Draw(t, "lost") == 0 {
			lost = rapid.IntRange(0, 2).Draw(t, "which")
		}
		slot := chip * rapid.IntRange(0, (slots*len(s.Words)-6)/chip).Draw(t, "pixel")
		light := lightOfPixel(s, slot, order, lost, float32(rapid.IntRange(1, 10).Draw(t, "strength"))/10)
		for k := range light {
			light[k] = light[k].times(1 + float32(rapid.IntRange(-5, 5).Draw(t, "noise"))/100)
		}
		r := newReader(s)
		got := r.read(slices.Clone(light))
		want := candidate{slot: slot, order: r.orders[chip-3][slices.Index(names[chip], order)].self(), lost: lost}
		if got.Slot == slot && got.Order == order && got.lost == lost && got.Chip == chip {
			return
		}
		if got.Chip == chip { // another that stands for the very same light will do
			g := candidate{slot: got.Slot, order: r.orders[chip-3][slices.Index(names[chip], got.Order)].self(), lost: got.lost}
			if r.same(want, g) {
				return
			}
		}
		t.Fatalf("%s at slot %d without light %d was read as %s at %d without %d: fits %.3f, rival %.3f", order, slot, lost, got.Order, got.Slot, got.lost, got.Fits, got.Rival)
	})
}

func (o order) self() *order { return &o }

// What an order explains of a light is all of it where it is the right one, and
// no more than all of it where it is not; nothing explains more than the bound.
func TestWhatOrdersExplain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := sceneOf(t, 20, rapid.IntRange(3, 4).Draw(t, "slots"))
		r := newReader(s)
		chip := rapid.IntRange(3, 4).Draw(t, "chip")
		own := rapid.SampledFrom(r.orders[chip-3]).Draw(t, "order")
		slot := rapid.IntRange(0, r.slots-5).Draw(t, "slot")
		parts, total := r.unmixed(lightOfPixel(s, slot, own.name, -1, 0.7))
		sums := r.sums(parts)[slot:]
		if chip == 3 {
			require.InDelta(t, total, r.fit3(sums, slot, own.lights, -1), 1e-2*float64(total))
			for _, o := range r.orders[0] {
				for lost := -1; lost < 3; lost++ {
					f := r.fit3(sums, slot, o.lights, lost)
					require.GreaterOrEqual(t, f, float32(0))
					require.LessOrEqual(t, f, total*1.001)
					require.LessOrEqual(t, f, r.bound(sums[:3], slot)*1.001, "%s without %d", o.name, lost)
				}
			}
		} else {
			require.InDelta(t, total, r.fit4(sums, slot, own.lights), 1e-2*float64(total), own.name)
			for _, o := range r.orders[1] {
				f := r.fit4(sums, slot, o.lights)
				require.GreaterOrEqual(t, f, float32(0))
				require.LessOrEqual(t, f, total*1.001)
			}
		}
	})
}

// A pixel that begins inside another's slots, or takes another number of them,
// must explain more where nearly none does.
func TestPixelsBesideTheGrid(t *testing.T) {
	for _, slots := range []int{3, 4} {
		r := newReader(sceneOf(t, 20, slots))
		for slot := range 13 {
			for chip := 3; chip <= 4; chip++ {
				r.whole = false
				assert.Zero(t, r.offsetPenalty(slot, chip))
				r.whole = true
				if slot%slots == 0 && chip == slots {
					assert.Zero(t, r.offsetPenalty(slot, chip), "slot %d of chips of %d", slot, chip)
				} else {
					assert.Equal(t, float32(partPenalty), r.offsetPenalty(slot, chip), "slot %d of chips of %d", slot, chip)
				}
			}
		}
		r.setUsual("GRB")
		for _, orders := range r.orders {
			for _, o := range orders {
				assert.Equal(t, o.name != "GRB", o.rare == orderPenalty, o.name)
			}
		}
		r.setUsual("")
		for _, o := range r.orders[0] {
			assert.Zero(t, o.rare)
		}
	}
}

// The weight of the looks in which two slots are both lit, added up look by look.
func TestLooksInCommon(t *testing.T) {
	s := sceneOf(t, 20, 3)
	r := newReader(s)
	weight := map[LookKind]float32{All: 2, Code: 1}
	for a := range 3 * 20 {
		for d := range 4 {
			var want float32
			for _, l := range s.Looks {
				if s.Lit(l, a) && s.Lit(l, a+d) {
					want += weight[l.Kind]
				}
			}
			assert.Equal(t, want, r.common[a][d], "slots %d and %d", a, a+d)
			if d == 0 {
				assert.Equal(t, want, r.norm[a])
			}
		}
	}
}
