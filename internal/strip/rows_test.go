package strip

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// bench is a prop of runs with these pixels, at universe 1 slot 1.
func bench(order string, runs ...int) *prop.Prop {
	p := &prop.Prop{Name: "bench", Chip: prop.Chip{Name: "WS2812B", Volts: 5, Order: prop.Order(order),
		LightsPerMetre: 60, LightsPerPixel: 1, IdleAmps: 0.001, ChannelAmps: 0.020},
		Address: prop.Address{Universe: 1}, Supply: prop.Supply{Volts: 5, Amps: 10, Continuous: 0.8}}
	for i, n := range runs {
		p.Runs = append(p.Runs, prop.Run{Name: string(rune('a' + i)), Pixels: n})
	}
	return p
}

// look writes a light down: letters of the channels lit, "-" for dark, runs
// parted by "|".
func look(l Light) string {
	var runs []string
	for _, run := range l {
		var words []string
		for _, c := range run {
			w := ""
			for ch := range patterns.Channel(patterns.NumChannels) {
				if c.Get(ch) > 0 {
					w += string(ch.Letter())
				}
			}
			if w == "" {
				w = "-"
			}
			words = append(words, w)
		}
		runs = append(runs, strings.Join(words, " "))
	}
	return strings.Join(runs, " | ")
}

// all is a frame of n pixels of one colour.
func all(n int, c patterns.Colour) patterns.Frame {
	f := make(patterns.Frame, n)
	for i := range f {
		f[i] = c
	}
	return f
}

var (
	red   = patterns.Colour{R: 255}
	white = patterns.Colour{R: 255, G: 255, B: 255}
)

// turn is red, green, blue, in turn.
func turn(n int) patterns.Frame {
	f := make(patterns.Frame, n)
	for i := range f {
		f[i] = patterns.Colour{}.With(patterns.Channel(i%3), 255)
	}
	return f
}

// one is a frame with one red pixel, counted from 1.
func one(n, k int) patterns.Frame {
	f := make(patterns.Frame, n)
	f[k-1] = red
	return f
}

const (
	common   = "common practice"
	computed = "computed from the wiring"
	chipPage = "WS2812B data sheet 2016 V1.0: each chip keeps the first 24 bits and passes the rest on; " + computed
)

func TestWhatFaultsLookLike(t *testing.T) {
	rows := []struct {
		name   string
		source string
		prop   *prop.Prop
		faults []Fault
		frame  patterns.Frame
		want   string
	}{
		{"good strip", chipPage, bench("GRB", 2, 3), nil, turn(5), "R G | B R G"},
		{"no supply", common, bench("GRB", 2, 2), []Fault{{Kind: NoSupply}}, all(4, white), "- - | - -"},
		{"turned round", common, bench("GRB", 2, 2), []Fault{{Kind: WrongEnd}}, all(4, white), "- - | - -"},
		{"wrong universe", common, bench("GRB", 2, 2), []Fault{{Kind: WrongAddress, N: 1}}, all(4, white), "- - | - -"},
		{"open inside a run: right up to k-1, dark from k", common, bench("GRB", 3, 3), []Fault{{Kind: OpenJoint, Pixel: 1}}, turn(6), "R - - | - - -"},
		{"open at a joint", common, bench("GRB", 3, 3), []Fault{{Kind: OpenJoint, Pixel: 3}}, turn(6), "R G B | - - -"},
		{"second run soldered in backwards", common, bench("GRB", 2, 2, 2), []Fault{{Kind: RunBackwards, Run: 1}}, turn(6), "R G | - - | - -"},
		{"one die dead", common, bench("GRB", 3), []Fault{{Kind: DeadChannel, Pixel: 1, Channel: patterns.Blue}}, all(3, white), "RGB RG RGB"},
		{"dead but passing data", common, bench("GRB", 4), []Fault{{Kind: DeadPixel, Pixel: 1}}, turn(4), "R - B R"},
		{"dead and passing none", common, bench("GRB", 4), []Fault{{Kind: DeadStop, Pixel: 1}}, turn(4), "R - - -"},
		{"chip with backup line: one bad chip, only that pixel wrong", common, named("WS2815", bench("GRB", 4)), []Fault{{Kind: DeadStop, Pixel: 1}}, turn(4), "R - B R"},
		{"chip with backup line: two neighbours bad, dark from there", common, named("WS2815", bench("GRB", 5)),
			[]Fault{{Kind: DeadStop, Pixel: 1}, {Kind: DeadStop, Pixel: 2}}, turn(5), "R - - - -"},
		{"supply rail broken", common, bench("GRB", 4), []Fault{{Kind: RailLost, Pixel: 2}}, turn(4), "R G - -"},
		{"wrong order: a fixed swap", common, bench("GRB", 4), []Fault{{Kind: WrongOrder, Order: "RGB"}}, turn(4), "G R B G"},
		{"wrong order: white still white", common, bench("GRB", 2), []Fault{{Kind: WrongOrder, Order: "BRG"}}, all(2, white), "RGB RGB"},
		{"wrong order from a run on", common, bench("GRB", 3, 3), []Fault{{Kind: WrongOrder, Pixel: 3, Order: "RGB"}}, turn(6), "R G B | G R B"},
		{"start slot one late: fixed rotation, last pixel short", computed, bench("RGB", 4), []Fault{{Kind: SlotShift, N: 1}}, all(4, red), "B B B -"},
		{"start slot one early", computed, shifted(bench("RGB", 4), 6), []Fault{{Kind: SlotShift, N: -1}}, all(4, red), "G G G G"},
		{"RGBW bytes into RGB pixels, all red", "published rows, computed (GRB): R, B, dark, G every 4",
			bench("GRBW", 8), []Fault{{Kind: WrongChip, N: 3}}, all(8, red), "R B - G R B - G"},
		{"RGB bytes into RGBW pixels, all red", "published rows, computed (GRBW): R, G+W, B every 3, three quarters lit",
			bench("GRB", 8), []Fault{{Kind: WrongChip, N: 4}}, all(8, red), "R GW B R GW B - -"},
		{"mixed reel: 4-slot chips from k on", computed, bench("GRB", 2, 4), []Fault{{Kind: WrongChip, Pixel: 2, N: 4}}, all(6, red), "R R | R GW B -"},
		{"controller plans too few pixels: tail dark", common, bench("GRB", 2, 2), []Fault{{Kind: Count, Run: 1, N: 2}}, turn(4), "R G | B R - -"},
		{"controller plans too many pixels: nothing to see", common, bench("GRB", 2, 3), []Fault{{Kind: Count, Run: 1, N: -1}}, turn(5), "R G | B R"},
		{"first run longer: the next one is shifted", computed, bench("GRB", 2, 4), []Fault{{Kind: Count, Run: 0, N: 1}}, turn(6), "R G B | R G B -"},
		{"first run shorter: the next one is shifted", computed, bench("GRB", 3, 3), []Fault{{Kind: Count, Run: 0, N: -1}}, turn(6), "R G | B R G"},
		{"wired from the far end", computed, bench("GRB", 2, 3), []Fault{{Kind: Mirrored}}, turn(5), "G R | B G R"},
		{"one run fed from its other end", computed, bench("GRB", 3, 3), []Fault{{Kind: RunMirrored, Run: 1}}, turn(6), "R G B | B G R"},
		{"two runs swapped", computed, bench("GRB", 1, 2, 3), []Fault{{Kind: RunsSwapped, Run: 0, Run2: 2}}, turn(6), "B | R G | R G B"},
		{"12 V group strip: three lights as one", common, bench("GRB", 6), []Fault{{Kind: Grouped, N: 3}}, turn(6), "R R R G G G"},
		{"a dark group of three is one chip", common, bench("GRB", 7), []Fault{{Kind: Grouped, N: 3}, {Kind: DeadPixel, Pixel: 4}}, all(7, red), "R R R - - - R"},
		{"a hidden pixel before the first takes its data", "common practice: a level shifter made of a pixel; " + computed, bench("GRB", 4), []Fault{{Kind: HiddenFirst}}, turn(4), "G B R -"},
		{"two runs on one data line show the same, what follows is early", "common practice; " + computed, bench("GRB", 2, 2, 2), []Fault{{Kind: RunsParallel, Run: 0, Run2: 1}}, turn(6), "R G | R G | B R"},
		{"one run of another order, sound runs behind", computed, bench("GRB", 2, 2, 2), []Fault{{Kind: RunOrder, Run: 1, Order: "RGB"}}, turn(6), "R G | B G | G B"},
		{"one run of four-slot chips, what follows is shifted", computed, bench("GRB", 2, 2, 2), []Fault{{Kind: RunChip, Run: 1, N: 4}}, all(6, red), "R R | R GW | B -"},
		{"a run without red", common, bench("GRB", 2, 2, 2), []Fault{{Kind: RunChannel, Run: 1, Channel: patterns.Red}}, all(6, white), "RGB RGB | GB GB | RGB RGB"},
		{"a pixel that stays lit", common, bench("GRB", 3), []Fault{{Kind: StuckOn, Pixel: 1}}, all(3, red), "R RGB R"},
		{"a red that stays lit", common, bench("GRB", 3), []Fault{{Kind: StuckChannel, Pixel: 1, Channel: patterns.Red}}, all(3, patterns.Colour{G: 255}), "G RG G"},
		{"mirrored and open: dark past the break as the data runs", computed, bench("GRB", 3, 3), []Fault{{Kind: Mirrored}, {Kind: OpenJoint, Pixel: 3}}, all(6, red), "- - - | - R R"},
		{"swapped and dead pixel: the pixel stays in its place", computed, bench("GRB", 2, 2), []Fault{{Kind: RunsSwapped, Run: 0, Run2: 1}, {Kind: DeadPixel, Pixel: 0}}, all(4, red), "- R | R R"},
		{"mirrored and wrong order: the chips stay in their place", computed, bench("GRB", 2, 2), []Fault{{Kind: Mirrored}, {Kind: WrongOrder, Pixel: 2, Order: "RGB"}}, all(4, red), "R R | G G"},
	}
	shown := map[Kind]bool{}
	for _, r := range rows {
		for _, f := range r.faults {
			shown[f.Kind] = true
		}
		t.Run(r.name, func(t *testing.T) {
			require.NotEmpty(t, r.source)
			s, err := New(r.prop, r.faults...)
			require.NoError(t, err)
			require.Equal(t, r.want, look(s.Shine(r.frame)), r.source)
			require.Equal(t, r.want, look(s.Light(s.Lay(r.frame).Slots())), "slots and frame show the same")
		})
	}
	for _, k := range Kinds() {
		assert.True(t, shown[k] || elsewhere[k] != "" || FactsOf(k).Unlit, "what %s looks like has no row with a source", k)
	}
}

// elsewhere are the tests of looks that take more than a row: time, chance,
// or a prop of several universes.
var elsewhere = map[Kind]string{
	WrongPacking:     "TestWrongPacking",
	UniversesSwapped: "TestUniversesSwapped",
	Sag:              "TestSagAgainstAMeasuredStrip",
	Flicker:          "TestFlickerGoesDarkBehindTheLooseJoint",
	Sparkle:          "TestMomentsOfFlicker",
}

// named is the prop with another chip.
func named(chip string, p *prop.Prop) *prop.Prop {
	p.Chip.Name = chip
	return p
}

// shifted is the prop with its first slot moved up.
func shifted(p *prop.Prop, by int) *prop.Prop {
	p.Address.Slot = by
	return p
}

// TestWrongPacking is the row "universe size set to 510 one side, 512 the
// other: right to 170, from 171 on shifted two slots (computed)".
func TestWrongPacking(t *testing.T) {
	s, err := New(bench("GRB", 173), Fault{Kind: WrongPacking})
	require.NoError(t, err)
	l := s.Shine(all(173, red))[0]
	require.Equal(t, red, l[169])
	// Stream from pixel 171 on: slots 511 and 512 of universe 1, which no pixel
	// sends, then universe 2 with 0 255 0 0 255 0: so 0 0 0, 255 0 0, 255 0 0.
	require.Equal(t, "- G G", look(Light{l[170:]}))
	_, err = New(bench("GRB", 170), Fault{Kind: WrongPacking})
	require.ErrorContains(t, err, "lie the same")
}

func TestUniverseBoundary(t *testing.T) {
	// 170 RGB pixels to a universe (common practice).
	s, err := New(bench("GRB", 171))
	require.NoError(t, err)
	require.Equal(t, red, s.Shine(one(171, 171))[0][170])
	p := bench("GRB", 171)
	p.Address.Packing = prop.Straddle
	s, err = New(p)
	require.NoError(t, err)
	l := s.Shine(all(171, white))
	require.Equal(t, 171, l.Lit(), "the straddling pixel is fed from two universes")
	require.Equal(t, white, l[0][170])
}
