package strip

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// How common faults of fresh props are, from the commonest down; those of one
// row are as common as each other (common practice: joints made by hand fail
// most, then strip of another colour order; whole runs of the wrong kind and
// settings that few controllers have are rare).
var byChance = [][]Kind{
	{OpenJoint},
	{WrongOrder},
	{Count, DeadPixel},
	{Sag, Flicker, DeadStop, DeadChannel},
	{WrongAddress, SlotShift, Sparkle, RunMirrored, RunsSwapped, WrongChip},
	{NoSupply, WrongEnd, WrongPacking, Grouped, RunBackwards, RunOrder, RunChip, RailLost},
	{UniversesSwapped, HiddenFirst, Mirrored, RunsParallel, RunChannel, StuckOn, StuckChannel},
}

func TestCommonFaultsAreLikelier(t *testing.T) {
	listed, above := map[Kind]bool{Resistance: true}, 100.0
	assert.InDelta(t, 10, FactsOf(OpenJoint).Chance, 0.5, "one prop in ten, the scale of all others")
	for _, row := range byChance {
		like := FactsOf(row[0]).Chance
		assert.Less(t, like, above, "%s is rarer than what stands before it", row[0])
		for _, k := range row {
			assert.InDelta(t, like, FactsOf(k).Chance, 0.5, "%s is as common as %s", k, row[0])
			listed[k] = true
		}
		above = like
	}
	assert.Positive(t, above)
	for _, k := range Kinds() {
		if !listed[k] {
			assert.LessOrEqual(t, FactsOf(k).Chance, FactsOf(OpenJoint).Chance, "%s, of which no row says how common it is", k)
		}
	}
	assert.Zero(t, FactsOf(Resistance).Chance, "light does not show it")
}

// Remedies are tried from 0, a look at the supply, to 190, measured joints: what
// sets a number in the controller comes before what takes an iron, and a joint
// before a pixel (common practice).
func TestEasyRemediesComeFirst(t *testing.T) {
	least, most := Kinds()[0], Kinds()[0]
	for _, k := range Kinds() {
		if e := FactsOf(k).Effort; e < FactsOf(least).Effort {
			least = k
		} else if e > FactsOf(most).Effort {
			most = k
		}
	}
	assert.Equal(t, NoSupply, least)
	assert.Zero(t, FactsOf(least).Effort)
	assert.Equal(t, Resistance, most)
	assert.Equal(t, 190, FactsOf(most).Effort)
	for _, row := range [][3]Kind{{WrongAddress, WrongEnd, DeadPixel}, {SlotShift, OpenJoint, DeadStop}, {WrongOrder, RunMirrored, DeadChannel}, {Grouped, RunsSwapped, StuckOn}, {UniversesSwapped, RunBackwards, StuckChannel}} {
		assert.Less(t, FactsOf(row[0]).Effort, FactsOf(row[1]).Effort, "%v", row)
		assert.Less(t, FactsOf(row[1]).Effort, FactsOf(row[2]).Effort, "%v", row)
	}
}

// A strength that is listed is the one that its sentence names, in tenths of an
// ohm a metre.
func TestListedStrengthsAreThoseSaid(t *testing.T) {
	p := bench("GRB", 9)
	for _, f := range Every(Sag, p) {
		zero := map[bool]string{true: "0"}[f.N < 1000] // under 1 Ω hundredths are written
		assert.Contains(t, f.Sentence(p), fmt.Sprintf("about %d.%d%s Ω a metre", f.N/1000, f.N%1000/100, zero))
		assert.Zero(t, f.N%100, "%d: tenths of an ohm", f.N)
	}
}

// Pixels count from 1 in words: of the run, and of the prop beside it where
// there are several runs.
func TestSpotsInWords(t *testing.T) {
	p, single := bench("GRB", 5, 7), bench("GRB", 5)
	for _, row := range []struct {
		p    *prop.Prop
		at   int
		want string
	}{
		{single, 0, "pixel 1"}, {single, 4, "pixel 5"}, {single, 5, "pixel 6"}, {p, 12, "pixel 13"},
		{p, 4, `pixel 5 of run "a" (5 of the prop)`}, {p, 5, `pixel 1 of run "b" (6 of the prop)`}, {p, 11, `pixel 7 of run "b" (12 of the prop)`},
	} {
		assert.Equal(t, row.want, Spot(row.p, row.at))
	}
	assert.Contains(t, Before(p, 0), "the lead from the controller")
	assert.Contains(t, Before(p, 1), "broken between it and pixel 1")
	assert.Contains(t, Before(p, 5), `the joint between run "a" and run "b"`)
	assert.Contains(t, Before(p, 6), "broken between it and pixel 1")
	assert.Empty(t, from("pixel 1", 0))
	assert.Equal(t, ": from here on", from("here", 1))
	for run, want := range map[int]int{-1: 0, 0: 5, 1: 7, 2: 0} {
		assert.Equal(t, want, planned(p, run))
	}
}

// How far a fault moves the universes that the controller hears.
func TestUniversesMoved(t *testing.T) {
	for want, f := range map[int]Fault{3: {Kind: WrongAddress, N: 3}, -1: {Kind: WrongAddress, N: -1}, 0: {Kind: SlotShift, N: 3}} {
		assert.Equal(t, want, f.Universes())
	}
	assert.Zero(t, Fault{Kind: OpenJoint, N: 4}.Universes())
	assert.Zero(t, Fault{Kind: "no such kind", N: 4}.Universes())
}

// Refusals of two faults name the pixel as people count it.
func TestClashesNameThePlace(t *testing.T) {
	p := bench("GRB", 10, 10)
	for want, faults := range map[string][]Fault{
		"pixel 3 can have one fault of its own: not both dead-pixel and stuck-on":         {{Kind: DeadPixel, Pixel: 2}, {Kind: StuckOn, Pixel: 2}},
		`open-joint at pixel 10: run "a" has only 8 pixels then`:                          {{Kind: Count, N: -2}, {Kind: OpenJoint, Pixel: 9}},
		`dead-pixel at pixel 19: run "b" has only 8 pixels then`:                          {{Kind: DeadPixel, Pixel: 18}, {Kind: Count, Run: 1, N: -2}},
		`run "a" and run "b" are named twice`:                                             {{Kind: RunsSwapped, Run2: 1}, {Kind: RunsSwapped, Run: 1}},
		`run "b" cannot be soldered in by its output end`:                                 {{Kind: RunBackwards, Run: 1}, {Kind: RunMirrored, Run: 1}},
		"the chips of pixel 4 of run \"a\" (4 of the prop) take 4 slots: the colour":      {{Kind: WrongChip, N: 4}, {Kind: WrongOrder, Pixel: 3, Order: "RGB"}},
		"wrong-address is given twice: give it once":                                      {{Kind: WrongAddress, N: 1}, {Kind: WrongAddress, N: 2}},
		"dead-pixel is given twice: give it once":                                         {{Kind: DeadPixel, Pixel: 3}, {Kind: DeadPixel, Pixel: 3}},
		"count is given twice for the same place with different values: give it once":     {{Kind: Count, N: 1}, {Kind: Count, N: 2}},
		"wrong-chip is given twice for the same place with different values":              {{Kind: WrongChip, N: 4}, {Kind: WrongChip, N: 5}},
		"dead-channel is given twice: give it once":                                       {{Kind: DeadChannel, Channel: 1}, {Kind: DeadChannel, Channel: 1}},
		"run-order is given twice for the same place with different values: give it once": {{Kind: RunOrder, Order: "RGB"}, {Kind: RunOrder, Order: "BGR"}},
	} {
		_, err := New(p, faults...)
		assert.ErrorContains(t, err, want, "%v", faults)
	}
}

// Contact is lost for 0.13 s in each 0.7 s at any hour, and flashes keep their
// half seconds: the moments do not drift.
func TestMomentsDoNotDrift(t *testing.T) {
	for _, turn := range []int{1, 250, 5000, 123456} {
		for pixel := range 3 {
			l, out := looseContact{pixel: pixel}, 0
			for ms := range 700 {
				if l.isOpen(time.Duration(turn*700+ms) * time.Millisecond) {
					out++
				}
			}
			assert.Equal(t, 130, out, "turn %d of pixel %d", turn, pixel)
		}
	}
	s := mustStrip(t, bench("GRB", 40), Fault{Kind: Sparkle})
	for _, half := range []int{1, 333, 99999} {
		start := time.Duration(half) * 500 * time.Millisecond
		for _, row := range []struct {
			at  time.Duration
			lit bool
		}{{start - 1, false}, {start, true}, {start + 250*time.Millisecond - 1, true}, {start + 250*time.Millisecond, false}} {
			l := s.sparkAt(s.LightInto(nil, s.Buffers()), row.at)
			assert.Equal(t, row.lit, !l[0][0].Dark(), "%v", row.at)
		}
	}
	require.True(t, s.Sparks())
}

// Only fewer pixels take a pixel away: a change to something else that is
// counted down leaves the last pixel of a run where it is.
func TestOnlyCountsTakePixelsAway(t *testing.T) {
	p := bench("GRB", 5, 7)
	p.Address.Universe, p.Address.Slot = 9, 30
	for _, last := range []int{4, 11} {
		for _, f := range []Fault{{Kind: WrongAddress, N: -2}, {Kind: SlotShift, N: -3}, {Kind: Count, N: 2}, {Kind: Count, Run: 1, N: 1}} {
			_, err := New(p, f, Fault{Kind: DeadPixel, Pixel: last})
			assert.NoError(t, err, "%v with pixel %d", f, last+1)
		}
	}
}

// What is known of a chip counts as it is, however small.
func TestSagOfSparseChips(t *testing.T) {
	g := newSag(&prop.Prop{Chip: prop.Chip{Volts: 1, ChannelAmps: 1, LightsPerMetre: 1, LightsPerPixel: 1}}, Fault{N: 1})
	assert.InDelta(t, 1, g.volts, 1e-12)
	assert.InDelta(t, 0.001, g.ohms, 1e-12, "a light a metre")
	assert.InDelta(t, 1.0/255, g.step, 1e-12)
	assert.InDelta(t, 1, newSag(&prop.Prop{Chip: prop.Chip{Volts: 5}, Supply: prop.Supply{Volts: 1}}, Fault{}).volts, 1e-12)
	p := bench("GRB", 5)
	for _, k := range Kinds() {
		f, err := ParseFault(rowOf(k).sample, wide())
		require.NoError(t, err)
		s := mustStrip(t, wide(), f)
		assert.Equal(t, k == Sag, s.Sags(), k)
		assert.Equal(t, k == Sparkle, s.Sparks(), k)
		assert.Equal(t, k == Sparkle || k == Flicker, s.Flickers(), k)
		assert.Equal(t, k == Sag || k == NoSupply || k == RailLost || k == Resistance, k.MovesVolts(), k)
	}
	assert.False(t, mustStrip(t, p).Flickers())
}

// What a weak joint leaves of each light follows the volts at its pixel; pixels
// more than planned have those of the last one of their run.
func TestLightFollowsTheVolts(t *testing.T) {
	p := bench("GRB", 30, 20)
	for _, more := range [][]Fault{nil, {{Kind: Count, N: 3}}, {{Kind: Count, Run: 1, N: -4}}} {
		s := mustStrip(t, p, append([]Fault{{Kind: Resistance, N: 1000}}, more...)...)
		frame := all(50, white)
		volts, err := s.Volts(frame)
		require.NoError(t, err)
		left, err := s.Left(frame)
		require.NoError(t, err)
		require.Greater(t, volts[28], volts[29], "each pixel has less than the one before it")
		full := mustStrip(t, p, more...).Shine(frame)
		for run, row := range s.Shine(frame) {
			for place, c := range row {
				at := p.FirstPixel(run) + min(place, p.Runs[run].Pixels-1)
				require.Equal(t, dimmed(&s.copper.curve, full[run][place], volts[at]), c, "place %d of run %d", place, run)
				if full[run][place] == white {
					require.Equal(t, []uint8{left[at].R, left[at].G, left[at].B}, []uint8{c.R, c.G, c.B})
				}
			}
		}
	}
}

// A fault is the same whatever its strength, if its kind has one, and whichever
// of two exchanged runs is named first.
func TestSameFaults(t *testing.T) {
	for _, row := range []struct {
		a, b Fault
		same bool
	}{
		{Fault{Kind: Sag, N: 500}, Fault{Kind: Sag, N: 700}, true}, {Fault{Kind: Sag}, Fault{Kind: Sparkle}, false}, {Fault{Kind: Sag, N: 500}, Fault{Kind: SlotShift, N: 700}, false}, {Fault{Kind: SlotShift, N: 1}, Fault{Kind: SlotShift, N: 2}, false},
		{Fault{Kind: SlotShift, N: 1}, Fault{Kind: Sag, N: 2}, false}, {Fault{Kind: SlotShift, N: 1}, Fault{Kind: SlotShift, N: 1}, true},
		{Fault{Kind: RunsSwapped, Run2: 1}, Fault{Kind: RunsSwapped, Run: 1}, true}, {Fault{Kind: RunsSwapped, Run: 1, Run2: 2}, Fault{Kind: RunsSwapped, Run: 2, Run2: 1}, true}, {Fault{Kind: RunsSwapped, Run: 1, Run2: 2}, Fault{Kind: RunsSwapped, Run: 0, Run2: 1}, false},
		{Fault{Kind: RunsParallel, Run2: 1}, Fault{Kind: RunsParallel, Run: 1}, false}, {Fault{Kind: RunsSwapped, Run2: 1}, Fault{Kind: RunsParallel, Run: 1}, false}, {Fault{Kind: RunsParallel, Run2: 1}, Fault{Kind: RunsSwapped, Run: 1}, false},
		{Fault{Kind: DeadPixel, Pixel: 3}, Fault{Kind: DeadPixel, Pixel: 4}, false}, {Fault{Kind: DeadPixel, Pixel: 3}, Fault{Kind: DeadPixel, Pixel: 3}, true},
	} {
		assert.Equal(t, row.same, row.a.Same(row.b), "%v and %v", row.a, row.b)
		assert.Equal(t, row.same, row.b.Same(row.a), "%v and %v", row.b, row.a)
	}
}

// A chip that the controller's stream leaves half-fed keeps what it did not get
// dark, whatever the slots behind the plan's hold (from memory: see oddBytes).
func TestHalfFedChips(t *testing.T) {
	full := func(s *Strip) [][]byte {
		slots := make([][]byte, 2)
		for i := range slots {
			slots[i] = make([]byte, 512)
			for k := range slots[i] {
				slots[i][k] = 255
			}
		}
		return slots
	}
	for _, row := range []struct {
		p    *prop.Prop
		want string
	}{{bench("GRB", 3), "RGBW RGBW G"}, {bench("GRB", 2), "RGBW RG"}, {bench("GRB", 5), "RGBW RGBW RGBW RGB -"}, {shifted(bench("GRB", 3), 503), "RGBW RGBW G"}} {
		s := mustStrip(t, row.p, Fault{Kind: WrongChip, N: 4})
		assert.Equal(t, row.want, look(s.Light(full(s))), "%d pixels", row.p.Pixels())
	}
}

// What has a hand at copper says "power off"; a feed that is added has its fuse.
func TestRemediesAtCopperSayPowerOff(t *testing.T) {
	copper := regexp.MustCompile(`(?i)solder|replace|wire|lead\b|fuse|feed|polarity|cut out|take it out|turn it round|turn the run round`)
	seen := 0
	for _, k := range Kinds() {
		text := FactsOf(k).Remedy
		if copper.MatchString(text) {
			seen++
			assert.Contains(t, strings.ToLower(text), "power off", text)
		}
		if strings.Contains(text, "add a feed") {
			assert.Contains(t, text, "fuse", text)
		}
	}
	assert.Greater(t, seen, 15)
}
