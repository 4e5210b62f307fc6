package checkout

import (
	"encoding/binary"
	"fmt"
	"hash/fnv"
	"math"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// A hypothesis is one way the prop may be: sound, or with faults.
type hypothesis struct {
	faults []strip.Fault
	strip  *strip.Strip
	family int     // index in field.families; -1 for a sound prop
	chance float64 // before anything was asked
	twin   int     // the first hypothesis with the very same light; itself when none
}

// A field is everything a prop may be, and what does not change during a
// check-out. It is shared by copies of a session.
type field struct {
	prop     *prop.Prop
	pixels   int
	sizes    []int
	families []family
	hyps     []hypothesis
	sound    *strip.Strip
	classes  int // hypotheses that differ in light
	level    float64
	bright   float64 // level of the fade probe
}

// newField makes every hypothesis.
func newField(p *prop.Prop) (*field, error) {
	sound, err := strip.New(p)
	if err != nil {
		return nil, fmt.Errorf("no check-out: %w", err)
	}
	f := &field{prop: p, pixels: p.Pixels(), families: families(p), sound: sound}
	for _, r := range p.Runs {
		f.sizes = append(f.sizes, r.Pixels)
	}
	f.hyps = append(f.hyps, hypothesis{strip: sound, family: -1, chance: chanceGood * 100})
	for i := range f.families {
		if err := f.addFamily(i); err != nil {
			return nil, err
		}
	}
	f.findTwins()
	f.level, f.bright = levels(p)
	return f, nil
}

func (f *field) addFamily(i int) error {
	fam := &f.families[i]
	sum := 0.0
	for _, ft := range fam.faults {
		sum += fam.weight(f.prop, ft)
	}
	for _, ft := range fam.faults {
		st, err := f.sound.With(ft)
		if err != nil {
			continue // a fault this prop cannot have, such as a wrong order equal to the planned one
		}
		f.hyps = append(f.hyps, hypothesis{faults: st.Faults(), strip: st, family: i,
			chance: fam.chance * fam.weight(f.prop, ft) / sum})
	}
	return nil
}

// findTwins finds hypotheses that no light can tell apart: their prints under
// a frame in which every slot has its own random value are the same.
func (f *field) findTwins() {
	d := f.sound.Lay(noise(f.pixels))
	seen := make(map[uint64]int, len(f.hyps))
	var light strip.Light
	for i := range f.hyps {
		h := &f.hyps[i]
		var p uint64
		p, light = print64(h.strip, d, light)
		first, ok := seen[p]
		if !ok {
			seen[p], first = i, i
		}
		h.twin = first
	}
	f.classes = len(seen)
}

// noise is a frame of values that look random and never repeat for long.
func noise(n int) patterns.Frame {
	f := make(patterns.Frame, n)
	x := uint64(1)
	for i := range f {
		x += 0x9e3779b97f4a7c15 // splitmix64 (Steele, Lea and Flood 2014)
		z := x
		z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
		z = (z ^ z>>27) * 0x94d049bb133111eb
		z ^= z >> 31
		at := func(k uint) uint8 { return 1 + uint8(z>>(8*k))%255 }
		f[i] = patterns.Colour{R: at(0), G: at(1), B: at(2), W: at(3), C: at(4)}
	}
	return f
}

// print64 is a number that stands for all a strip shows of a frame.
func print64(s *strip.Strip, d *strip.Sent, into strip.Light) (uint64, strip.Light) {
	h := uint64(14695981039346656037) // FNV-1a, 64 bits
	add := func(v uint64) { h = (h ^ v) * 1099511628211 }
	into = s.ShineInto(into, d)
	lights := 1
	if s.Flickers() {
		lights = 2
	}
	for range lights {
		for _, run := range into {
			add(uint64(len(run)) | 1<<40)
			for _, c := range run {
				add(uint64(c.R) | uint64(c.G)<<8 | uint64(c.B)<<16 | uint64(c.W)<<24 | uint64(c.C)<<32)
			}
		}
		if lights == 2 {
			into = s.LetGo(into, d.Slots())
		}
	}
	return h, into
}

// printOf names a prop in a log, so that one changed half-way is noticed.
func printOf(p *prop.Prop) string {
	h := fnv.New64a()
	var b [8]byte
	put := func(n int) { binary.BigEndian.PutUint64(b[:], uint64(n)); h.Write(b[:]) }
	for _, r := range p.Runs {
		h.Write([]byte(r.Name))
		put(r.Pixels)
	}
	h.Write([]byte(p.Chip.Order))
	put(int(p.Address.Universe))
	put(p.Address.Slot)
	h.Write([]byte(p.Address.Packing))
	h.Write([]byte(p.Address.Host))
	return fmt.Sprintf("%016x", h.Sum64())
}

// A belief is how likely each hypothesis is after some answers: the logarithm
// of its chance times the likelihood of every answer. Twins are kept at their
// first.
type belief struct {
	log    []float64
	misses []uint8 // answers that were not due
}

func (f *field) newBelief() belief {
	b := belief{log: make([]float64, len(f.hyps)), misses: make([]uint8, len(f.hyps))}
	sum := make([]float64, len(f.hyps))
	for i := range f.hyps {
		sum[f.hyps[i].twin] += f.hyps[i].chance
	}
	for i, s := range sum {
		b.log[i] = math.Log(s / 100) // -Inf for twins
	}
	return b
}

// weights are the shares of all hypotheses; they sum to 1.
func (b *belief) weights() []float64 {
	top := math.Inf(-1)
	for _, l := range b.log {
		top = max(top, l)
	}
	w, sum := make([]float64, len(b.log)), 0.0
	for i, l := range b.log {
		if l > top-40 {
			w[i] = math.Exp(l - top)
			sum += w[i]
		}
	}
	for i := range w {
		w[i] /= sum
	}
	return w
}

// best is the index of the largest share.
func best(w []float64) int {
	top := 0
	for i := range w {
		if w[i] > w[top] {
			top = i
		}
	}
	return top
}

// duel is the belief when only the likeliest hypothesis and those that fit the
// answers as well are looked at, half of it the likeliest one's; false when
// nothing else fits as well.
func (b *belief) duel(w []float64, top int) ([]float64, bool) {
	out, sum := make([]float64, len(w)), 0.0
	for i := range w {
		if i != top && w[i] > 1e-9 && b.misses[i] <= b.misses[top] {
			out[i] = w[i]
			sum += w[i]
		}
	}
	for i := range out {
		out[i] *= 0.5 / sum
	}
	out[top] = 0.5
	return out, sum > 0
}
