package checkout

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// TestALostColourIsNoOtherOrder: a run of RGBW chips whose blue is lost looks,
// in every look at red, green and mixed colours, as one on which blue and white
// are exchanged. Where the list lacks the one, it is not taken for the other.
func TestALostColourIsNoOtherOrder(t *testing.T) {
	p := ringProp("rgbw rings", 24, 16, 20)
	p.Chip, _ = prop.ChipByName("SK6812 RGBW")
	base, err := New(p, Options{Without: []strip.Kind{strip.RunChannel}})
	require.NoError(t, err)
	for run := range p.Runs {
		if !long() && run != 1 {
			continue
		}
		for _, ch := range channels(p) {
			outside(t, base, strip.Fault{Kind: strip.RunChannel, Run: run, Channel: ch})
		}
	}
}

// TestOutsideTheListIsNotNamed: each kind of fault that changes colours at a
// place is taken out of the list in turn. Whoever answers rightly is then not
// given another fault's name for sure, and is not asked on and on.
func TestOutsideTheListIsNotNamed(t *testing.T) {
	props, each := []*prop.Prop{ringProp("two rings", 24, 12), prop.BuoyLamp()}, 1
	if long() {
		props, each = calibrationProps(), 12
	}
	for _, p := range props {
		for _, k := range []strip.Kind{strip.RunChannel, strip.RunOrder, strip.WrongOrder, strip.DeadChannel, strip.StuckChannel, strip.SlotShift} {
			base, err := New(p, Options{Without: []strip.Kind{k}})
			require.NoError(t, err)
			rng := rand.New(rand.NewPCG(1, 2))
			every := strip.Every(k, p)
			for range each {
				ft := every[rng.IntN(len(every))]
				if k.Placed() {
					ft.Pixel = rng.IntN(p.Pixels())
				}
				if st, err := strip.New(p, ft); err == nil && base.field.seenAsNone(st) {
					outside(t, base, ft)
				}
			}
		}
	}
}

// seenAsNone reports whether the list has nothing with the very light of a strip.
func (f *field) seenAsNone(st *strip.Strip) bool {
	_, ok := f.fingerprints[newNoise(f).fingerprint(st)]
	if f.dark == nil {
		_, ok = f.fingerprints[st.Fingerprint()]
	}
	return !ok
}

// outside plays the check-out of a fault that the list lacks.
func outside(t *testing.T, base *Session, ft strip.Fault) {
	t.Helper()
	st, err := strip.New(base.field.prop, ft)
	require.NoError(t, err)
	s := base.Clone()
	finish(t, s, st)
	first := s.Findings()[0]
	if first.Unknown == nil && !isRight(t, base.field, first, ft) {
		assert.NotEqual(t, Certain, first.Sure, "%s, %v: %s", base.field.prop.Name, ft, first.Title)
		assert.NotEqual(t, VeryLikely, first.Sure, "%s, %v: %s", base.field.prop.Name, ft, first.Title)
	}
	assert.LessOrEqual(t, s.Answered(), 30, "%s, %v", base.field.prop.Name, ft)
}

// TestNothingLitIsLookedAtInEveryColour: a prop that shows no red and no green
// may yet show blue; "no supply" stands only when every channel was sent.
func TestNothingLitIsLookedAtInEveryColour(t *testing.T) {
	for _, p := range []*prop.Prop{prop.BuoyLamp(), prop.Porthole()} {
		s, err := New(p, Options{})
		require.NoError(t, err)
		st, err := strip.New(p, strip.Fault{Kind: strip.NoSupply})
		require.NoError(t, err)
		var sent patterns.Colour
		var b builder
		for pr, ok := s.Next(); ok; pr, ok = s.Next() {
			for ch := range patterns.Channel(patterns.NumChannels) {
				if pr.Spec.Kind == AskEven {
					sent = sent.With(ch, max(sent.Get(ch), pr.Spec.Base.Colour().Get(ch)))
				}
			}
			require.NoError(t, s.Answer(key(s.field, &pr, st, &b)))
		}
		for _, ch := range channels(p) {
			assert.NotZero(t, sent.Get(ch), "%s: %s was not sent", p.Name, ch)
		}
		assert.LessOrEqual(t, s.Answered(), 3, p.Name)
	}
}

// TestStrangerLight: the light of a stranger is the sound one's, pixel by pixel,
// changed where the stranger is and nowhere else.
func TestStrangerLight(t *testing.T) {
	p := ringProp("rings", 7, 5, 9)
	s, err := New(p, Options{})
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		from := rapid.IntRange(0, p.Pixels()-1).Draw(t, "from")
		to := rapid.IntRange(from, p.Pixels()-1).Draw(t, "to")
		cut := rapid.IntRange(0, p.Pixels()).Draw(t, "cut")
		pt := newPainter(p.Pixels(), HueRed)
		pt.span(cut, p.Pixels(), HueMagenta)
		g := unlistedFault{from, to, func(c patterns.Colour) patterns.Colour { return c.With(patterns.Red, 0) }}
		var sound, got strip.Pieces
		s.field.sound.PiecesInto(&sound, s.field.sound.Lay(pt.paint().frame(nil, p.Pixels())))
		g.light(&got, &sound)
		at := 0
		for r, n := range s.field.sizes {
			var row []patterns.Colour
			for _, pc := range got.Runs[r] {
				for range pc.Lights {
					row = append(row, pc.Colour)
				}
			}
			require.Len(t, row, n)
			for _, c := range row {
				want := pt[at].Colour()
				if at >= from && at <= to {
					want.R = 0
				}
				require.Equal(t, want, c, "pixel %d", at)
				at++
			}
		}
	})
}

// TestExchanges: n channels have n! orders, the given one among them; of five
// only those with two exchanged are taken, of which there are ten.
func TestExchanges(t *testing.T) {
	all := []patterns.Channel{patterns.Green, patterns.Red, patterns.Blue, patterns.White, patterns.Cool}
	for n, want := range map[int]int{1: 0, 2: 1, 3: 5, 4: 23, 5: 10} {
		got := exchanges(all[:n])
		assert.Len(t, got, want)
		for _, o := range got {
			assert.ElementsMatch(t, all[:n], o)
			assert.NotEqual(t, all[:n], o)
		}
	}
}
