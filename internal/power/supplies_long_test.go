package power

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
)

// longProp is more pixels than the search takes on.
func longProp(pixels, runs int, amps float64) *prop.Prop {
	p := prop.Porthole()
	p.Parts, p.Runs, p.Feeds = nil, nil, p.Feeds[:1]
	p.Feeds[0].Wire = prop.Wire{AWG: 12}
	p.Supply.Amps = amps
	for i := range runs {
		p.Runs = append(p.Runs, prop.Run{Name: "line " + string(rune('a'+i%26)) + strings.Repeat("x", i/26), Pixels: pixels / runs, Shape: prop.Shape{Kind: prop.Line}})
	}
	return p
}

// A long prop is shared too: every part within the limit, with feeds of its own
// that carry what it draws, and no pixel below the chip's voltage when the
// network is solved with plus cut there.
func TestSuppliesOfLongProps(t *testing.T) {
	draw := rand.New(rand.NewPCG(1, 2))
	shared := 0
	for range 25 {
		runs := 1 + draw.IntN(12)
		p := longProp(2020+draw.IntN(580), runs, 8+72*draw.Float64())
		if runs > 2 && draw.IntN(2) == 0 {
			p.Runs[runs/2].Apart = true
			p.Feeds = append(p.Feeds, prop.Feed{Pixel: p.FirstPixel(runs / 2), WireMetre: p.Feeds[0].WireMetre, Wire: p.Feeds[0].Wire})
		}
		r := planned(t, p, 1)
		require.Greater(t, r.Pixels, windowsUpTo)
		if least := int(math.Ceil(r.Amps/r.Supply.Limit - 1e-9)); r.SuppliesLeast != least && least > 1 {
			t.Fatalf("%d by current, not %d", least, r.SuppliesLeast)
		}
		if r.Supplies == nil {
			if !strings.Contains(strings.Join(r.Findings, "\n"), "takes at least") {
				t.Fatal("nothing is said of supplies")
			}
			continue
		}
		shared++
		requireParts(t, p, r, r.Supplies)
	}
	require.Greater(t, shared, 20, "nearly all can be shared")
}

// requireParts looks at the supplies of a prop: they follow one another over all pixels,
// each within the limit with feeds that give what it draws, and with plus cut between
// them every voltage holds.
func requireParts(t *testing.T, p *prop.Prop, r *Report, parts []SupplyPart) {
	t.Helper()
	at, sum := 0, 0.0
	n, err := NetworkOf(p)
	require.NoError(t, err)
	wire := n.Taps[0].Rails // of every feed
	n.Taps = nil
	for _, s := range parts {
		if s.First != at || s.Last < s.First {
			t.Fatalf("pixels %d to %d after %d", s.First, s.Last, at)
		}
		if at > 0 {
			n.Links[at-1].Plus = Broken
		}
		at, sum = s.Last+1, sum+s.Amps
		feeds := 0.0
		for _, f := range s.Feeds {
			feeds += f.Amps
			n.Taps = append(n.Taps, Tap{f.Pixel, wire})
		}
		if s.Amps > r.Supply.Limit || len(s.Feeds) == 0 || feeds < s.Amps-1e-6 {
			t.Fatalf("%g A of %g A on %d feeds that carry %g A", s.Amps, r.Supply.Limit, len(s.Feeds), feeds)
		}
	}
	if at != r.Pixels || abs(sum-r.Amps) > 1e-6 || len(parts) < r.SuppliesLeast {
		t.Fatalf("%d of %d pixels, %g of %g A on %d supplies", at, r.Pixels, sum, r.Amps, len(parts))
	}
	l, err := NewLadder(n)
	require.NoError(t, err)
	solved := l.Constant(nil, ampsOf(draws(r.on, DrawOf(p.Chip, r.Colour, 1))))
	require.Zero(t, solved.Dead)
	require.GreaterOrEqual(t, solved.Lowest, r.MinVolts-1e-9)
}

// In the order of the wiring short props are shared as long ones are. With a supply that
// is large enough, or one that a single feed is too much for, there is nothing to share.
func TestSuppliesInTheOrderOfTheWiring(t *testing.T) {
	shared, atJoints := 0, 0
	for pixels := 100; pixels <= 300; pixels += 50 {
		for _, runs := range []int{1, 2, 5} {
			for _, amps := range []float64{4, 7, 12} {
				p := longProp(pixels, runs, amps)
				r := planned(t, p, 1)
				n, err := NetworkOf(p)
				require.NoError(t, err)
				full := ampsOf(draws(r.on, DrawOf(p.Chip, r.Colour, 1)))
				parts, err := r.suppliesInOrder(p, n, full, sumsOf(full))
				require.NoError(t, err)
				if parts == nil {
					continue
				}
				require.Greater(t, len(parts), 1)
				requireParts(t, p, r, parts)
				shared++
				for _, s := range parts[1:] {
					if slices.Contains(r.starts, s.First) {
						atJoints++
					}
				}
				r.Supply.Limit = 2 * full[0] // less than any feed gives and a pixel at either end
				none, err := r.suppliesInOrder(p, n, full, sumsOf(full))
				require.NoError(t, err)
				require.Nil(t, none)
				r.Supply.Limit = 2*sumsOf(full)[len(full)] + 1
				one, err := r.suppliesInOrder(p, n, full, sumsOf(full))
				require.NoError(t, err)
				require.Nil(t, one)
			}
		}
	}
	t.Logf("%d shared, %d cuts at joints", shared, atJoints)
	assert.Greater(t, shared, 15)
	assert.Positive(t, atJoints)
}

// The fewest groups of neighbours within a limit, and the smallest largest of
// them, against every way to part them.
func TestGroupFeedsAgainstEveryWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		amps := rapid.SliceOfN(rapid.Float64Range(0.1, 5), 1, 9).Draw(t, "amps")
		limit := rapid.Float64Range(1, 20).Draw(t, "limit")
		var feeds []FeedReport
		for i, a := range amps {
			feeds = append(feeds, FeedReport{Pixel: 10 * i, Amps: a})
		}
		fewest, least := 0, math.Inf(1)
		for mask := range 1 << (len(amps) - 1) { // a bit is a cut after that feed
			groups, largest, sum := 1, 0.0, 0.0
			for i, a := range amps {
				sum += a
				largest = max(largest, sum)
				if i < len(amps)-1 && mask>>i&1 == 1 {
					groups, sum = groups+1, 0
				}
			}
			if largest <= limit && (fewest == 0 || groups < fewest || groups == fewest && largest < least) {
				fewest, least = groups, largest
			}
		}
		got, largest := groupFeeds(feeds, limit), 0.0
		for _, g := range got {
			largest = max(largest, g.amps)
		}
		if len(got) != fewest || fewest > 0 && abs(largest-least) > 1e-6 {
			t.Fatalf("%d groups of %g A, not %d of %g A", len(got), largest, fewest, least)
		}
	})
	both := groupFeeds([]FeedReport{{Pixel: 5, Amps: 3}, {Pixel: 5, Amps: 3}, {Pixel: 9, Amps: 1}}, 6)
	assert.Equal(t, []feedGroup{{5, 5, 6}, {9, 9, 1}}, both, "two feeds at a pixel stay together")
	assert.Nil(t, groupFeeds([]FeedReport{{Pixel: 5, Amps: 3}, {Pixel: 5, Amps: 4}}, 6))
}

// 2,400 pixels of 61 mA are 146.4 A; supplies of 60 A give 48 A for hours on
// end, so four by current alone.
func TestSuppliesOfALongPropAreSaid(t *testing.T) {
	r := planned(t, longProp(2400, 8, 60), 1)
	require.NotEmpty(t, r.Supplies)
	assert.Equal(t, 4, r.SuppliesLeast)
	said := strings.Join(r.Findings, "\n")
	assert.Contains(t, said, "supplies of 60 A. Power off, cut plus before ")
	assert.Contains(t, said, "The feeds share them in the order of the wiring.")
	assert.Equal(t, len(r.Supplies) > 4, strings.Contains(said, "Fewer may do: by current alone it takes 4."))
	r = planned(t, longProp(2400, 8, 1.5), 1)
	assert.Nil(t, r.Supplies)
	assert.Contains(t, strings.Join(r.Findings, "\n"), "Full level in this colour takes at least 122 supplies of 1.5 A by current alone; no way to share the feeds", "146.4 A of 1.2 A")
	half := planned(t, longProp(2400, 8, 60), 0.5)
	assert.Equal(t, 4, half.SuppliesLeast, "of the full level, whatever this one is")
}

// Where a voltage is too low with the cuts a part gets feeds at its lowest pixel, as many
// times as is allowed and no more; a part that no feed reaches is none, and one over the
// limit is none.
func TestPartsThatHold(t *testing.T) {
	p := longProp(120, 1, 20)
	p.Feeds = append(p.Feeds, p.Feeds[0])
	p.Feeds[1].Pixel = 119
	r := planned(t, p, 1)
	r.Extra.Pixels = nil
	n, err := NetworkOf(p)
	require.NoError(t, err)
	full := ampsOf(draws(r.on, DrawOf(p.Chip, r.Colour, 1)))
	feeds := func(cut, more int) int {
		parts, err := r.partsThatHold(p, n, []int{cut}, full, more)
		require.NoError(t, err)
		count := 0
		for _, q := range parts {
			count += len(q.Feeds)
		}
		return count
	}
	r.MinVolts = 0
	require.Equal(t, 2, feeds(60, 0))
	_, cut, err := r.solveExtra(p, cutPlus(n, []int{60}), nil, full)
	require.NoError(t, err)
	r.MinVolts = cut.Lowest
	assert.Equal(t, 2, feeds(60, 0), "no more feeds than it needs")
	r.MinVolts = cut.Lowest + 0.01
	assert.Zero(t, feeds(60, 0))
	assert.Equal(t, 4, feeds(60, 1), "one more in each half")
	assert.Equal(t, 4, feeds(60, 3))
	r.MinVolts = 4.99
	assert.Zero(t, feeds(60, 3), "no few feeds do")
	r.MinVolts = 1
	r.Supply.Limit = 60 * full[0]
	assert.Equal(t, 2, feeds(60, 0), "half of it each")
	assert.Zero(t, feeds(59, 3), "61 pixels are too much")
	r.Supply.Limit = 200 * full[0]
	n.Taps, p.Feeds = n.Taps[:1], p.Feeds[:1]
	for dead := 1; dead <= 3; dead++ {
		assert.Zero(t, feeds(120-dead, 3), "%d pixels without supply", dead)
	}
}
