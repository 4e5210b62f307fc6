package power

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// Shared among supplies, every part is within the limit, has a feed, and holds
// the chip's voltage when plus is really cut there: checked on a prop whose
// file says so, run by run.
func TestSuppliesShareTheProp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := prop.Porthole()
		p.Feeds = p.Feeds[:1]
		p.Feeds[0].Wire = prop.Wire{AWG: 12}
		for i := range p.Runs {
			p.Runs[i].Pixels = rapid.IntRange(1, 90).Draw(t, "pixels")
		}
		p.Supply.Amps = rapid.Float64Range(1, 12).Draw(t, "amps")
		r, err := Plan(p, 1, FullWhite())
		if err != nil {
			t.Fatal(err)
		}
		if r.Amps <= r.Supply.Limit {
			if r.Supplies != nil {
				t.Fatal("one is enough")
			}
			return
		}
		if r.Supplies == nil {
			t.Skip("no number of feeds holds")
		}
		at, sum := 0, 0.0
		for _, s := range r.Supplies {
			if s.First != at || s.Last < s.First {
				t.Fatalf("pixels %d to %d after %d", s.First, s.Last, at)
			}
			at, sum = s.Last+1, sum+s.Amps
			feeds := 0.0
			for _, f := range s.Feeds {
				feeds += f.Amps
			}
			if s.Amps > r.Supply.Limit+1e-9 || len(s.Feeds) == 0 || feeds < s.Amps-1e-6 {
				t.Fatalf("%g A of %g A on %d feeds that carry %g A", s.Amps, r.Supply.Limit, len(s.Feeds), feeds)
			}
		}
		if at != r.Pixels || abs(sum-r.Amps) > 1e-6 {
			t.Fatalf("%d of %d pixels, %g of %g A", at, r.Pixels, sum, r.Amps)
		}
		if least := int(r.Amps/r.Supply.Limit - 1e-9); len(r.Supplies) < least+1 {
			t.Fatalf("%d supplies are too few", len(r.Supplies))
		}
	})
}

// Three rings of 36, 48 and 60 pixels of 61 mA are 8.784 A; supplies of 7 A
// give 5.6 A for hours on end: two, cut at the joint before the outer ring.
func TestTwoSuppliesForThePorthole(t *testing.T) {
	p := prop.Porthole()
	p.Supply.Amps = 7
	r := planned(t, p, 1)
	require.Len(t, r.Supplies, 2)
	assert.Equal(t, []int{0, 83, 84, 143}, []int{r.Supplies[0].First, r.Supplies[0].Last, r.Supplies[1].First, r.Supplies[1].Last})
	assert.InDelta(t, 84*0.061, r.Supplies[0].Amps, 1e-9)
	assert.InDelta(t, 60*0.061, r.Supplies[1].Amps, 1e-9)
	assert.Contains(t, strings.Join(r.Findings, "\n"), `Full level in this colour takes 2 supplies of 7 A. Power off, cut plus before pixel 1 of "outer ring", and join the ground of all.`)
	// The same with the cut and the feeds in the file.
	p.Runs[2].Apart = true
	for _, s := range r.Supplies {
		for _, f := range s.Feeds {
			if strings.HasPrefix(f.Name, "new") {
				p.Feeds = append(p.Feeds, prop.Feed{Pixel: f.Pixel, WireMetre: p.Feeds[0].WireMetre, Wire: p.Feeds[0].Wire})
			}
		}
	}
	with := planned(t, p, 1)
	assert.True(t, with.Holds)
	i := 0
	for _, s := range r.Supplies {
		for _, f := range s.Feeds {
			for _, g := range with.Feeds {
				if g.Pixel == f.Pixel {
					assert.InDelta(t, g.Amps, f.Amps, 1e-6)
					i++
				}
			}
		}
	}
	assert.Equal(t, len(with.Feeds), i)
}

// Two supplies on a closed ring: with plus cut at one place only, the closing joint
// would still join the plus of both.
func TestTwoSuppliesOnAClosedRing(t *testing.T) {
	p := prop.Porthole()
	p.Runs, p.Feeds = p.Runs[:1], p.Feeds[:1]
	p.Runs[0].Pixels, p.Runs[0].Closed = 200, true
	p.Feeds[0].Wire = prop.Wire{AWG: 10}
	p.Supply.Amps = 10 // 200 pixels of 61 mA are 12.2 A, of which it gives 8 A
	r := planned(t, p, 1)
	require.Len(t, r.Supplies, 2)
	assert.Equal(t, []int{0}, r.CutRings(p))
	assert.Contains(t, r.CutsText(p), `Power off, open plus where "inner ring" is closed too: two supplies would be joined there.`)
	assert.Contains(t, strings.Join(r.Findings, "\n"), r.CutsText(p))
	p.Runs[0].Closed = false
	r = planned(t, p, 1)
	require.Len(t, r.Supplies, 2)
	assert.Empty(t, r.CutRings(p))
	assert.NotContains(t, r.CutsText(p), "closed")
}

// Feeds to add for one larger supply and for several supplies are two lists: each says
// which it is, and each feed of the second has the fuse for its own load.
func TestTwoListsOfFeedsAreTold(t *testing.T) {
	p := prop.Porthole()
	r := planned(t, p, 1)
	require.NotNil(t, r.Supplies)
	require.NotEmpty(t, r.Extra.Pixels)
	assert.Contains(t, strings.Join(r.Findings, "\n"), "For full level from one larger supply, power off and add 2 more feeds")
	for _, s := range r.Supplies {
		for _, f := range s.Feeds {
			assert.GreaterOrEqual(t, f.Check.Size, f.Check.Plus/0.8-1e-9)
			assert.GreaterOrEqual(t, f.Amps, f.Check.Plus-1e-9, "minus of others may come back here, plus not")
			assert.Contains(t, f.LoadText(), words.Given(f.Check.Size, "A")+" fuse")
		}
	}
	p.Supply.Amps = 20
	assert.Contains(t, strings.Join(planned(t, p, 1).Findings, "\n"), "For full level, power off and add 2 more feeds")
}
