package power

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
	"example.org/ringout/patterns"
)

func planned(t *testing.T, p *prop.Prop, level float64) *Report {
	t.Helper()
	r, err := Plan(p, level, FullWhite())
	require.NoError(t, err)
	return r
}

// Sums by hand: 144 pixels of 60 mA and 1 mA idle.
func TestPlanOfPorthole(t *testing.T) {
	r := planned(t, prop.Porthole(), 1)
	assert.InDelta(t, 8.784, r.Amps, 1e-9)
	assert.InDelta(t, 0.144, r.DarkAmps, 1e-9)
	assert.Equal(t, Bad, r.Supply.Load, "8.784 A of 10 A at 0.8")
	assert.InDelta(t, (8-0.144)/8.64, r.SupplyLevel, 1e-9)
	require.Len(t, r.Feeds, 2)
	assert.InDelta(t, r.Amps, r.Feeds[0].Amps+r.Feeds[1].Amps, 1e-6)
	assert.Less(t, r.Sagging.Total, r.Constant.Total)
	assert.False(t, r.Holds)
	said := strings.Join(r.Findings, "\n")
	for _, words := range []string{"8.8 A", "at most 8.0 A", "falls to", `"outer ring"`, "add 2 more feeds", `Feed "outer"`} {
		assert.Contains(t, said, words)
	}
	assert.NotEmpty(t, r.Cautions)
	assert.NotEmpty(t, r.Assumed)
}

// One feed at the start: what passes a joint is what the pixels beyond draw.
func TestJointsCarryWhatLiesBeyond(t *testing.T) {
	p := prop.Porthole()
	p.Feeds = p.Feeds[:1]
	r := planned(t, p, 0.5)
	each := 0.001 + 0.5*0.06
	require.Len(t, r.Joints, 2)
	assert.InDelta(t, 108*each, r.Joints[0].Amps, 1e-6, "48 + 60 pixels")
	assert.InDelta(t, 60*each, r.Joints[1].Amps, 1e-6)
	joint := 0.2/60 + 0.6*0.033309*1.02 // ohms of one conductor, as in build_test.go
	assert.InDelta(t, 2*60*each*joint, r.Joints[1].Drop, 1e-4)
	assert.Equal(t, Doubtful, r.Joints[0].Lead, "3.3 A on 20 AWG: 1.46 A cautious, 11 A in free air")
	said := strings.Join(r.Findings, "\n")
	assert.Contains(t, said, `3.3 A pass between "inner ring" and "middle ring"`)
	assert.NotContains(t, said, `between "middle ring" and "outer ring": a usual`)
	p.Runs[2].Apart = true
	assert.Len(t, planned(t, p, 0.5).Joints, 1)
}

func TestPlanWithinItsMeans(t *testing.T) {
	r := planned(t, prop.Porthole(), 0.2)
	assert.Equal(t, Good, r.Supply.Load)
	assert.True(t, r.Holds)
	for _, f := range r.Findings {
		assert.NotContains(t, f, "falls to")
	}
}

// The level given holds, and a little more does not.
func TestHoldLevelIsTheEdge(t *testing.T) {
	for _, p := range []*prop.Prop{prop.Porthole(), prop.Pennant()} {
		r := planned(t, p, 1)
		require.Less(t, r.HoldLevel, 1.0)
		assert.InDelta(t, r.MinVolts, planned(t, p, r.HoldLevel).Constant.Lowest, 1e-9)
		assert.True(t, planned(t, p, r.HoldLevel-1e-6).Holds)
		assert.False(t, planned(t, p, r.HoldLevel+1e-6).Holds)
		assert.GreaterOrEqual(t, r.HoldSagging, r.HoldLevel)
		assert.GreaterOrEqual(t, planned(t, p, r.HoldSagging).Sagging.Lowest, r.MinVolts)
		assert.Less(t, planned(t, p, r.HoldSagging+0.002).Sagging.Lowest, r.MinVolts)
	}
}

func TestAtLevelIsTheSameAsPlan(t *testing.T) {
	p := prop.Pennant()
	got, err := planned(t, p, 1).AtLevel(p, 0.3)
	require.NoError(t, err)
	assert.Equal(t, planned(t, p, 0.3), got)
}

func TestExtraFeedsMakeItHold(t *testing.T) {
	p := prop.Porthole()
	r := planned(t, p, 1)
	require.True(t, r.Extra.Possible && r.Extra.Proven)
	first := p.Feeds[0]
	for _, at := range r.Extra.Pixels {
		p.Feeds = append(p.Feeds, prop.Feed{Pixel: at, WireMetre: first.WireMetre, Wire: first.Wire})
	}
	assert.True(t, planned(t, p, 1).Holds)
}

func TestFeedsWithoutWireAreSaidToBeSo(t *testing.T) {
	p := prop.Porthole()
	assert.NotContains(t, strings.Join(planned(t, p, 1).Findings, "\n"), "no wire in the file")
	p.Feeds, p.Runs[0].LeadIn = nil, 0
	r := planned(t, p, 1)
	require.NotEmpty(t, r.Extra.Pixels)
	assert.Contains(t, strings.Join(r.Findings, "\n"), "no wire in the file")
	assert.Contains(t, strings.Join(r.Assumed, "\n"), "No [[feed]] is in the file")
}

func TestApartRunWithoutFeedIsSaid(t *testing.T) {
	p := prop.Porthole()
	p.Runs[1].Apart = true
	p.Runs[2].Apart = true
	r := planned(t, p, 0.2)
	assert.Equal(t, 48, r.Constant.Dead)
	assert.Contains(t, strings.Join(r.Findings, "\n"), `48 pixels from pixel 1 of "middle ring" on get no supply`)
	assert.Equal(t, GradeDead, r.Grade(40))
	assert.Equal(t, GradeHolds, r.Grade(0))
}

func TestSupplyOfTheWrongVoltageIsSaid(t *testing.T) {
	p := prop.Porthole()
	p.Supply.Volts = 12
	assert.Contains(t, strings.Join(planned(t, p, 0.1).Findings, "\n"), "can destroy every pixel")
	p.Supply.Volts = 3.3
	assert.Contains(t, strings.Join(planned(t, p, 0.1).Findings, "\n"), "needs 4.5 V at least")
}

func TestChart(t *testing.T) {
	letters := chartMarks{[]rune(" _#"), 's', '-', '^'} // half steps, which a person can check by hand
	r := planned(t, prop.Porthole(), 1)
	want := []string{
		" 5.00 V",
		"       ##__                          s_s",
		" 4.50 V########__ssssssssssssssssssss###ssssss--------------",
		"       #####################################__ssssssssssssss",
		"       ############################################______",
		"       #####################################################",
		" 3.41 V#####################################################",
		"       ^                              ^",
		"       1            37               85                  144",
		"bars: at worst; s likely; - chip's lowest; ^ feed",
	}
	assert.Equal(t, want, r.draw(60, 10, letters))
	for width, want := range map[int]string{
		66: "bars: at worst; s likely; - chip's lowest; ^ feed",
		41: "bars at worst; s likely; - lowest; ^ feed",
		40: "s likely  - lowest  ^ feed",
		20: "s likely  - lowest  ",
	} {
		chart := r.draw(width, 10, letters)
		assert.Equal(t, want, chart[len(chart)-1])
	}
	assert.Equal(t, GradeWeak, r.Grade(143), "3.91 V is under nine tenths of 4.5 V")
}

func TestChartFitsAnySize(t *testing.T) {
	reports := []*Report{planned(t, prop.Porthole(), 1), planned(t, prop.BuoyLamp(), 1), planned(t, prop.Pennant(), 0.1)}
	for width := range 100 {
		for height := range 20 {
			for _, r := range reports {
				lines := r.Chart(width, height)
				assert.LessOrEqual(t, len(lines), max(height, 1))
				for _, line := range lines {
					assert.LessOrEqual(t, len([]rune(line)), max(width, 0))
				}
			}
		}
	}
}

// Whatever a file may hold, a plan is a report or one sentence.
func TestPlanOfAnyProp(t *testing.T) {
	plans, refusals := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		p, level := anyProp(t), rapid.Float64Range(0, 1).Draw(t, "level")
		r, err := Plan(p, level, patterns.Colour{R: rapid.Byte().Draw(t, "red"), B: rapid.Byte().Draw(t, "blue")})
		if err != nil {
			refusals++
			assert.NotContains(t, err.Error(), "\n")
			return
		}
		plans++
		for i := range r.Pixels {
			assert.False(t, math.IsNaN(r.Constant.Volts(i)) || math.IsNaN(r.Sagging.Volts(i)))
			assert.GreaterOrEqual(t, r.Sagging.Volts(i), r.Constant.Volts(i)-1e-6, "constant current is the limit")
		}
		assert.True(t, r.HoldLevel >= 0 && r.HoldLevel <= 1)
		assert.NotEmpty(t, r.Chart(80, 12))
	})
	assert.Greater(t, plans, refusals/2, "the test must plan props and not only refuse them")
	assert.NotZero(t, refusals)
}

// anyProp is mostly sound; now and then a figure in it is not.
func anyProp(t *rapid.T) *prop.Prop {
	chips := prop.KnownChips()
	bad := func(name string) float64 { // -1 rarely, else 1
		if rapid.IntRange(0, 30).Draw(t, name) == 17 {
			return -1
		}
		return 1
	}
	p := &prop.Prop{Chip: chips[rapid.IntRange(0, len(chips)-1).Draw(t, "chip")].Chip,
		Supply:   prop.Supply{Volts: bad("volts bad") * rapid.Float64Range(1, 30).Draw(t, "volts"), Amps: bad("amps bad") * rapid.Float64Range(0.1, 60).Draw(t, "amps")},
		RailOhms: rapid.SampledFrom([]float64{0, 0.05, 0.2, 10}).Draw(t, "rails")}
	for range rapid.IntRange(1, 4).Draw(t, "runs") {
		p.Runs = append(p.Runs, prop.Run{Pixels: rapid.IntRange(1, 80).Draw(t, "pixels"), Closed: rapid.Bool().Draw(t, "closed"),
			Apart: rapid.IntRange(0, 3).Draw(t, "apart") == 0, LeadIn: bad("lead bad") * rapid.Float64Range(0, 2).Draw(t, "lead"),
			JointOhms: rapid.SampledFrom([]float64{0, 0.5, 1000}).Draw(t, "joint")})
	}
	for range rapid.IntRange(0, 3).Draw(t, "feeds") {
		p.Feeds = append(p.Feeds, prop.Feed{Pixel: int(bad("at bad")) * rapid.IntRange(0, p.Pixels()).Draw(t, "at"), WireMetre: rapid.Float64Range(0, 20).Draw(t, "long"),
			Wire: prop.Wire{AWG: rapid.IntRange(10, 30).Draw(t, "awg")}, FuseAmps: rapid.SampledFrom([]float64{0, 5, 30}).Draw(t, "fuse")})
	}
	return p
}

func TestFiguresRoundDown(t *testing.T) {
	assert.Equal(t, "4.49 V", words.Volts(4.4999), "what is too low does not read as if it held")
	assert.Equal(t, "4.50 V", words.Volts(4.5))
	assert.Equal(t, "0 V", words.Volts(-3))
	assert.Equal(t, 57, FloorPercent(0.57), "0.57 is a little less in binary")
	assert.Equal(t, 56, FloorPercent(0.5699999))
}

// "Up to level 0 %" is not said: a prop that falls too low when dark says so.
func TestNotEvenDark(t *testing.T) {
	p := prop.Porthole()
	p.Feeds = []prop.Feed{{Wire: prop.Wire{AWG: 30}, WireMetre: 60}} // 144 mA on 42 ohms there and back
	r := planned(t, p, 1)
	assert.False(t, r.HoldsDark)
	said := strings.Join(r.Findings, "\n")
	assert.Contains(t, said, "It does not hold even dark.")
	assert.NotContains(t, said, "level 0 %")
	p.Feeds[0].WireMetre = 3.6 // 2.5 ohms: 0.36 V dark, the strip, and 0.5 V are allowed
	r = planned(t, p, 1)
	require.True(t, r.HoldsDark)
	require.Less(t, r.HoldLevel, 0.01)
	assert.Contains(t, strings.Join(r.Findings, "\n"), "It holds below level 1 % only")
}

// Once the extra feeds are there, each feed's current is that of a plan whose
// file has them, and its fuse is for that load.
func TestAfterIsThePlanWithTheFeedsAdded(t *testing.T) {
	one := prop.Porthole() // all that it needs but one
	for _, at := range planned(t, one, 1).Extra.Pixels[1:] {
		one.Feeds = append(one.Feeds, prop.Feed{Pixel: at, WireMetre: one.Feeds[0].WireMetre, Wire: one.Feeds[0].Wire})
	}
	require.Len(t, planned(t, one, 1).Extra.Pixels, 1)
	for _, p := range []*prop.Prop{prop.Porthole(), prop.Pennant(), one} {
		r := planned(t, p, 0.4)
		require.NotEmpty(t, r.After)
		for _, at := range r.Extra.Pixels {
			p.Feeds = append(p.Feeds, prop.Feed{Pixel: at, WireMetre: p.Feeds[0].WireMetre, Wire: p.Feeds[0].Wire})
		}
		with := planned(t, p, 1)
		require.Len(t, with.Feeds, len(r.After))
		for i, f := range with.Feeds {
			assert.InDelta(t, f.Amps, r.After[i].Amps, 1e-9)
			assert.Equal(t, f.Check.Size, r.After[i].Check.Size)
			assert.Equal(t, f.Place, r.After[i].Place)
			name := f.Name
			if old := len(r.Feeds); i >= old { // those to come are counted from 1
				name = fmt.Sprintf("new feed %d", i-old+1)
			}
			assert.Equal(t, name, r.After[i].Name)
		}
		assert.Contains(t, strings.Join(r.Findings, "\n"), "With them, at full level, feed ")
	}
}
