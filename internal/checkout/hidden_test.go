package checkout

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// sign is a prop of two runs with holes at their ends and on the way.
func sign() *prop.Prop {
	p := ringProp("sign", 14, 12)
	p.Parts = []prop.Part{{Name: "word", First: 2, Last: 5}}
	for _, hole := range [][2]int{{0, 1}, {6, 8}, {14, 14}, {24, 25}} {
		p.Parts = append(p.Parts, prop.Part{Name: "hole", First: hole[0], Last: hole[1], Empty: true})
	}
	return p
}

// TestEmptyParts: pixels of empty parts are sent nothing, no one is asked for
// them, and every fault at every place, or at every fifth in the short run, is
// found by a person who does not look there. One that only such a pixel would show counts as a
// sound prop.
func TestEmptyParts(t *testing.T) {
	s, err := New(sign(), Options{})
	require.NoError(t, err)
	w := &walk{f: s.field, by: map[strip.Kind]*tally{}}
	w.see = func(t *testing.T, p *Probe, truth []int) []int {
		for i, c := range p.Show(nil, 26, 0) {
			assert.False(t, s.field.dark[i] && c != patterns.Colour{}, "pixel %d of %s", i, p.Spec.key())
		}
		for _, sp := range p.Look {
			assert.False(t, s.field.dark[sp.First], "asks for pixel %d: %s", sp.First, p.Question)
		}
		return w.f.inMemory(t, p, truth)
	}
	every := 13 // in the short run
	if long() {
		every = 1
	}
	w.play(t, s, some(s.field, every))
	assert.Empty(t, w.lost)
	w.report(t)
	assert.Equal(t, 1, w.by["good"].exact)
	dead := w.by[strip.DeadPixel]
	assert.Equal(t, dead.n, dead.exact)
	assert.GreaterOrEqual(t, dead.n, 26/every)
}

// A pixel in an empty part that is always lit has the fingerprint of a sound prop, since no
// one looks there; at any other place it has another.
func TestFingerprintPassesOverEmptyParts(t *testing.T) {
	f, err := newField(sign(), nil)
	require.NoError(t, err)
	sound := newNoise(f).fingerprint(f.sound)
	for pixel, empty := range f.dark {
		got := printOfFaults(t, f, strip.Fault{Kind: strip.StuckOn, Pixel: pixel})
		assert.Equal(t, empty, got == sound, "pixel %d", pixel)
	}
}

// TestEmptyPartsRowsAreExact is TestRowsAreExact with holes.
func TestEmptyPartsRowsAreExact(t *testing.T) {
	s, err := New(sign(), Options{})
	require.NoError(t, err)
	p := &proposer{f: s.field, hyps: s.belief.hyps}
	p.live, p.share = s.belief.sample(s.belief.posterior().each)
	for _, spec := range p.all() {
		exact(t, s.field, spec)
	}
}

// TestAShortRunAloneIsSettled: a fall of voltage that no one could see on so
// few pixels keeps no one from signing them off.
func TestAShortRunAloneIsSettled(t *testing.T) {
	s, err := New(single("ring", 36), Options{})
	require.NoError(t, err)
	finish(t, s, s.field.sound)
	assert.True(t, s.Findings()[0].Good)
	assert.Contains(t, s.Stopped(), "stands well above")
}

// What is looked at in runs of which some places are not, held against a list
// of the places: counted from either end, more and fewer lights than planned,
// the ends of what is seen, the pixel before, and a picture that is dark there.
func TestPlacesThatAreLookedAt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dark := rapid.SliceOfN(rapid.Bool(), 2, 14).Draw(t, "dark")
		n := len(dark)
		first := rapid.IntRange(1, n-1).Draw(t, "pixels of the first run")
		f := &field{pixels: n, dark: dark, sizes: []int{first, n - first}, firsts: []int{0, first}, hidden: maskedPlaces{dark[:first], dark[first:]}}
		for r, size := range f.sizes {
			at, lights := f.firsts[r], rapid.IntRange(1, size+3).Draw(t, "lights")
			seen := 0
			for i := range lights {
				if yes := i >= size || !dark[at+i]; yes != f.hidden.sees(r, i) {
					t.Fatalf("place %d of run %d of %v", i, r, dark)
				} else if yes {
					seen++
				}
				if i < size && f.hidden.sees(r, i) != f.hidden.sees(r, i-size) {
					t.Fatalf("place %d from the far end", i-size)
				}
			}
			if !f.hidden.sees(r, -size-1) || !f.hidden.sees(2, r) {
				t.Fatal("what the plan does not have is looked at")
			}
			got := 0
			f.hidden.each(r, []strip.Piece{{Lights: 1}, {Lights: lights - 1}}, func(pc strip.Piece) {
				if got += pc.Lights; pc.Lights < 1 {
					t.Fatal("a piece of nothing")
				}
			})
			if got != seen {
				t.Fatalf("%d of %d lights are handed on, want %d", got, lights, seen)
			}
			lo, hi, any := at, at+size-1, false
			for ; lo < at+size && dark[lo]; lo++ {
			}
			for ; hi >= at && dark[hi]; hi-- {
			}
			any = lo < at+size
			if a, b, ok := f.ends(r); ok != any || ok && (a != lo || b != hi) {
				t.Fatalf("run %d of %v is seen from %d to %d (%v)", r, dark, a, b, ok)
			}
		}
		for pixel := range n {
			at := pixel - 1
			for at > 0 && dark[at] {
				at--
			}
			if got := f.before(pixel, -1); got != at {
				t.Fatalf("before %d of %v is %d, want %d", pixel, dark, got, at)
			}
			if f.before(pixel, 0) != pixel {
				t.Fatal("the pixel itself")
			}
		}
		for i, c := range f.unlit(Paint{{HueRed, 1}, {HueBlue, n - 1}}).frame(nil, n) {
			want := HueBlue
			if i == 0 {
				want = HueRed
			}
			if dark[i] {
				want = HueDark
			}
			if c != want.Colour() {
				t.Fatalf("pixel %d of %v is %v", i, dark, c)
			}
		}
	})
}

// Loose contacts are told from a sound prop, from an open joint and from one
// another by the light while they are open; behind the last pixel that is looked
// at no one sees one.
func TestPrintsOfLooseContacts(t *testing.T) {
	p := sign()
	f, err := newField(p, nil)
	require.NoError(t, err)
	n, seen := newNoise(f), map[uint64]int{}
	print := func(faults ...strip.Fault) uint64 {
		st, err := strip.New(p, faults...)
		require.NoError(t, err)
		return n.fingerprint(st)
	}
	sound := print()
	for pixel := range p.Pixels() {
		loose := print(strip.Fault{Kind: strip.Flicker, Pixel: pixel})
		if pixel >= 24 { // the last two are in an empty part
			require.Equal(t, sound, loose, "pixel %d", pixel)
			continue
		}
		require.NotEqual(t, sound, loose, "pixel %d", pixel)
		require.NotEqual(t, print(strip.Fault{Kind: strip.OpenJoint, Pixel: pixel}), loose, "pixel %d", pixel)
		if first, ok := seen[loose]; ok {
			for at := first; at < pixel; at++ {
				require.True(t, f.dark[at], "only pixels that no one looks at lie between %d and %d", first, pixel)
			}
			continue
		}
		seen[loose] = pixel
	}
	require.Len(t, seen, 26-8, "one for each pixel that is looked at")
}
