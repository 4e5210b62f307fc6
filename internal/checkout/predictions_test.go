package checkout

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// TestRowsAreExact: running only the ends of rows of like hypotheses gives
// just what running every hypothesis gives.
func TestRowsAreExact(t *testing.T) {
	rgbw := prop.Pennant()
	rgbw.Runs[0].Pixels, rgbw.Runs[1].Pixels = 31, 6
	for i, p := range []*prop.Prop{ringProp("rings", 11, 2, 17, 1, 9), rgbw, single("line", 40), prop.BuoyLamp()} {
		for k, faults := range [][]strip.Fault{nil, {{Kind: strip.OpenJoint}}, {strip.Every(strip.WrongOrder, p)[0]}, {{Kind: strip.WrongChip, Pixel: p.Pixels() / 2, N: strip.Every(strip.WrongChip, p)[0].N}}} {
			if !long() && k != (i+1)%4 {
				continue // the short run takes one fault a prop
			}
			s, err := New(p, Options{})
			require.NoError(t, err)
			st, err := strip.New(p, faults...)
			require.NoError(t, err)
			var b builder
			for pr, ok := s.Next(); ok; pr, ok = s.Next() {
				live, share := s.belief.sample(s.belief.posterior().each)
				for _, spec := range (&proposer{f: s.field, hyps: s.belief.hyps, live: live, share: share}).all() {
					exact(t, s.field, spec)
				}
				require.NoError(t, s.Answer(key(s.field, &pr, st, &b)))
			}
		}
	}
}

func exact(t *testing.T, f *field, spec *Spec) {
	t.Helper()
	b := f.newBelief()
	var rows predictions
	var look watcher
	look.watch(f, spec)
	for i := range f.hyps {
		if got, want := rows.of(&b, f, spec, i), look.expects(&f.hyps[i]); got != want {
			assert.Equal(t, want.String(), got.String(), "%v in %s of %s", f.hyps[i].faults, spec.key(), f.prop.Name)
			return
		}
	}
}

// TestConfirmRowsAreExact: the same for confirming looks, whose picture is what
// a fault would look like, on runs long enough for lengths to be off a little.
func TestConfirmRowsAreExact(t *testing.T) {
	every := 97
	if long() {
		every = 7
	}
	rgbw := ringProp("rgbw", 37, 5)
	rgbw.Chip, _ = prop.ChipByName("SK6812 RGBW")
	back := ringProp("two", 41, 23)
	back.Runs[1].Reverse = true
	for _, p := range []*prop.Prop{back, rgbw, single("line", 90), sign()} {
		s, err := New(p, Options{})
		require.NoError(t, err)
		for i := 1; i < len(s.field.hyps); i += every {
			h := &s.field.hyps[i]
			if h.sag || h.sparks {
				continue
			}
			c := &confirmer{s: s, h: h, w: watcher{stripBuilder: stripBuilder{field: s.field}}}
			paints := c.paints()
			paint := paints[i%len(paints)]
			c.w.watch(s.field, &Spec{Kind: AskRuns, Paint: paint, Level: s.field.level})
			c.w.lights(h)
			exact(t, s.field, &Spec{Kind: AskConfirm, Paint: paint, Level: s.field.level, Expected: c.w.look.paint()})
		}
	}
}
