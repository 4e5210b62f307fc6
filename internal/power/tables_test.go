package power

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// The shares of a sagging pixel, by the formula in the text of Law: nothing at
// Off, half in the middle, whole at Full; stretched to the chip's own voltage.
func TestLawByItsFormula(t *testing.T) {
	for _, volts := range []float64{5, 12, 24, 0} {
		l := LawOf(prop.Chip{Volts: volts})
		k := max(volts, 5) / 5
		if volts > 0 {
			k = volts / 5
		}
		assert.Equal(t, Law{0, 2 * k, 1.8 * k, 4.3 * k, 2.7 * k, 5 * k}, l)
		c := l.Curve()
		for v := -1.0; v < 6*k; v += 0.07 * k {
			share := func(off, full float64) (s, slope float64) {
				x := (v - off) / (full - off)
				if x <= 0 {
					return 0, 0
				}
				if x >= 1 {
					return 1, 0
				}
				return 3*x*x - 2*x*x*x, (6*x - 6*x*x) / (full - off)
			}
			i, di := share(0, 2*k)
			r, dr := share(1.8*k, 4.3*k)
			w, dw := share(2.7*k, 5*k)
			d := Draw{Idle: 1, Red: 10, Rest: 100}
			amps, slope := c.Amps(d, v)
			assert.InDelta(t, i+10*r+100*w, amps, 1e-9, "%g V", v)
			assert.InDelta(t, di+10*dr+100*dw, slope, 1e-9, "%g V", v)
			amps, slope = c.Amps(Draw{Idle: 1}, v)
			assert.InDelta(t, i, amps, 1e-9, "a dark pixel at %g V", v)
			assert.InDelta(t, di, slope, 1e-9)
		}
	}
}

// Each channel counts as many times as the chip has it, red by itself.
func TestDrawOfAColour(t *testing.T) {
	c := prop.Chip{Order: "GRBWC", IdleAmps: 0.001, ChannelAmps: 0.0255}
	col := patterns.Colour{R: 1, G: 10, B: 20, W: 40, C: 80}
	assert.Equal(t, Draw{Idle: 0.001, Red: 0.0001 * 0.5, Rest: 0.0150 * 0.5}, roundDraw(DrawOf(c, col, 0.5)))
	assert.InDelta(t, 0.001+0.0151, PixelAmps(c, col), 1e-12)
	for order, want := range map[prop.Order]float64{"RGB": 0.0031, "GRB": 0.0031, "RGBW": 0.0071, "WRGBC": 0.0151, "W": 0.004, "RR": 0.0002} {
		c.Order = order
		assert.InDelta(t, 0.001+want, PixelAmps(c, col), 1e-12, order)
		d := DrawOf(c, col, 1)
		assert.InDelta(t, 0.001+want, d.Amps(), 1e-12)
		assert.InDelta(t, want, d.light(), 1e-12)
	}
}

func roundDraw(d Draw) Draw {
	r := func(v float64) float64 { return math.Round(v*1e9) / 1e9 }
	return Draw{r(d.Idle), r(d.Red), r(d.Rest)}
}

// Every row of the tables of copper, as their sources have them: IEC 60228
// classes 1 and 2, and 5; a handbook's amps in free air from 10 to 30 AWG.
func TestTablesOfCopper(t *testing.T) {
	for _, row := range [][3]float64{{0.5, 36, 39}, {0.75, 24.5, 26}, {1, 18.1, 19.5}, {1.5, 12.1, 13.3}, {2.5, 7.41, 7.98}, {4, 4.61, 4.95}} {
		for i, solid := range []bool{true, false} {
			ohms, err := OhmsPerMetre(prop.Wire{MM2: row[0], Solid: solid}, 20)
			require.NoError(t, err)
			assert.InDelta(t, row[1+i]/1000, ohms, 1e-9, "%g mm2, solid %v", row[0], solid)
			clad, err := OhmsPerMetre(prop.Wire{MM2: row[0], Solid: solid, Clad: true}, 20)
			require.NoError(t, err)
			assert.InDelta(t, ohms/0.62, clad, 1e-9, "62 % of copper's conductivity")
			hot, err := OhmsPerMetre(prop.Wire{MM2: row[0], Solid: solid}, 70)
			require.NoError(t, err)
			assert.InDelta(t, ohms*(1+50*0.00393), hot, 1e-9)
		}
	}
	free := []float64{55, 47, 41, 35, 32, 28, 22, 19, 16, 14, 11, 9, 7, 4.7, 3.5, 2.7, 2.2, 1.7, 1.4, 1.2, 0.86}
	for i, amps := range free {
		assert.Equal(t, amps, ChassisAmps(prop.Wire{AWG: 10 + i}))
		assert.InDelta(t, amps*math.Sqrt(0.62), ChassisAmps(prop.Wire{AWG: 10 + i, Clad: true}), 1e-9, "the same heat")
		assert.Equal(t, amps, ChassisAmps(prop.Wire{MM2: AreaMM2(10 + i)}), "an area takes its own gauge")
		if i > 0 {
			assert.Equal(t, amps, ChassisAmps(prop.Wire{MM2: AreaMM2(10+i) * 1.05}), "and else the next thinner")
		}
	}
	assert.Zero(t, ChassisAmps(prop.Wire{AWG: 9})+ChassisAmps(prop.Wire{AWG: 31})+ChassisAmps(prop.Wire{MM2: 0.04}))
	for awg := 4; awg <= 36; awg++ {
		// 700 circular mils an amp; a circular mil is the square of a thousandth of an inch.
		mils := DiameterMM(awg) / 0.0254
		assert.InEpsilon(t, mils*mils/700, CautiousAmps(prop.Wire{AWG: awg}), 1e-5)
		solid, _ := OhmsPerMetre(prop.Wire{AWG: awg, Solid: true}, 20)
		flex, _ := OhmsPerMetre(prop.Wire{AWG: awg}, 20)
		assert.InEpsilon(t, 1.02, flex/solid, 1e-9)
	}
	for w, ok := range map[prop.Wire]bool{{AWG: 4}: true, {AWG: 3}: false, {AWG: 36}: true, {AWG: 37}: false, {MM2: 0.05}: true, {MM2: 0.049}: false, {MM2: 50}: true, {MM2: 50.1}: false, {}: false, {AWG: 18, MM2: 1}: false, {AWG: -1}: false, {MM2: math.NaN()}: false} {
		assert.Equal(t, ok, CheckWire(w) == nil, "%+v", w)
	}
	for w, want := range map[prop.Wire]string{{AWG: 18}: "18 AWG", {MM2: 0.75}: "0.75 mm2", {AWG: 18, Solid: true, Clad: true}: "18 AWG solid copper-clad aluminium"} {
		assert.Equal(t, want, WireName(w))
	}
}

// The verdicts and words of fuses at each of their limits, by hand from the rule
// load / 0.8 <= fuse <= wire, and from how many times its rating a short is.
func TestFusesAtTheirLimits(t *testing.T) {
	for times, want := range map[float64]Blow{0.5: BlowNever, 1.09: BlowNever, 1.1: BlowSlow, 1.99: BlowSlow, 2: BlowSeconds, 2.79: BlowSeconds, 2.8: BlowFast, 9: BlowFast} {
		got, b := blow(5*times, 5)
		assert.InDelta(t, times, got, 1e-9)
		assert.Equal(t, want, b, "%g times", times)
	}
	_, b := blow(5, 0)
	assert.Equal(t, BlowUnknown, b)
	wire := prop.Wire{AWG: 14} // 5.87 A by the cautious rule, 32 A in free air
	at := func(load, fuse, supply float64) FuseCheck {
		c, err := CheckFuse(prop.Feed{WireMetre: 1, Wire: wire, FuseAmps: fuse}, prop.Supply{Volts: 5, Amps: supply}, both(load), 20)
		require.NoError(t, err)
		return c
	}
	for load, size := range map[float64]float64{0.1: 1, 0.8: 1, 0.81: 2, 1.6: 2, 2.4: 3, 3.2: 4, 4: 5, 4.1: 7.5, 6: 7.5, 8: 10, 12: 15, 16: 20, 20: 25, 24: 30, 24.1: 0} {
		assert.Equal(t, size, at(load, 0, 100).Size, "%g A", load)
	}
	for fuse, want := range map[float64]Verdict{4.99: Bad, 5: Good, 5.8: Good, 5.9: Doubtful, 32: Doubtful, 32.1: Bad} {
		assert.Equal(t, want, at(4, fuse, 100).Fuse, "%g A", fuse)
	}
	for load, want := range map[float64]Verdict{5.8: Good, 5.9: Doubtful, 32: Doubtful, 32.1: Bad} {
		assert.Equal(t, want, at(load, 0, 100).Wire, "%g A", load)
	}
	no := at(1, 0, 100)
	assert.Equal(t, []string{"no fuse given", "no fuse"}, []string{no.FuseText(), no.Word()})
	assert.Equal(t, Bad, no.Verdict, "no fuse under load")
	assert.Equal(t, []string{"F has no fuse in the file: power off, then fuse every feed at the supply end; 2 A suits the load."}, no.Sentences("F"))
	idle := at(0, 0, 100)
	assert.Equal(t, "good", idle.Word(), "without a load it needs none")
	assert.Empty(t, idle.Sentences("F"))
	assert.Equal(t, "fuse 7.5 A", at(1, 7.5, 100).FuseText())
	assert.Equal(t, "not good", at(33, 0, 100).Word(), "a wire that burns comes before a fuse")
	small := at(4, 4, 100)
	assert.Equal(t, "F: the 4 A fuse is too small for 4.0 A for hours on end: that needs at least 5.0 A; 5 A suits the load.", small.Sentences("F")[0])
	big := at(4, 40, 100)
	assert.Contains(t, big.Sentences("F")[0], "F: the 40 A fuse is larger than its wire may carry (5.9 A by a cautious rule, 32 A in free air): it does not protect it; 5 A suits the load.")
	doubt := at(4, 7.5, 100)
	assert.Contains(t, doubt.Sentences("F")[0], "F: the 7.5 A fuse is larger than its wire should carry in a closed prop (5.9 A by a cautious rule, 32 A in free air); 5 A suits the load.")
	hot := at(6, 7.5, 100)
	assert.Contains(t, hot.Sentences("F")[0], "F carries 6.0 A: its wire is good for that in free air only")
	assert.NotContains(t, strings.Join(hot.Sentences("F"), " "), "larger than its wire should")
	assert.Contains(t, at(33, 0, 100).Sentences("F")[0], "F carries 33.0 A, more than its wire should carry even in free air")
	assert.Contains(t, strings.Join(at(33, 0, 100).Sentences("F"), " "), "no blade fuse is large enough: power off, then split the load among more feeds")
	thin := FuseCheck{FuseAmps: 1, Amps: 3, LeastFuse: 3.75, Size: 4, SizeFits: Bad, WireAmps: 1, FreeAmps: 2, Fuse: Bad, Wire: Good}
	assert.Contains(t, thin.Sentences("F")[0], "; 4 A suits the load but not the wire: power off, then use thicker wire or more feeds")
	assert.Empty(t, FuseCheck{Size: 5, FuseAmps: 5, SizeFits: Good}.sizeText())
	assert.Equal(t, "1.5 A by a cautious rule", FuseCheck{WireAmps: 1.5}.wireText())
	assert.Equal(t, NotChecked, FuseCheck{}.carries(3))
	// The supply gives 6 A: 1.5 times that is what the wire may be left with.
	weak := at(2, 5, 6)
	assert.Equal(t, []float64{6, 9, 1.2}, []float64{weak.ShortAmps, weak.MostAmps, math.Round(weak.Times*100) / 100})
	assert.Equal(t, Doubtful, weak.Short)
	assert.Contains(t, weak.Sentences("F")[0], "F: a dead short draws 6.0 A (the supply's rating), which may take minutes to open the fuse, or never: the wire is then left with up to 9.0 A: a supply may give 1.5 times its rating (wire: 5.9 A by a cautious rule, 32 A in free air). A 3 A fuse would open.")
	assert.Contains(t, at(2.4, 5, 6).Sentences("F")[0], "A 3 A fuse would open.", "2.4 A are eight tenths of it, and 6 A twice it")
	assert.True(t, weak.BySupply)
	assert.Contains(t, at(3.2, 5, 6).Sentences("F")[0], "The supply opens no fuse for this load: power off, then use wire that carries 9.0 A")
	// The copper lets more through than the supply's rating, and less than the supply may give.
	between := FuseCheck{ShortAmps: 6, MostAmps: 7, BySupply: true, Short: Doubtful, FuseAmps: 5, WireAmps: 5.9, FreeAmps: 32}
	assert.Contains(t, between.Sentences("F")[0], "left with up to 7.0 A, its copper's limit: a supply may give more than its rating (wire: 5.9 A")
	far, err := CheckFuse(prop.Feed{WireMetre: 40, Wire: wire, FuseAmps: 7.5}, prop.Supply{Volts: 5, Amps: 100}, both(4), 20)
	require.NoError(t, err)
	assert.False(t, far.BySupply)
	assert.Contains(t, far.ShortText(), "(through this wire)")
	assert.NotContains(t, strings.Join(far.Sentences("F"), " "), "times its rating", "the copper is the limit")
	assert.Contains(t, strings.Join(far.Sentences("F"), " "), "Power off, then use thicker or shorter wire, or more feeds with smaller fuses.")
	bare, err := CheckFuse(prop.Feed{FuseAmps: 5}, prop.Supply{Volts: 5, Amps: 100}, both(4), 20)
	require.NoError(t, err)
	assert.Equal(t, []Verdict{Good, NotChecked}, []Verdict{bare.Fuse, bare.Wire}, "no wire to protect")
	assert.Equal(t, 100.0, bare.ShortAmps)
	for _, s := range []prop.Supply{{Amps: 0}, {Amps: -1}, {Amps: math.Inf(1)}, {Amps: 1, Continuous: 1.01}} {
		_, err := CheckSupply(s, 1)
		assert.Error(t, err)
	}
	whole, err := CheckSupply(prop.Supply{Amps: 10, Continuous: 1}, 10)
	require.NoError(t, err)
	assert.Equal(t, SupplyLoad{10, 10, 1, 10, 1, Good}, whole)
}
