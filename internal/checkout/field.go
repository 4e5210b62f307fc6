package checkout

import (
	"encoding/binary"
	"fmt"
	"hash/fnv"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// A hypothesis is one way the prop may be: sound, or with faults.
type hypothesis struct {
	faults []strip.Fault // of a pair, the one whose place is open comes last
	strip  *strip.Strip
	family int     // index in field.families; -1 for a sound prop
	with   int     // for a pair: the hypothesis whose fault comes first; else 0, the sound prop
	chance float64 // before anything was asked
	twin   int     // the first hypothesis with the very same light; itself when none
	behind bool    // the same fault, and something unknown behind it on the way of the data
	group  int     // the hypothesis it says the same as, but for what is behind; itself when none
	print  uint64  // stands for its light
	faint  bool    // so weak that not everybody sees it
}

// place is the pixel of the fault whose place is open.
func (h *hypothesis) place() int { return h.faults[len(h.faults)-1].Pixel }

// A field is everything a prop may be, and what does not change during a
// check-out. It is shared by copies of a session.
type field struct {
	prop     *prop.Prop
	pixels   int
	sizes    []int
	firsts   []int // first pixel of each run
	families []family
	hyps     []hypothesis
	sound    *strip.Strip
	classes  int // hypotheses that differ in light
	prints   map[uint64]int
	globals  []int  // hypotheses that change the whole prop: a second fault may hide in their light
	dark     []bool // by pixel of the plan: nobody looks there; nil when all are seen
	hidden   hidden // the same by run and place
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
	for i, r := range p.Runs {
		f.sizes, f.firsts = append(f.sizes, r.Pixels), append(f.firsts, p.FirstPixel(i))
	}
	f.level, f.bright = levels(p)
	f.hide()
	f.hyps = append(f.hyps, hypothesis{strip: sound, family: -1, chance: chanceGood * 100})
	for i := range f.families {
		if err := f.addFamily(i); err != nil {
			return nil, err
		}
	}
	f.findTwins()
	f.gatherSag()
	f.hedge()
	f.addBehind()
	f.listGlobals()
	return f, nil
}

func (f *field) addFamily(i int) error {
	fam := &f.families[i]
	fam.from = len(f.hyps)
	defer func() { fam.to = len(f.hyps) }()
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
	d := f.sound.Lay(f.noise())
	seen := make(map[uint64]int, len(f.hyps))
	var light strip.Light
	for i := range f.hyps {
		h := &f.hyps[i]
		var p uint64
		p, light = f.print64(h.strip, d, light)
		first, ok := seen[p]
		if !ok {
			seen[p], first = i, i
		}
		h.twin, h.group, h.print = first, i, p
	}
	f.classes, f.prints = len(seen), seen
}

// forgiven is the part of its chance that is left to a fall of voltage that
// does not show at the brightest look: it is hardly a fault, but somebody who
// says that the far end is dimmer must not be told that nothing is wrong.
const forgiven = 0.02

// gatherSag takes all strengths of a fall of voltage for one explanation, and
// makes those unlikely that do not show.
func (f *field) gatherSag() {
	var w watcher
	w.watch(f, &Spec{Kind: AskFade, Paint: f.unlit(even(HueWhite, f.pixels)), Level: f.bright})
	first := -1
	for i := range f.hyps {
		h := &f.hyps[i]
		if h.family < 0 || f.families[h.family].kind != strip.Sag {
			continue
		}
		if first < 0 {
			first = i
		}
		h.twin, h.group = i, first // whatever one frame shows: another is brighter
		w.shine(h.strip)
		if h.faint = w.see.fall() >= surelySeen; w.see.fall() > barelySeen {
			h.chance *= forgiven
		}
	}
}

// hedged is the part of all faults' chance that is shared equally by all that
// differ in light: nobody has counted how often each is met, so what is thought
// of it must not make any of them very unlikely.
const hedged = 0.3

func (f *field) hedge() {
	each := hedged * (1 - chanceGood) * 100 / float64(max(1, f.classes-1))
	for i := range f.hyps {
		h := &f.hyps[i]
		if h.family < 0 {
			continue
		}
		h.chance *= 1 - hedged
		if h.twin == i {
			h.chance += each
		}
	}
}

// noise is a frame of values that look random and never repeat for long, dark
// where nobody looks.
func (f *field) noise() patterns.Frame {
	out := make(patterns.Frame, f.pixels)
	x := uint64(1)
	for i := range out {
		x += 0x9e3779b97f4a7c15 // splitmix64 (Steele, Lea and Flood 2014)
		z := x
		z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
		z = (z ^ z>>27) * 0x94d049bb133111eb
		z ^= z >> 31
		at := func(k uint) uint8 { return 1 + uint8(z>>(8*k))%255 }
		if f.dark == nil || !f.dark[i] {
			out[i] = patterns.Colour{R: at(0), G: at(1), B: at(2), W: at(3), C: at(4)}
		}
	}
	return out
}

// print64 is a number that stands for all that is seen of a frame on a strip,
// and of a loose contact also while it is open, if that is seen.
func (f *field) print64(s *strip.Strip, d *strip.Sent, into strip.Light) (uint64, strip.Light) {
	const start = 14695981039346656037 // FNV-1a, 64 bits
	into = s.ShineInto(into, d)
	held := f.hash(start, into)
	if !s.Flickers() {
		return held, into
	}
	into = s.ShineLetGo(into, d)
	if f.hash(start, into) == held {
		return held, into
	}
	return f.hash(held, into), into
}

// hash goes on from h over what is seen of a light.
func (f *field) hash(h uint64, l strip.Light) uint64 {
	add := func(v uint64) { h = (h ^ v) * 1099511628211 }
	for r, run := range l {
		add(uint64(len(run)) | 1<<40)
		for i, c := range run {
			if f.dark != nil && !f.hidden.sees(r, i) {
				continue
			}
			add(uint64(c.R) | uint64(c.G)<<8 | uint64(c.B)<<16 | uint64(c.W)<<24 | uint64(c.C)<<32)
		}
	}
	return h
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
