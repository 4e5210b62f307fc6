package plan

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
)

func parse(t *testing.T, text string) *prop.Prop {
	t.Helper()
	p, _, err := prop.Parse([]byte(text), "test.toml")
	require.NoError(t, err)
	return p
}

// Four nested rings from one 25 ft coil, with centres 2 in apart: lengths, counts and
// marks from common practice.
const fourRings = `
name = "Four rings"
[strip]
chip = "WS2812B"
density = "30 per metre"
reel = "25 ft"
[supply]
volts = "5 V"
amps = "20 A"
[address]
host = "multicast"
universe = 1
[[run]]
name = "a"
shape = "ring"
length = "93 in"
[[run]]
name = "b"
shape = "ring"
length = "81.5 in"
[[run]]
name = "c"
shape = "ring"
length = "69 in"
[[run]]
name = "d"
shape = "ring"
length = "56.5 in"
`

func TestFourRings(t *testing.T) {
	pl, err := For(parse(t, fourRings), 1, power.FullWhite())
	require.NoError(t, err)
	assert.InDelta(t, 25*12*0.0254, pl.Tube, 1e-9, "93 + 81.5 + 69 + 56.5 in are exactly 25 ft")
	for i, practice := range []int{71, 61, 52, 42} {
		assert.InDelta(t, practice, pl.Fits[i].Whole, 1, "run %d", i)
	}
	require.Len(t, pl.Nest, 4)
	for _, n := range pl.Nest[:3] {
		// The steps are 11.5, 12.5 and 12.5 in, where 2 pi times 2 in is 12.57.
		assert.InDelta(t, 2*0.0254, n.Gap, 0.2*0.0254, "centres 2 in apart")
	}
	require.Len(t, pl.Backbone, 8)
	span := pl.Backbone[7].At / 0.0254
	assert.InDelta(t, 29.6, span, 0.5)

	text := pl.Text(100)
	assert.Contains(t, text, "25 ft of tube in all")
	assert.Contains(t, text, "Rounded down to whole pixels")
	assert.Contains(t, text, "on a straight backbone, mark and drill at 0 in (a)")
}

func TestTextKeepsToItsWidth(t *testing.T) {
	for _, p := range prop.Demos() {
		pl, err := For(p, 1, power.FullWhite())
		require.NoError(t, err)
		table := false
		for l := range strings.Lines(pl.Text(80)) {
			l = strings.TrimSuffix(l, "\n")
			table = table && l != "" || l == "Power off, then solder: joint by joint" || l == "Address"
			if !table {
				assert.LessOrEqual(t, len([]rune(l)), 80, "%s", l)
			}
		}
	}
}

func TestNoReelIsSaid(t *testing.T) {
	pl, err := For(parse(t, strings.Replace(fourRings, "reel = \"25 ft\"\n", "", 1)), 1, power.FullWhite())
	require.NoError(t, err)
	assert.Contains(t, pl.Text(100), "The file gives no reel length, so there is no cutting plan.")
}

func TestTogether(t *testing.T) {
	a, b := prop.Porthole(), prop.Porthole()
	b.Name = "Porthole copy"
	b.Address.Slot = 400 // slot 401, inside the first one's 1 to 432
	s := Together([]*prop.Prop{a, b})
	require.Len(t, s.Collisions, 1)
	assert.Contains(t, s.Collisions[0].Text, "universe 1 slots 401 to 432")
	assert.Equal(t, [3]int{1, 401, 432}, [3]int{s.Collisions[0].Universe, s.Collisions[0].From, s.Collisions[0].To})
	assert.True(t, s.Collide())
	var csv strings.Builder
	require.NoError(t, s.WriteCSV(&csv, []*prop.Prop{a, b}))
	lines := strings.Split(csv.String(), "\r\n")
	assert.True(t, strings.HasSuffix(lines[0], ",travel,collides_with"))
	// a's outer ring has slots 253 to 432; b's inner ring 401 to 508.
	assert.True(t, strings.HasSuffix(lines[1], ","), lines[1])
	assert.True(t, strings.HasSuffix(lines[3], ",Porthole copy U1 S401-432"), lines[3])
	assert.True(t, strings.HasSuffix(lines[4], ",Porthole U1 S401-432"), lines[4])
	assert.True(t, strings.HasSuffix(lines[5], ","), lines[5])
	assert.Contains(t, s.Text(100), "collision: ")

	free := Together(prop.Demos())
	assert.Empty(t, free.Collisions)
	// Porthole 144 x 3, Pennant 136 x 4 and the Buoy lamp 1 x 4 slots.
	assert.Equal(t, 432+544+4, free.Hosts[0].Slots)
	assert.Equal(t, "1-3, 10", ranges(free.Hosts[0].Universes))
	assert.Equal(t, 10, free.Hosts[0].NextUniverse)
	assert.Equal(t, 5, free.Hosts[0].NextSlot)
}

func TestJSONHasTheTextsFigures(t *testing.T) {
	pl, err := For(prop.Porthole(), 1, power.FullWhite())
	require.NoError(t, err)
	raw, err := json.Marshal(pl.JSON())
	require.NoError(t, err)
	var back struct {
		Pixels int
		Runs   []struct {
			FirstSlot int `json:"first_slot"`
			LastSlot  int `json:"last_slot"`
		}
		Power struct{ Amps float64 }
	}
	require.NoError(t, json.Unmarshal(raw, &back))
	assert.Equal(t, 144, back.Pixels)
	assert.Equal(t, 109, back.Runs[1].FirstSlot) // 36 pixels of 3 slots come first
	assert.Equal(t, 432, back.Runs[2].LastSlot)
	// 144 pixels of 1 mA idle and three channels of 20 mA (WS2812B to 2016).
	assert.InDelta(t, 144*0.061, back.Power.Amps, 1e-9)
}

func TestBothPackings(t *testing.T) {
	pl, err := For(prop.Pennant(), 1, power.FullWhite())
	require.NoError(t, err)
	// By hand: 136 pixels of 4 slots: 512 div 4 = 128 fit exactly, so both
	// packings agree from slot 1 on; from slot 3 on they do not.
	assert.Contains(t, pl.Text(100), "The other packing gives the same slots here.")
	p := prop.Pennant()
	p.Address.Slot = 2
	pl, err = For(p, 1, power.FullWhite())
	require.NoError(t, err)
	assert.Contains(t, pl.Text(100), "U2 S387  U3 S36")
	assert.Contains(t, pl.Text(100), "With packing straddle (all 512 slots of a universe are used):")
	assert.Contains(t, pl.Text(100), "U2 S387  U3 S34")
	assert.Equal(t, 34, pl.JSON().Other[1].LastSlot)
}

// At gives the same plan as For at that level.
func TestAtIsForAtAnotherLevel(t *testing.T) {
	for _, p := range append(prop.Demos(), parse(t, fourRings)) {
		full, err := For(p, 1, power.FullWhite())
		require.NoError(t, err)
		for _, level := range []float64{0, 0.03, 0.5, 1} {
			want, err := For(p, level, power.FullWhite())
			require.NoError(t, err)
			got, err := full.At(level)
			require.NoError(t, err)
			assert.Equal(t, want, got, "%s at %g", p.Name, level)
		}
	}
}

// JSON counts pixels from 1, as the text does, in every place that names one.
func TestJSONCountsFromOne(t *testing.T) {
	p := prop.Porthole()
	pl, err := For(p, 1, power.FullWhite())
	require.NoError(t, err)
	j := pl.JSON().Power
	r := pl.Power
	require.NotEmpty(t, r.Extra.Pixels)
	for i, at := range r.Extra.Pixels {
		assert.Equal(t, at+1, j.Extra[i])
	}
	assert.Equal(t, 144, j.At, "the last pixel is the lowest")
	assert.Equal(t, []int{1, 85}, []int{j.Feeds[0].Pixel, j.Feeds[1].Pixel})
	assert.Equal(t, `the start of "outer ring" (pixel 85)`, j.Feeds[1].Place)
	require.Len(t, j.Supplies, len(r.Supplies))
	assert.Equal(t, []int{1, 84, 85, 144}, []int{j.Supplies[0].First, j.Supplies[0].Last, j.Supplies[1].First, j.Supplies[1].Last})
	require.Len(t, j.After, len(r.After))
	for i, f := range r.After {
		assert.Equal(t, f.Pixel+1, j.After[i].Pixel)
	}
	for i, b := range j.Band {
		assert.InDelta(t, 100*r.Band[i].HoldLevel, b.HoldLevel, 1e-12)
	}
	for i, f := range r.Feeds { // text, JSON and sheet have one verdict
		assert.Equal(t, f.Check.Word(), j.Feeds[i].Verdict)
		assert.Contains(t, strings.Join(strings.Fields(pl.Text(100)), " "), f.Check.FuseText()+": "+f.Check.Word()+"; "+f.Check.ShortText())
	}
}

// Lengths, marks and levels in JSON are those of the plan. The pieces and the rest of
// each reel add up to its length.
func TestJSONLengthsAddUp(t *testing.T) {
	p := parse(t, strings.Replace(fourRings, "reel = \"25 ft\"\n", "reel = \"25 ft\"\ncoil = \"25 ft\"\n", 1))
	pl, err := For(p, 0.3, power.FullWhite())
	require.NoError(t, err)
	j := pl.JSON()
	for _, reels := range [][]jsonReel{j.Reels, j.Coils} {
		require.NotEmpty(t, reels)
		for _, r := range reels {
			sum := r.Left
			for _, piece := range r.Pieces {
				sum += piece.Metres
			}
			assert.InDelta(t, 25*12*0.0254, sum, 1e-4)
		}
	}
	assert.True(t, j.Proven)
	assert.InDelta(t, 30, j.Power.Level, 1e-9)
	require.Len(t, j.Backbone, 8, "four rings cross a straight bar twice each")
	for i, m := range j.Backbone {
		assert.InDelta(t, pl.Backbone[i].At, m.At, 1e-12)
		if i > 0 {
			assert.Greater(t, m.At, j.Backbone[i-1].At)
		}
	}
	assert.Equal(t, []string{"a", "b", "c", "d", "d", "c", "b", "a"}, []string{j.Backbone[0].Run, j.Backbone[1].Run, j.Backbone[2].Run, j.Backbone[3].Run,
		j.Backbone[4].Run, j.Backbone[5].Run, j.Backbone[6].Run, j.Backbone[7].Run})
	watts := 0.0
	for _, h := range j.Heat {
		watts += h.Watts
	}
	assert.InDelta(t, j.Power.Amps*5, watts, 1e-9, "all the current at the supply's 5 V")
	assert.InDelta(t, float64(j.Pixels)*0.001*5, pl.Dead, 1e-9, "1 mA a dark pixel")

	long := parse(t, strings.Replace(fourRings, "reel = \"25 ft\"\n", "reel = \"80 in\"\ncoil = \"90 in\"\n", 1))
	pl, err = For(long, 1, power.FullWhite())
	require.NoError(t, err)
	j = pl.JSON()
	assert.Equal(t, []string{"a", "b"}, []string{j.TooLong[0].Run, j.TooLong[1].Run}, "93 and 81.5 in against 80")
	assert.Equal(t, "a", j.TooLongC[0].Run)
	text := strings.Join(strings.Fields(pl.Text(100)), " ")
	assert.Contains(t, text, "b is 81.36 in long and a reel holds 80 in: make it of 2 runs with joints between", "62 pixels at 30 a metre")
	assert.Contains(t, text, "reel 1: c")
}
