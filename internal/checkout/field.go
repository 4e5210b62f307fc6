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

// A hypothesis is one way the prop may be: sound, or with faults. Its strip is
// made when it is looked at: there are many thousand of them.
type hypothesis struct {
	faults []strip.Fault // of a pair, the one whose place is open comes last
	family int32         // index in field.families; -1 for a sound prop
	with   int32         // for a pair: the hypothesis whose fault comes first; else 0, the sound prop
	twin   int32         // the first hypothesis with the very same light; itself when none
	group  int32         // the hypothesis it says the same as, but for what is after or how strong it is; itself when none
	prior  float64       // of a hundred props
	print  uint64        // represents its light
	behind bool          // the same fault, and something unknown after it on the way of the data
	faint  bool          // so weak that not everybody sees it
	sag    bool          // the voltage falls along the prop
	sparks bool          // pixels flash at random
}

// place is the pixel of the fault whose place is open.
func (h *hypothesis) place() int { return h.faults[len(h.faults)-1].Pixel }

// sound reports whether nothing is wrong.
func (h *hypothesis) sound() bool { return len(h.faults) == 0 }

// openEnded reports whether one of some faults is a count that may be higher
// as well: there are dark pixels, no one knows how many.
func openEnded(faults []strip.Fault) bool {
	return slices.ContainsFunc(faults, func(ft strip.Fault) bool { return ft.OrMore })
}

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
	prints   map[uint64]int32
	marks    []signature  // by family: what it does at its place
	globals  []int        // hypotheses that change the whole prop: a second fault may hide in their light
	unfed    int          // a hypothesis in which no data comes but what is stuck lights; 0 for none
	glows    []int        // families that light without data
	dark     []bool       // by pixel of the plan: no one looks there; nil when all are seen
	hidden   maskedPlaces // the same by run and place
	level    float64
	bright   float64 // level of the fade probe
}

// newField makes every hypothesis, without some kinds of faults.
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
	f.hide()
	n := 1
	for i := range f.families {
		n += 2 * len(f.families[i].faults)
	}
	f.hyps = append(make([]hypothesis, 0, n), hypothesis{family: -1, prior: priorGood})
	m := stripBuilder{field: f}
	for i := range f.families {
		m.family(i)
	}
	m.twins()
	f.gatherSag()
	f.hedge()
	f.addDownstream()
	f.marks = f.signatures()
	f.listGlobals()
	return f, nil
}

// A stripBuilder makes the strips of hypotheses, one after the other, in one memory.
type stripBuilder struct {
	*field
	draft strip.Draft
}

// strip is the strip of some faults; it stands until the next one is made.
func (m *stripBuilder) strip(faults []strip.Fault) (*strip.Strip, error) {
	if len(faults) == 0 {
		return m.sound, nil
	}
	err := m.sound.Draft(&m.draft, faults...)
	return &m.draft.Strip, err
}

// family adds the hypotheses of a family, but for faults this prop cannot have,
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
			h.print = st.Fingerprint()
		}
		sum += h.prior
		f.hyps = append(f.hyps, h)
	}
	fam.to = len(f.hyps)
	for k := fam.from; k < fam.to; k++ {
		f.hyps[k].prior *= fam.prior / sum
	}
}

// twins finds hypotheses that no look can tell apart: the same slots drive the
// same lights. Where some places are not looked at, it is found by frames of
// noise: two, so that a chance in one does not decide.
func (m *stripBuilder) twins() {
	f := m.field
	f.hyps[0].print = f.sound.Fingerprint()
	if f.dark != nil {
		n := newNoise(f)
		for i := range f.hyps {
			if st, err := m.strip(f.hyps[i].faults); err == nil {
				f.hyps[i].print = n.print(st)
			}
		}
	}
	f.prints = make(map[uint64]int32, len(f.hyps))
	for i := range f.hyps {
		h := &f.hyps[i]
		first, ok := f.prints[h.print]
		if !ok || h.sag {
			first = int32(i)
		}
		if !ok {
			f.prints[h.print] = first
		}
		h.twin, h.group = first, first
	}
	f.classes = len(f.prints)
}

// black is the print of a prop on which nothing lights.
func (m *stripBuilder) black() uint64 {
	st, err := m.strip([]strip.Fault{{Kind: strip.NoSupply}})
	if err != nil {
		return 0
	}
	return m.print(st)
}

// print represents the light of a strip, but for a fall of voltage.
func (m *stripBuilder) print(st *strip.Strip) uint64 {
	if m.dark == nil {
		return st.Fingerprint()
	}
	return newNoise(m.field).print(st)
}

// forgiven is the part of its prior that is left to a fall of voltage that
// does not show at the brightest look: it is hardly a fault, but someone who
// says that the far end is dimmer must not read that nothing is wrong.
const forgiven = 0.02

// gatherSag takes all strengths of a fall of voltage for one explanation, and
// makes those unlikely that do not show.
func (f *field) gatherSag() {
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
			h.prior *= forgiven
		}
	}
}

// hedged is the part of all faults' chance that is shared equally by all that
// differ in light: no one has counted how often each is met, so what is thought
// of it must not make any of them very unlikely.
const hedged = 0.3

func (f *field) hedge() {
	all := 0.0
	for i := range f.hyps {
		if f.hyps[i].family >= 0 {
			all += f.hyps[i].prior
		}
	}
	each := hedged * all / float64(f.classes-1) // no supply at least is another light than a sound prop
	for i := range f.hyps {
		h := &f.hyps[i]
		if h.family < 0 || h.sag {
			continue
		}
		h.prior *= 1 - hedged
		if h.twin == int32(i) {
			h.prior += each
		}
	}
}

// noise is a frame of values that look random and never repeat for long, dark
// where no one looks.
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

// A noise prints strips by the light of two frames of noise.
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

// print is a number for all that is seen of the noise on a strip,
// and of a loose contact also while it is open, if that is seen.
func (n *noise) print(s *strip.Strip) uint64 {
	const start = 14695981039346656037 // FNV-1a, 64 bits
	held, gone := uint64(start), uint64(start)
	for _, d := range n.frames {
		n.light = s.ShineInto(n.light, d)
		held = n.field.hash(held, n.light)
		if s.Flickers() {
			n.light = s.ShineLetGo(n.light, d)
			gone = n.field.hash(gone, n.light)
		}
	}
	if !s.Flickers() || gone == held {
		return held
	}
	return held ^ gone*1099511628211
}

// hash continues from h over what is seen of a light.
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

// Print represents the runs, colour order and address of a prop: another one
// means that answers of before are of another prop.
func Print(p *prop.Prop) string { return printOf(p) }

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
