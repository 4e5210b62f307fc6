package checkout

import (
	"encoding/binary"
	"fmt"
	"hash/fnv"
	"slices"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// A hypothesis is one possible state of the prop: sound, or with faults. Its
// strip is not kept, since there are many thousand hypotheses.
type hypothesis struct {
	faults      []strip.Fault // of a pair, the one with an open place comes last
	family      int32         // index in field.families; -1 for a sound prop
	partner     int32         // for a pair: the hypothesis of the first fault; else 0, the sound prop
	sameLight   int32         // the first hypothesis with the same light; its own index when it is the first
	group       int32         // the first hypothesis of the same explanation, whatever comes after it and however strong it is
	prior       float64       // props of 100
	fingerprint uint64        // hash of its light
	moreAfter   bool          // an unknown fault follows along the data
	faint       bool          // a fall of voltage that not everyone sees
	sag         bool          // the voltage falls along the prop
	sparks      bool          // pixels flash at random
}

// place is the pixel of the last fault, the one with an open place.
func (h *hypothesis) place() int { return h.faults[len(h.faults)-1].Pixel }

// sound reports whether nothing is wrong.
func (h *hypothesis) sound() bool { return len(h.faults) == 0 }

// openEnded reports whether one of some faults is a count that may be higher
// too, so that the number of dark pixels is not known.
func openEnded(faults []strip.Fault) bool {
	return slices.ContainsFunc(faults, func(ft strip.Fault) bool { return ft.OrMore })
}

// A field holds all hypotheses of a prop and everything else that does not
// change during a check-out. Copies of a session share it.
type field struct {
	prop           *prop.Prop
	pixels         int
	sizes          []int
	firsts         []int // first pixel of each run
	families       []family
	hyps           []hypothesis
	sound          *strip.Strip
	classes        int // number of different lights
	fingerprints   map[uint64]int32
	marks          []signature  // by family: what it does at its place
	globals        []int        // hypotheses that change the whole prop and so may hide a second fault
	noData         int          // a hypothesis without data, but with supply: stuck channels light; 0 for none
	litWithoutData []int        // families that light without data
	dark           []bool       // by pixel of the plan: hidden; nil when all are seen
	hidden         maskedPlaces // the same by run and place
	level          float64
	bright         float64 // level of the fade probe
}

// newField makes every hypothesis of a prop, without some kinds of faults. It
// refuses a prop of which no strip can be made.
func newField(p *prop.Prop, without []strip.Kind) (*field, error) {
	sound, err := strip.New(p)
	if err != nil {
		return nil, fmt.Errorf("no check-out: %w", err)
	}
	f := &field{prop: p, pixels: p.Pixels(), families: families(p, without), sound: sound}
	for i, r := range p.Runs {
		f.sizes, f.firsts = append(f.sizes, r.Pixels), append(f.firsts, p.FirstPixel(i))
	}
	f.level, f.bright = levels(p)
	f.findHidden()
	n := 1
	for i := range f.families {
		n += 2 * len(f.families[i].faults)
	}
	f.hyps = append(make([]hypothesis, 0, n), hypothesis{family: -1, prior: priorGood})
	m := stripBuilder{field: f}
	for i := range f.families {
		m.family(i)
	}
	m.groupByLight()
	f.groupSags()
	f.spreadPriors()
	f.addDownstream()
	f.marks = f.signatures()
	f.listGlobals()
	return f, nil
}

// A stripBuilder makes the strips of hypotheses one after another, in the same
// memory.
type stripBuilder struct {
	*field
	draft strip.Draft
}

// strip returns the strip of some faults, valid until the next call. It refuses
// faults that the prop cannot have.
func (m *stripBuilder) strip(faults []strip.Fault) (*strip.Strip, error) {
	if len(faults) == 0 {
		return m.sound, nil
	}
	err := m.sound.Draft(&m.draft, faults...)
	return &m.draft.Strip, err
}

// family adds the hypotheses of family i, except faults this prop cannot have,
// such as a wrong order equal to the planned one.
func (m *stripBuilder) family(i int) {
	f := m.field
	fam := &f.families[i]
	fam.from = len(f.hyps)
	sum := 0.0
	for k, ft := range fam.faults {
		st, err := m.strip(fam.faults[k : k+1])
		if err != nil {
			continue
		}
		h := hypothesis{faults: fam.faults[k : k+1 : k+1], family: int32(i), prior: ft.Weight(f.prop), sparks: st.Sparks(), sag: st.Sags()}
		if f.dark == nil {
			h.fingerprint = st.Fingerprint()
		}
		sum += h.prior
		f.hyps = append(f.hyps, h)
	}
	fam.to = len(f.hyps)
	for k := fam.from; k < fam.to; k++ {
		f.hyps[k].prior *= fam.prior / sum
	}
}

// groupByLight finds hypotheses with the same light for every frame: the same slots
// drive the same pixels. Where pixels are hidden, the light of two noise frames
// is compared instead; two, so that one accidental match does not count.
func (m *stripBuilder) groupByLight() {
	f := m.field
	f.hyps[0].fingerprint = f.sound.Fingerprint()
	if f.dark != nil {
		n := newNoise(f)
		for i := range f.hyps {
			if st, err := m.strip(f.hyps[i].faults); err == nil {
				f.hyps[i].fingerprint = n.fingerprint(st)
			}
		}
	}
	f.fingerprints = make(map[uint64]int32, len(f.hyps))
	for i := range f.hyps {
		h := &f.hyps[i]
		first, ok := f.fingerprints[h.fingerprint]
		if !ok || h.sag {
			first = int32(i)
		}
		if !ok {
			f.fingerprints[h.fingerprint] = first
		}
		h.sameLight, h.group = first, first
	}
	f.classes = len(f.fingerprints)
}

// darkFingerprint is the fingerprint of a prop on which nothing lights.
func (m *stripBuilder) darkFingerprint() uint64 {
	st, err := m.strip([]strip.Fault{{Kind: strip.NoSupply}})
	if err != nil {
		return 0
	}
	return m.fingerprint(st)
}

// fingerprint is a hash of a strip's light, without its fall of voltage.
func (m *stripBuilder) fingerprint(st *strip.Strip) uint64 {
	if m.dark == nil {
		return st.Fingerprint()
	}
	return newNoise(m.field).fingerprint(st)
}

// faintSagFactor multiplies the prior of a fall of voltage that does not show at
// the brightest look (assumed). It is not 0: a builder who answers that the far
// end is dimmer must not be told that nothing is wrong.
const faintSagFactor = 0.02

// groupSags puts all strengths of a fall of voltage into one group, and lowers
// the prior of those that do not show.
func (f *field) groupSags() {
	var w watcher
	w.watch(f, &Spec{Kind: AskFade, Paint: f.unlit(even(HueWhite, f.pixels)), Level: f.bright})
	first := int32(-1)
	for i := range f.hyps {
		h := &f.hyps[i]
		if !h.sag {
			continue
		}
		if first < 0 {
			first = int32(i)
		}
		h.group = first
		w.lights(h)
		if h.faint = w.see.fall() >= surelySeen; w.see.fall() > barelySeen {
			h.prior *= faintSagFactor
		}
	}
}

// evenPart is the part of the priors of all faults that is shared equally
// (assumed). The priors are estimates, so none may be very low.
const evenPart = 0.3

// spreadPriors gives every fault with a light of its own an equal part of
// evenPart of all priors, and scales the given priors down by as much.
func (f *field) spreadPriors() {
	all := 0.0
	for i := range f.hyps {
		if f.hyps[i].family >= 0 {
			all += f.hyps[i].prior
		}
	}
	each := evenPart * all / float64(f.classes-1) // not 0: no supply differs from a sound prop
	for i := range f.hyps {
		h := &f.hyps[i]
		if h.family < 0 || h.sag {
			continue
		}
		h.prior *= 1 - evenPart
		if h.sameLight == int32(i) {
			h.prior += each
		}
	}
}

// noise is a frame of pseudo-random values from 1 to 255, dark at hidden pixels.
func (f *field) noise(seed uint64) patterns.Frame {
	out := make(patterns.Frame, f.pixels)
	x := seed
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

// A noise hashes the light that strips show of two noise frames.
type noise struct {
	field  *field
	frames [2]*strip.SlotFrame
	light  strip.Light
}

func newNoise(f *field) *noise {
	n := &noise{field: f}
	for i := range n.frames {
		n.frames[i] = f.sound.Lay(f.noise(uint64(i + 1)))
	}
	return n
}

// fingerprint is a hash of the visible light of the noise frames on a strip; for
// a loose contact also of the light while it is open, if that differs.
func (n *noise) fingerprint(s *strip.Strip) uint64 {
	const start = 14695981039346656037 // FNV-1a, 64 bits
	held, gone := uint64(start), uint64(start)
	for _, d := range n.frames {
		n.light = s.ShineInto(n.light, d)
		held = n.field.hash(held, n.light)
		if s.Flickers() {
			n.light = s.ShineOpen(n.light, d)
			gone = n.field.hash(gone, n.light)
		}
	}
	if !s.Flickers() || gone == held {
		return held
	}
	return held ^ gone*1099511628211
}

// hash continues the FNV-1a hash h over the visible pixels of a light.
func (f *field) hash(h uint64, l strip.Light) uint64 {
	add := func(v uint64) { h = (h ^ v) * 1099511628211 }
	for r, run := range l {
		add(uint64(len(run)))
		for i, c := range run {
			if f.dark != nil && !f.hidden.sees(r, i) {
				continue
			}
			add(uint64(c.R) | uint64(c.G)<<8 | uint64(c.B)<<16 | uint64(c.W)<<24 | uint64(c.C)<<32)
		}
	}
	return h
}

// Print is a hash of the runs with their travel, empty parts, colour order and address of
// a prop, as 16 hex digits. Answers given under another hash do not hold for the prop.
func Print(p *prop.Prop) string {
	h := fnv.New64a()
	var b [8]byte
	put := func(n int) { binary.BigEndian.PutUint64(b[:], uint64(n)); h.Write(b[:]) }
	for _, r := range p.Runs {
		h.Write([]byte(r.Name))
		put(r.Pixels)
		if r.Reverse {
			h.Write([]byte("<"))
		}
	}
	for _, part := range p.Parts {
		if part.Empty {
			put(part.First)
			put(part.Last)
		}
	}
	h.Write([]byte(p.Chip.Order))
	put(int(p.Address.Universe))
	put(p.Address.Slot)
	h.Write([]byte(p.Address.Packing))
	h.Write([]byte(p.Address.Host))
	if p.Address.Port != 0 {
		put(int(p.Address.Port))
	}
	return fmt.Sprintf("%016x", h.Sum64())
}
