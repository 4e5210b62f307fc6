package power

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// Sums by hand: 0.2 ohms a metre and 60 pixels a metre make 1/300 ohm a pixel;
// 20 AWG is 33.309 ohms a kilometre solid (handbook 10.15 a thousand feet), 2 %
// more stranded; 18 AWG 20.948.
func TestNetworkOfPorthole(t *testing.T) {
	n, err := NetworkOf(prop.Porthole())
	require.NoError(t, err)
	assert.Equal(t, 144, n.Pixels())
	assert.Equal(t, 5.0, n.Volts)
	step := 0.2 / 60
	joint := step + 0.6*0.033309*1.02 // leads of 0.3 m from each run
	for i, l := range n.Links {
		want := step
		if i == 35 || i == 83 {
			want = joint
		}
		assert.InDelta(t, want, l.Plus, 1e-5, "link %d", i)
		assert.Equal(t, l.Plus, l.Minus)
	}
	require.Len(t, n.Taps, 2)
	assert.Equal(t, 0, n.Taps[0].Pixel)
	assert.Equal(t, 84, n.Taps[1].Pixel)
	assert.InDelta(t, 1.5*0.020948*1.02, n.Taps[0].Plus, 1e-5)
	assert.Empty(t, n.Loops)
}

func TestNetworkOfRunsApartClosedAndWithBadJoints(t *testing.T) {
	p := prop.Porthole()
	p.Runs[1].Apart = true
	p.Runs[2].JointOhms = 0.25
	p.Runs[2].Closed = true
	p.RailOhms = 0.1
	p.LeadWire = prop.Wire{MM2: 0.75} // IEC 60228 class 5: 26 ohms a kilometre
	p.WireCelsius = 60
	p.Feeds[1].Pixel = 143
	n, err := NetworkOf(p)
	require.NoError(t, err)
	warm := 1 + 0.00393*40
	assert.Equal(t, Broken, n.Links[35].Plus)
	assert.InDelta(t, 0.1/60+0.6*0.026*warm, n.Links[35].Minus, 1e-9, "the ground goes on")
	assert.InDelta(t, 0.1/60+0.6*0.026*warm+0.25, n.Links[83].Minus, 1e-9)
	assert.Equal(t, []Loop{{84, 143, Rails{0.1 / 60, 0.1 / 60}}}, n.Loops)
	assert.Equal(t, 143, n.Taps[1].Pixel)
}

// Without a [[feed]] the leads carry the supply: 0.3 m of 20 AWG, 33.309 ohms a
// kilometre solid (handbook), 2 % more stranded.
func TestNoFeedMeansTheLeadOfEachPiece(t *testing.T) {
	p := prop.Porthole()
	p.Feeds = nil
	n, err := NetworkOf(p)
	require.NoError(t, err)
	require.Len(t, n.Taps, 1)
	assert.InDelta(t, 0.3*0.033309*1.02, n.Taps[0].Plus, 1e-6)
	p.Runs[2].Apart, p.Runs[2].LeadIn = true, 0
	n, err = NetworkOf(p)
	require.NoError(t, err)
	require.Len(t, n.Taps, 2)
	assert.Equal(t, Tap{Pixel: 84}, n.Taps[1], "a run that stands apart, right at the supply")
}

// 60 pixels of 61 mA are 3.66 A; 5 m of 24 AWG there and back are 0.859 ohms
// (84.215 ohms a kilometre by the wire table, 2 % more stranded): 3.14 V lost.
func TestLeadWireWithoutFeedCostsVolts(t *testing.T) {
	p := prop.Porthole()
	p.Feeds, p.Runs = nil, p.Runs[2:]
	p.Runs[0].LeadIn, p.LeadWire = 5, prop.Wire{AWG: 24}
	r := planned(t, p, 1)
	require.Len(t, r.Feeds, 1)
	assert.InDelta(t, 3.66*2*5*0.084215*1.02, r.Feeds[0].Drop, 0.005)
	assert.Equal(t, "5 m of 24 AWG", r.Feeds[0].Wire)
	said := strings.Join(append(r.Findings, r.Assumed...), "\n")
	assert.Contains(t, said, "The supply lead loses 3.14 V")
	assert.Contains(t, said, "No [[feed]] is in the file: the supply is taken to come in by the lead of \"outer ring\", 5 m of 24 AWG.")
	p.Feeds = prop.Porthole().Feeds[:1]
	r = planned(t, p, 1)
	assert.Less(t, r.Feeds[0].Drop, 0.5, "with a feed the lead carries data and ground")
	assert.Contains(t, strings.Join(r.Assumed, "\n"), "the lead before the first run is taken to carry data and ground")
}

func TestPlacesOfFeedsInWords(t *testing.T) {
	p := prop.Porthole()
	place := func(pixel int) string {
		run, at := p.Finder().Find(pixel)
		return feedPlace(p, pixel, run, at)
	}
	for pixel, want := range map[int]string{0: `the start of "inner ring" (pixel 1)`, 35: `the end of "inner ring" (pixel 36)`,
		36: `the start of "middle ring" (pixel 37)`, 40: `pixel 41, 5 of "middle ring"`, 143: `the end of "outer ring" (pixel 144)`} {
		assert.Equal(t, want, place(pixel))
	}
	p.Runs = p.Runs[:1]
	assert.Equal(t, "the start (pixel 1)", place(0))
	assert.Equal(t, "the end (pixel 36)", place(35))
}

func TestPropsRefused(t *testing.T) {
	for _, row := range []struct {
		does func(p *prop.Prop)
		says string
	}{
		{func(p *prop.Prop) { p.Supply.Volts = 0 }, "the supply has 0 V"},
		{func(p *prop.Prop) { p.Supply.Volts = math.NaN() }, "the supply has NaN V"},
		{func(p *prop.Prop) { p.Supply.Amps = 0 }, "the supply is rated 0 A"},
		{func(p *prop.Prop) { p.Supply.Continuous = 2 }, "continuous share is 2"},
		{func(p *prop.Prop) { p.Feeds[0].Wire.AWG = 77 }, `feed "inner": wire gauge 77 AWG`},
		{func(p *prop.Prop) { p.Feeds[0].Wire = prop.Wire{} }, `feed "inner": no wire size`},
		{func(p *prop.Prop) { p.Feeds[1].WireMetre = -2 }, `feed "outer": its wire is -2 m long`},
		{func(p *prop.Prop) { p.Feeds[1].FuseAmps = -2 }, `feed "outer": its fuse has -2 A`},
		{func(p *prop.Prop) { p.Feeds[1].Pixel = 144 }, `feed "outer" enters at pixel 145, but the prop has 144 pixels`},
		{func(p *prop.Prop) { p.Feeds[1].Pixel = -1 }, "enters at pixel 0"},
		{func(p *prop.Prop) { p.Runs[1].LeadIn = -1 }, `run "middle ring"`},
		{func(p *prop.Prop) { p.Runs[1].JointOhms = -1 }, `run "middle ring"`},
		{func(p *prop.Prop) { p.Runs[1].Pixels = -1 }, `run "middle ring"`},
		{func(p *prop.Prop) { p.Runs = nil }, "no pixels"},
		{func(p *prop.Prop) { p.RailOhms = -0.1 }, "rails have -0.1 ohms"},
		{func(p *prop.Prop) { p.WireCelsius = 400 }, "400 degrees"},
		{func(p *prop.Prop) { p.LeadWire = prop.Wire{AWG: 18, MM2: 1} }, "leads between the runs"},
	} {
		p := prop.Porthole()
		row.does(p)
		_, err := Plan(p, 0.5, FullWhite())
		require.ErrorContains(t, err, row.says)
		assert.NotContains(t, err.Error(), "\n", "one sentence")
	}
	_, err := Plan(prop.Porthole(), 1.2, FullWhite())
	assert.ErrorContains(t, err, "level 1.2")
	_, err = Plan(nil, 1, FullWhite())
	assert.ErrorIs(t, err, ErrNoProp)
}

// What the refusals name as allowed is planned; just past it is not.
func TestPropsAtTheirLimits(t *testing.T) {
	for _, row := range []struct {
		does func(p *prop.Prop, v float64)
		in   []float64
		out  []float64
	}{
		{func(p *prop.Prop, v float64) { p.WireCelsius = v }, []float64{-60, 20, 150}, []float64{-60.1, 150.1}},
		{func(p *prop.Prop, v float64) { p.Supply.Continuous = v }, []float64{0.01, 1}, []float64{-0.01, 1.01}},
		{func(p *prop.Prop, v float64) { p.RailOhms = v }, []float64{0, 0.2}, []float64{-0.001}},
		{func(p *prop.Prop, v float64) { p.Feeds[0].WireMetre = v }, []float64{0, 3}, []float64{-0.001}},
		{func(p *prop.Prop, v float64) { p.Feeds[0].Pixel = int(v) }, []float64{0, 143}, []float64{-1, 144}},
		{func(p *prop.Prop, v float64) { p.Runs[1].JointOhms = v }, []float64{0, 0.1}, []float64{-0.001}},
	} {
		for _, v := range row.in {
			p := prop.Porthole()
			row.does(p, v)
			_, err := Plan(p, 0.5, FullWhite())
			assert.NoError(t, err, "%g", v)
		}
		for _, v := range row.out {
			p := prop.Porthole()
			row.does(p, v)
			_, err := Plan(p, 0.5, FullWhite())
			assert.Error(t, err, "%g", v)
		}
	}
	for _, level := range []float64{0, 1} {
		_, err := Plan(prop.Porthole(), level, FullWhite())
		assert.NoError(t, err, "level %g", level)
	}
}

func TestNetworksRefused(t *testing.T) {
	for _, row := range []struct {
		net  *Network
		says string
	}{
		{&Network{}, "0 V"},
		{chain(3, 5, -1, 0), "never below zero"},
		{chain(3, 5, 1, 1, tap(3, 0)), "enters at pixel 4, but there are only 3"},
		{chain(3, 5, 1, 1, tap(0, -1)), "never below zero"},
		{chain(3, 5, 1, 1).ring(0, 3, 1), "does not fit 3 pixels"},
		{chain(5, 5, 1, 1).ring(0, 2, 1).ring(2, 4, 1), "share pixel 3"},
		{chain(3, 5, 1, 1).ring(0, 2, -1), "never below zero"},
	} {
		_, err := NewLadder(row.net)
		assert.ErrorContains(t, err, row.says)
	}
}
