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
			amps, slope := l.Amps(d, v)
			assert.InDelta(t, i+10*r+100*w, amps, 1e-9, "%g V", v)
			assert.InDelta(t, di+10*dr+100*dw, slope, 1e-9, "%g V", v)
			amps2, slope2 := c.Amps(d, v)
			assert.InDelta(t, amps, amps2, 1e-9)
			assert.InDelta(t, slope, slope2, 1e-9)
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
		c, err := CheckFuse(prop.Feed{WireMetre: 1, Wire: wire, FuseAmps: fuse}, prop.Supply{Volts: 5, Amps: supply}, load, 20)
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
	assert.Equal(t, []string{"F has no fuse in the file: fuse every feed at the supply end; 2 A suits the load."}, no.Sentences("F"))
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
	assert.Contains(t, strings.Join(at(33, 0, 100).Sentences("F"), " "), "no blade fuse is large enough, so split the load among more feeds")
	thin := FuseCheck{FuseAmps: 1, Amps: 3, LeastFuse: 3.75, Size: 4, SizeFits: Bad, WireAmps: 1, FreeAmps: 2, Fuse: Bad, Wire: Good}
	assert.Contains(t, thin.Sentences("F")[0], "; 4 A suits the load but not the wire: use thicker wire or more feeds")
	assert.Empty(t, FuseCheck{Size: 5, FuseAmps: 5, SizeFits: Good}.sizeText())
	assert.Equal(t, "1.5 A by a cautious rule", FuseCheck{WireAmps: 1.5}.wireText())
	assert.Equal(t, NotChecked, FuseCheck{}.carries(3))
	// The supply gives 6 A: 1.5 times that is what the wire may be left with.
	weak := at(2, 5, 6)
	assert.Equal(t, []float64{6, 9, 1.2}, []float64{weak.ShortAmps, weak.MostAmps, math.Round(weak.Times*100) / 100})
	assert.Equal(t, Doubtful, weak.Short)
	assert.Contains(t, weak.Sentences("F")[0], "F: a dead short draws 6.0 A (all the supply gives), which may take minutes to open the fuse, or never: the wire is then left with up to 9.0 A (5.9 A by a cautious rule, 32 A in free air). A 3 A fuse would open.")
	assert.True(t, weak.BySupply)
	assert.Contains(t, at(3.2, 5, 6).Sentences("F")[0], "The supply is too small to open a fuse for this load: use wire that carries 9.0 A")
	far, err := CheckFuse(prop.Feed{WireMetre: 40, Wire: wire, FuseAmps: 7.5}, prop.Supply{Volts: 5, Amps: 100}, 4, 20)
	require.NoError(t, err)
	assert.False(t, far.BySupply)
	assert.Contains(t, far.ShortText(), "(through this wire)")
	assert.Contains(t, strings.Join(far.Sentences("F"), " "), "Use thicker or shorter wire, or more feeds with smaller fuses.")
	bare, err := CheckFuse(prop.Feed{FuseAmps: 5}, prop.Supply{Volts: 5, Amps: 100}, 4, 20)
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

// What is said of a plan, at the edges of what makes it be said.
func TestWhatAPlanSays(t *testing.T) {
	p := prop.Porthole()
	base := func() *Report { return planned(t, p, 1) }
	said := func(change func(r *Report)) string {
		r := *base()
		r.Findings, r.Assumed = nil, nil
		change(&r)
		r.saySupply(p)
		r.sayVoltage(p)
		return strings.Join(r.Findings, "\n")
	}
	c := func(r *Report, change func(s *Solution)) {
		s := *r.Constant
		change(&s)
		r.Constant = &s
	}
	assert.Contains(t, said(func(r *Report) { c(r, func(s *Solution) { s.Dead, s.DeadAt = 1, 40 }) }), `1 pixel from pixel 5 of "middle ring" on gets no supply: plus is not carried over to it`)
	assert.NotContains(t, said(func(r *Report) {}), "get no supply")
	assert.Contains(t, said(func(r *Report) { r.Holds = false; c(r, func(s *Solution) { s.Lowest = 0.01 }) }), "The voltage falls to 0.01 V")
	assert.Contains(t, said(func(r *Report) { r.Holds = false; c(r, func(s *Solution) { s.Lowest = 0 }) }), "The copper cannot carry this load")
	assert.NotContains(t, said(func(r *Report) { r.Holds = true }), "falls to")
	assert.Contains(t, said(func(r *Report) { r.Extra = Placement{Possible: false} }), "no number of feeds")
	assert.NotContains(t, said(func(r *Report) { r.Extra = Placement{Possible: true} }), "feed")
	assert.Contains(t, said(func(r *Report) { r.Extra = Placement{Possible: true, Pixels: []int{5}, Lowest: 4.6} }), "add 1 more feed like the first: at pixel 6 of \"inner ring\"; the lowest voltage is then 4.60 V (the fewest found; not every placement of fewer could be tried).")
	assert.Contains(t, said(func(r *Report) { r.Extra = Placement{Possible: true, Proven: true, Pixels: []int{5, 143}, Lowest: 4.6} }), "add 2 more feeds like the first: at pixel 6 of \"inner ring\", at pixel 60 of \"outer ring\"; the lowest voltage is then 4.60 V.")
	assert.NotContains(t, said(func(r *Report) { r.MinVolts = 0; r.Extra = Placement{} }), "no number of feeds")
	for least, want := range map[int]bool{2: false, mostSupplies: false, mostSupplies + 1: true} {
		assert.Equal(t, want, strings.Contains(said(func(r *Report) { r.Supplies, r.SuppliesLeast = nil, least }), fmt.Sprintf("takes at least %d supplies", least)), "%d", least)
	}
	for least, want := range map[int]bool{0: false, 1: false, 2: true} {
		assert.Equal(t, want, strings.Contains(said(func(r *Report) { r.Supplies, r.SuppliesLeast, r.Pixels = nil, least, windowsUpTo+1 }), "takes at least"), "%d", least)
	}
	assert.NotContains(t, said(func(r *Report) { r.Supplies, r.SuppliesLeast, r.Pixels = nil, 2, windowsUpTo }), "takes at least")
	volts := func(v float64) string {
		q := *p
		q.Supply.Volts = v
		r := *base()
		r.Findings = nil
		r.saySupply(&q)
		return strings.Join(r.Findings, "\n")
	}
	assert.NotContains(t, volts(5.5)+volts(4.5), "The supply has")
	assert.Contains(t, volts(5.51), "that can destroy every pixel")
	assert.Contains(t, volts(4.49), "needs 4.5 V at least")
	assert.Contains(t, said(func(r *Report) { r.Supply.Load = Bad; r.SupplyLevel = 0.909 }), "at most level 90 % in this colour")
	assert.NotContains(t, said(func(r *Report) { r.Supply.Load = Good }), "for hours on end")
}

// What was taken for granted is said where the file does not give it.
func TestWhatAPlanTakesForGranted(t *testing.T) {
	assumed := func(change func(p *prop.Prop)) string {
		p := prop.Porthole()
		change(p)
		return strings.Join(planned(t, p, 0.1).Assumed, "\n")
	}
	none := func(p *prop.Prop) { p.Feeds = nil }
	assert.Contains(t, assumed(none), `the supply is taken to come in by the lead of "inner ring", `)
	assert.Contains(t, assumed(func(p *prop.Prop) { none(p); p.Runs[0].LeadIn = 0 }), "which has no lead_in and so costs no volts")
	assert.NotContains(t, assumed(none), "which has no lead_in")
	assert.Contains(t, assumed(func(p *prop.Prop) { none(p); p.Runs[2].Apart = true }), `by the lead of "inner ring" and "outer ring"`)
	assert.Contains(t, assumed(func(p *prop.Prop) { p.Runs[0].LeadIn = 0.5 }), "is taken to carry data and ground")
	assert.NotContains(t, assumed(func(p *prop.Prop) { p.Runs[0].LeadIn = 0 }), "is taken to carry data and ground")
	assert.Contains(t, assumed(func(p *prop.Prop) { p.LeadWire = prop.Wire{} }), "Leads between runs are taken as")
	assert.NotContains(t, assumed(func(p *prop.Prop) { p.LeadWire = prop.Wire{AWG: 18} }), "Leads between runs")
	assert.NotContains(t, assumed(func(p *prop.Prop) {
		p.LeadWire = prop.Wire{}
		p.Runs = p.Runs[:1]
		p.Feeds = p.Feeds[:1]
		p.Parts = nil
	}), "Leads between runs", "there is nothing between one run")
	assert.Contains(t, assumed(func(*prop.Prop) {}), "Wire is taken at 20 degrees")
	assert.NotContains(t, assumed(func(p *prop.Prop) { p.WireCelsius = 1 }), "Wire is taken at")
	assert.Contains(t, assumed(func(p *prop.Prop) { p.RailOhms = 0 }), "0.2 ohms a metre")
	assert.NotContains(t, assumed(func(p *prop.Prop) { p.RailOhms = 0.3 }), "0.2 ohms a metre")
	four := &prop.Prop{Runs: []prop.Run{{Name: "a"}, {Name: "b", Apart: true}, {Name: "c", Apart: true}}}
	assert.Equal(t, `"a" and "b" and "c"`, leadsIn(four))
	four.Runs = append(four.Runs, prop.Run{Name: "d", Apart: true})
	assert.Equal(t, `"a" and 3 more runs`, leadsIn(four))
	assert.Contains(t, wireless(&prop.Prop{Feeds: []prop.Feed{{}}}), "has no wire in the file")
	assert.Empty(t, wireless(&prop.Prop{Feeds: []prop.Feed{{WireMetre: 0.5}}}))
}

// Levels and voltages are written so that what is printed holds.
func TestFiguresAreRoundedSafely(t *testing.T) {
	for v, want := range map[float64]string{-0.001: "none", 0: "0.00 V", 4.999: "4.99 V", 4.5: "4.50 V", 0.57: "0.57 V"} {
		assert.Equal(t, want, words.Volts(v))
	}
	for v, want := range map[float64]int{0: 0, 0.57: 57, 0.999: 99, 1: 100, 0.0099: 0} {
		assert.Equal(t, want, FloorPercent(v))
	}
	for _, row := range []struct {
		dark  bool
		level float64
		want  string
	}{{false, 1, "does not hold even dark"}, {true, 0.009, "holds below level 1 % only in this colour"}, {true, 0.01, "holds up to level 1 % in this colour"}, {true, 1, "holds up to level 100 % in this colour"}} {
		assert.Equal(t, row.want, (&Report{HoldsDark: row.dark, HoldLevel: row.level}).HoldText())
	}
	after := func(c FuseCheck) string {
		return (&Report{After: []FeedReport{{Name: "new feed 1", Amps: 2.25, Check: c}}}).afterText()
	}
	assert.Equal(t, "With them, at full level: new feed 1 2.2 A (3 A fuse).", after(FuseCheck{Size: 3, SizeFits: Good}))
	assert.Contains(t, after(FuseCheck{Size: 3, SizeFits: Bad}), "(3 A fuse, but the wire is too thin for it)")
	assert.Contains(t, after(FuseCheck{}), "(no blade fuse is large enough)")
	assert.Contains(t, after(FuseCheck{Size: 1, SizeFits: Doubtful}), "(1 A fuse)")
	for level, band := range map[float64]string{0: "7.0", 0.1: "3.0 to 4.0"} {
		assert.Equal(t, band, (&Report{Amps: 7, Level: level, Band: &Band{{Amps: 3}, {Amps: 4}}}).AmpsText())
	}
	assert.Equal(t, "7.0", (&Report{Amps: 7, Level: 1}).AmpsText())
	text := func(low, high float64) string {
		return (&Report{Band: &Band{{HoldLevel: high}, {HoldLevel: low}}}).bandText(prop.Porthole())
	}
	assert.Contains(t, text(0.4, 0.7), ", and it holds up to level 40 to 70 %.")
	assert.Contains(t, text(0.4, 0.4), ", and it holds up to level 40 % either way.")
	assert.Contains(t, text(0.01, 0.01), "level 1 % either way")
	assert.NotContains(t, text(0, 0), "holds up to")
}

// A lead plug carries some 3 A; the joint that carries most is named, the others
// are counted, and a lead that is too thin comes first.
func TestJointsThatCarryTooMuch(t *testing.T) {
	p := prop.Porthole()
	said := func(js ...JointReport) string {
		r := &Report{Joints: js}
		r.sayJoints(p)
		return strings.Join(r.Findings, "\n")
	}
	assert.Empty(t, said(JointReport{Run: 1, Amps: 3}))
	assert.Equal(t, `3.1 A pass between "inner ring" and "middle ring": a usual 3-pin lead plug carries some 3 A: solder that joint, or bring in a feed there.`, said(JointReport{Run: 1, Amps: 3.1}))
	assert.Contains(t, said(JointReport{Run: 1, Amps: 4}, JointReport{Run: 2, Amps: 5}), `5.0 A pass between "middle ring" and "outer ring" (1 more such): `)
	assert.NotContains(t, said(JointReport{Run: 1, Amps: 2}, JointReport{Run: 2, Amps: 5}), "more such")
	assert.Contains(t, said(JointReport{Run: 2, Amps: 1, Lead: Bad}), "more than the lead of")
	assert.Empty(t, said(JointReport{Run: 2, Amps: 1, Lead: Doubtful}))
}

// What a fit says, at the edges of its words.
func TestWordsOfAFit(t *testing.T) {
	found := func(change func(r *FitResult)) *FitResult {
		r := &FitResult{Suspects: []Suspect{{Run: 1, Name: "J1", Ohms: 0.4, PlusMinus: 0.1, Weight: 0.97, Cost: 0.2}}, Nothing: 0.01, Allowed: 0.5, Level: 0.44, Noise: meterVolts, ownNoise: meterVolts}
		change(r)
		r.word()
		return r
	}
	assert.Equal(t, FitFound, found(func(*FitResult) {}).Verdict)
	assert.Contains(t, found(func(*FitResult) {}).Text, "About 0.40 Ω too much in J1 (0.30 to 0.50 Ω), in plus or minus; a meter between the rails cannot tell which; it costs 0.20 V, 40 % of the 0.50 V that may be lost on the way to a pixel, at level 44 %:")
	assert.Contains(t, found(func(r *FitResult) { r.Suspects[0].PlusMinus = 0.5 }).Text, "(0.00 to 0.90 Ω)")
	for w, want := range map[float64]FitVerdict{0.949: FitCantTell, 0.95: FitFound} {
		assert.Equal(t, want, found(func(r *FitResult) { r.Suspects[0].Weight = w }).Verdict, "weight %g", w)
	}
	for n, want := range map[float64]FitVerdict{0.1: FitFound, 0.101: FitGood} {
		assert.Equal(t, want, found(func(r *FitResult) { r.Nothing = n }).Verdict, "nothing %g", n)
	}
	for ohms, want := range map[float64]string{10: "About 10", 10.1: "as good as open"} {
		assert.Contains(t, found(func(r *FitResult) { r.Suspects[0].Ohms = ohms }).Text, want)
	}
	for cost, want := range map[float64]FitVerdict{0.05: FitGood, 0.0501: FitFound} { // a tenth of 0.5 V
		assert.Equal(t, want, found(func(r *FitResult) { r.Suspects[0].Cost = cost }).Verdict, "cost %g", cost)
	}
	assert.Contains(t, found(func(r *FitResult) { r.Suspects[0].Cost = 0.05 }).Text, "About 0.40 Ω more than planned in J1: that costs 50 mV, 10 % of the 0.50 V that may be lost on the way to a pixel, at level 44 %. Found and fine; worth mending is what costs more than 10 %.")
	assert.False(t, (&FitResult{}).fine(), "nothing was found to be fine")
	assert.True(t, (&FitResult{Allowed: 1, Suspects: []Suspect{{Weight: 0.009, Cost: 9}}}).fine(), "too unlikely to be named")
	assert.False(t, (&FitResult{Allowed: 1, Suspects: []Suspect{{Weight: 0.01, Cost: 9}}}).fine())
	assert.False(t, (&FitResult{Allowed: 1, Suspects: []Suspect{{Weight: 0.5, Ohms: 11}}}).fine())
	for _, row := range []struct {
		left, own float64
		want      bool
	}{{0.040, 0.010, false}, {0.041, 0.010, true}, {0.060, 0.020, false}, {0.063, 0.020, true}} {
		assert.Equal(t, row.want, (&FitResult{Left: row.left, ownNoise: row.own}).poor(), "%+v", row)
	}
	assert.Equal(t, FitPoor, found(func(r *FitResult) { r.Left = 0.05 }).Verdict)
	assert.Contains(t, found(func(r *FitResult) { r.Left = 0.05 }).Text, "(50 mV off)")
	for noise, want := range map[float64]bool{0.0199: false, 0.02: true} {
		assert.Equal(t, want, strings.Contains((&FitResult{Noise: noise}).noiseText(), "scatter by some 20 mV"), "%g", noise)
	}
	for v, want := range map[float64]string{0.099: "99 mV", 0.1: "0.10 V", 0.0005: "0 mV"} {
		assert.Equal(t, want, milli(v))
	}
	two := found(func(r *FitResult) {
		r.Suspects = []Suspect{{Name: "J1", Weight: 0.6, Cost: 1}, {Name: "J2", Weight: 0.36, Cost: 1}, {Name: "F1", Weight: 0.02, Cost: 1}}
		r.Nothing = 0.02
	})
	assert.Equal(t, FitCantTell, two.Verdict)
	assert.Contains(t, two.Text, "it may be J1, or J2. Measure")
	assert.Len(t, two.Named(), 3)
	two.Suspects[2].Weight = 0.0099
	assert.Len(t, two.Named(), 2)
	for v, want := range map[FitVerdict]int{FitTooFew: 0, FitGood: 0, FitFound: 2, FitCantTell: 2, FitPoor: 0, FitNone: 2} {
		two.Verdict = v
		assert.Len(t, two.Named(), want, "verdict %d", v)
	}
	assert.Equal(t, "as good as open", Suspect{Ohms: 11}.Much())
	assert.Equal(t, "0.40 Ω too much, give or take 0.10 Ω", Suspect{Ohms: 0.4, PlusMinus: 0.1}.Much())
}

// The noise of a meter is weighed by the readings: the scatter of made-up misses
// about a line, by the textbook's least squares.
func TestScatterAboutALine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := &fitter{noise: 0.020}
		var best caseFit
		want, free := 0.0, 0
		for place := range rapid.IntRange(1, 3).Draw(t, "places") {
			n := rapid.IntRange(1, 6).Draw(t, "levels")
			var xs, ys []float64
			for k := range n {
				level, miss := float64(k)/10, float64(rapid.IntRange(-5, 5).Draw(t, "miss"))
				f.readings = append(f.readings, Reading{Pixel: place, Level: level})
				best.misses = append(best.misses, miss)
				xs, ys = append(xs, level), append(ys, miss*2) // in units of 10 mV
			}
			if n < 3 {
				continue
			}
			mx, my := mean(xs), mean(ys)
			var sxy, sxx float64
			for i := range xs {
				sxy, sxx = sxy+(xs[i]-mx)*(ys[i]-my), sxx+(xs[i]-mx)*(xs[i]-mx)
			}
			for i := range xs {
				d := ys[i] - my - sxy/sxx*(xs[i]-mx)
				want += d * d
			}
			free += n - 2
		}
		sum, got := f.scatter(best)
		if math.Abs(sum-want) > 1e-6 || got != free {
			t.Fatalf("%g with %d degrees of freedom, want %g with %d", sum, got, want, free)
		}
		best.noise = 0.020
		own := meterVolts
		if free > 0 {
			own = meterVolts * max(1, math.Sqrt(want/float64(free)))
		}
		if math.Abs(f.ownNoise(best)-own) > 1e-9 {
			t.Fatalf("own noise %g, want %g", f.ownNoise(best), own)
		}
	})
	assert.InDelta(t, 1, sumOf(noisePrior), 1e-9, "what is thought of all noises together")
	require.Len(t, noisePrior, len(noiseSteps))
	// By Bayes' rule with a normal density, said another way.
	f := &fitter{noise: meterVolts}
	var best caseFit
	for k, miss := range []float64{3, -6, 3, 2, -4, 2} {
		f.readings, best.misses = append(f.readings, Reading{Pixel: k / 3, Level: float64(k%3) / 10}), append(best.misses, miss)
	}
	// What is left about lines: 3, -6, 3 and 2, -4, 2, whose squares are 54 and 24.
	total, all := 0.0, map[float64]float64{}
	for i, step := range noiseSteps {
		w := noisePrior[i] * math.Exp(-78/(2*step*step)) / (step * step)
		all[step*meterVolts], total = w, total+w
	}
	kept := 0.0
	for _, n := range f.noises(best) {
		assert.InDelta(t, all[n.volts]/total, n.share, 1e-9, "%g V", n.volts)
		assert.Greater(t, n.share, 0.02)
		kept += n.share
	}
	for _, w := range all {
		if w/total <= 0.02 {
			kept += w / total
		}

	}
	assert.InDelta(t, 1, kept, 1e-9, "none that counts is left out")
}

func mean(xs []float64) float64 { return sumOf(xs) / float64(len(xs)) }

func sumOf(xs []float64) (sum float64) {
	for _, x := range xs {
		sum += x
	}
	return sum
}

// Readings next to 0 V, by hand, in a prop of three rings with feeds at pixel 1
// and 85: where voltage ends, what to look at, and how likely each is.
func TestWhereVoltageEnds(t *testing.T) {
	p := prop.Porthole() // 36, 48 and 60 pixels
	at := func(pixel int, volts float64) Reading { return Reading{Pixel: pixel - 1, Volts: volts, Level: 0.2} }
	r, none := dead(p, []Reading{at(1, 4.9), at(37, 4.8)})
	assert.False(t, none)
	assert.Equal(t, FitTooFew, r.Verdict)
	for volts, want := range map[float64]bool{0.249: true, 0.25: false} {
		assert.Equal(t, want, Dead(p, Reading{Volts: volts}), "%g: a twentieth of 5 V", volts)
	}
	r, _ = dead(p, []Reading{at(1, 4.9), at(36, 4.8), at(37, 0), at(84, 0.1), at(85, 4.7)})
	assert.Equal(t, FitNone, r.Verdict)
	assert.Contains(t, r.Text, `No voltage after the joint between "inner ring" and "middle ring", at pixels 37 to 84 (4.80 V before it): look at the joint between "inner ring" and "middle ring", and at the joint between "middle ring" and "outer ring".`)
	require.Len(t, r.Suspects, 2)
	assert.Equal(t, []float64{0.5, 0.5}, []float64{r.Suspects[0].Weight, r.Suspects[1].Weight})
	assert.True(t, r.Suspects[0].Open())
	r, _ = dead(p, []Reading{at(1, 0), at(36, 0), at(37, 4.8)})
	assert.Contains(t, r.Text, `No voltage before the joint between "inner ring" and "middle ring", at pixels 1 to 36: look at the joint`)
	assert.Contains(t, r.Text, " with its fuse")
	r, _ = dead(p, []Reading{at(37, 4.8), at(40, 0), at(50, 4.8)})
	assert.Contains(t, r.Text, `No voltage at pixel 4 of "middle ring": look at the strip between pixels 1 and 4 of "middle ring", and at the strip between pixels 4 and 14 of "middle ring".`)
	r, _ = dead(p, []Reading{at(37, 4.8), at(40, 0), at(50, 4.8), at(100, 0), at(101, 0.2)})
	assert.Equal(t, 2, strings.Count(r.Text, "No voltage "))
	r, _ = dead(p, []Reading{at(1, 0), at(40, 0)})
	assert.Contains(t, r.Text, "No voltage arrives: all 2 readings are 0 V.")
	r, _ = dead(p, []Reading{at(1, 0.004)})
	assert.Contains(t, r.Text, "the only reading is 0 V.")
	r, _ = dead(p, []Reading{at(1, 0.005), at(2, 0.1)})
	assert.Contains(t, r.Text, "are next to 0 V (0.10 V at most).")
	up := func(pixel int, volts, level float64) Reading {
		return Reading{Pixel: pixel - 1, Volts: volts, Level: level}
	}
	r, _ = dead(p, []Reading{up(1, 4.9, 0.1), up(1, 0, 0.3), up(9, 4.9, 0.1)})
	assert.Contains(t, r.Text, `The voltage went away: 4.90 V at pixel 1 of "inner ring" at level 10 %, none there at level 30 %.`)
	r, _ = dead(p, []Reading{up(1, 4.9, 0.3), up(1, 0, 0.1)})
	assert.Contains(t, r.Text, `The voltage comes and goes: none at pixel 1 of "inner ring" at level 10 %, 4.90 V there at level 30 %.`)
	p.Runs[1].Apart = true
	r, _ = dead(p, []Reading{at(36, 4.8), at(37, 0)})
	assert.NotContains(t, r.Text, "the joint between", "plus does not pass there in the plan")
	assert.Empty(t, joints(p, 35, 36))
	assert.True(t, parted(p, 35, 36))
	assert.False(t, parted(p, 36, 50) || parted(p, 0, 35) || parted(p, 83, 84))
	assert.Len(t, joints(p, 83, 84), 1)
	assert.Empty(t, joints(p, 84, 90))
	assert.Empty(t, joints(p, -1, 90))
	lead := &prop.Prop{Supply: prop.Supply{Volts: 5}, Runs: []prop.Run{{Name: "a", Pixels: 9}}}
	r, _ = dead(lead, []Reading{at(1, 0), at(9, 4.9)})
	assert.Contains(t, r.Text, "the supply lead with its fuse")
	r, _ = dead(lead, []Reading{at(1, 4.9), at(9, 0)})
	assert.NotContains(t, r.Text, "the supply lead")
}

// What joints cost is worked out at the highest level at which supply and copper
// hold; a chip without a lowest voltage may lose a tenth.
func TestWhatIsAllowed(t *testing.T) {
	for lowest, want := range map[float64]float64{4.5: 0.5, 4: 1, 0: 0.5, 5: 0.5, 6: 0.5} {
		p := prop.Porthole()
		p.Chip.MinVolts = lowest
		n, err := NetworkOf(p)
		require.NoError(t, err)
		r := &FitResult{Suspects: []Suspect{{Run: 1, Ohms: 0.3, link: 35}, {Feed: 1, Ohms: 0.2}}}
		require.NoError(t, r.costs(p, n))
		assert.InDelta(t, want, r.Allowed, 1e-12, "lowest %g", lowest)
		assert.GreaterOrEqual(t, r.Level, 0.01)
		if lowest > 4.5 {
			continue
		}
		at, err := Plan(p, r.Level, FullWhite())
		require.NoError(t, err)
		assert.InDelta(t, 0.3*at.Joints[0].Amps, r.Suspects[0].Cost, 1e-6, "ohms times what passes the joint")
		assert.InDelta(t, 0.2*at.Feeds[1].Amps, r.Suspects[1].Cost, 1e-6)
		full := planned(t, p, 1)
		assert.InDelta(t, max(0.01, min(full.SupplyLevel, full.HoldLevel)), r.Level, 1e-6)
	}
}

// One reading above all others is the highest, and the first of two alike.
func TestHighestReading(t *testing.T) {
	assert.Equal(t, 1, highest([]Reading{{Volts: 4}, {Volts: 5}, {Volts: 5}, {Volts: 3}}))
	assert.Equal(t, 0, highest([]Reading{{Volts: 4}}))
}

// Groups of feeds within the limit, as few as can be; cuts lie between the
// groups, at a joint where there is one.
func TestFeedsInGroups(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var single []feedGroup
		limit := 10.0
		for i, a := range rapid.SliceOfN(rapid.IntRange(1, 11), 1, 8).Draw(t, "amps") {
			single = append(single, feedGroup{first: 10 * i, last: 10 * i, amps: float64(a)})
		}
		out := fill(single, limit)
		most := 0.0
		for _, f := range single {
			most = max(most, f.amps)
		}
		if (out == nil) != (most > limit) {
			t.Fatalf("%+v from %+v", out, single)
		}
		// The fewest, by trying: walk on and open a group only when it must be.
		need, now := 1, 0.0
		for _, f := range single {
			if now+f.amps > limit {
				need, now = need+1, 0
			}
			now += f.amps
		}
		if out != nil && len(out) != need {
			t.Fatalf("%d groups, %d do", len(out), need)
		}
		k := 0
		for _, g := range out {
			sum := 0.0
			if g.first != single[k].first {
				t.Fatal("a feed is left out")
			}
			for k < len(single) && single[k].first <= g.last {
				sum += single[k].amps
				k++
			}
			if math.Abs(sum-g.amps) > 1e-9 || sum > limit {
				t.Fatalf("%+v holds %g A", g, sum)
			}
		}
	})
	r := &Report{starts: []int{0, 20, 50}}
	assert.Equal(t, []int{20, 50, 33, 20, 50}, []int{r.startNear(22, 15, 60), r.startNear(48, 15, 60), r.startNear(33, 21, 49), r.startNear(35, 15, 60), r.startNear(36, 15, 60)})
	sums := make([]float64, 101)
	for i := range sums {
		sums[i] = float64(i) / 10
	}
	atJoints, still := (&Report{starts: []int{0, 45}}).cutsBetween([]feedGroup{{first: 0, last: 10, amps: 4.04}, {first: 60, last: 90, amps: 5.96}}, sums)
	assert.Equal(t, []int{40}, still, "4.04 A are drawn by 40 pixels, nearest")
	assert.Equal(t, []int{45}, atJoints)
	_, still = (&Report{starts: []int{0}}).cutsBetween([]feedGroup{{first: 0, last: 10, amps: 4.06}, {first: 60, last: 90, amps: 5.94}}, sums)
	assert.Equal(t, []int{41}, still)
	_, still = (&Report{starts: []int{0}}).cutsBetween([]feedGroup{{first: 0, last: 10, amps: 9}, {first: 60, last: 90, amps: 1}}, sums)
	assert.Equal(t, []int{60}, still, "never behind the next feed")
	_, still = (&Report{starts: []int{0}}).cutsBetween([]feedGroup{{first: 0, last: 10, amps: 0.1}, {first: 60, last: 90, amps: 9.9}}, sums)
	assert.Equal(t, []int{11}, still, "nor before the feed that it follows")
	assert.Equal(t, []float64{0, 1, 3}, sumsOf([]float64{1, 2}))
	n := &Network{Links: make([]Rails, 9), Loops: []Loop{{First: 2, Last: 6}, {First: 7, Last: 9}}}
	cut := cutPlus(n, []int{3})
	for i, l := range cut.Links {
		assert.Equal(t, i == 2, l.Plus == Broken, "link %d", i)
	}
	assert.True(t, cut.Loops[0].Plus == Broken && cut.Loops[1].Plus != Broken)
	for c, want := range map[int]bool{2: false, 3: true, 6: true, 7: false} {
		assert.Equal(t, want, cutPlus(n, []int{c}).Loops[0].Plus == Broken, "a ring cut before its pixel %d", c)
	}
}

// Places near handy ones that are free, and places that are brought apart.
func TestPlacesApart(t *testing.T) {
	handy := []int{0, 10, 20, 30}
	for _, row := range []struct {
		at    int
		taken []int
		want  int
		ok    bool
	}{{4, nil, 0, true}, {5, nil, 10, true}, {6, nil, 10, true}, {10, nil, 10, true}, {10, []int{10}, 20, true}, {11, []int{10}, 20, true}, {9, []int{10, 0}, 20, true}, {99, nil, 30, true}, {-5, nil, 0, true}, {9, []int{0, 10, 20, 30}, 0, false}, {31, []int{30, 20}, 10, true}} {
		got, ok := nearestFree(handy, row.at, row.taken)
		assert.Equal(t, row.ok, ok, "%+v", row)
		if ok {
			assert.Equal(t, row.want, got, "%+v", row)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		in := rapid.SliceOfN(rapid.IntRange(-3, 15), 1, 14).Draw(t, "at")
		out, ok := apart(append([]int(nil), in...), n)
		if ok != (len(in) <= n) {
			t.Fatalf("%v in %d: %v", in, n, ok)
		}
		for i, a := range out {
			if ok && (a < 0 || a >= n || i > 0 && a <= out[i-1]) {
				t.Fatalf("%v in %d gives %v", in, n, out)
			}
		}
	})
	got, _ := apart([]int{3, 3, 9}, 20)
	assert.Equal(t, []int{3, 4, 9}, got, "no more is moved than must be")
}

// What a network refuses names the place as people count.
func TestNetworksAreRefusedByPlace(t *testing.T) {
	good := func() *Network {
		return &Network{Volts: 5, Links: make([]Rails, 9), Taps: []Tap{{}, {Pixel: 9}}, Loops: []Loop{{First: 1, Last: 3}, {First: 4, Last: 9}}}
	}
	require.NoError(t, good().Check())
	for want, change := range map[string]func(n *Network){
		"the rails between pixel 4 and 5 have -1 and 0 ohms":              func(n *Network) { n.Links[3].Plus = -1 },
		"the rails between pixel 9 and 10 have 0 and -1 ohms":             func(n *Network) { n.Links[8].Minus = -1 },
		"feed 2 enters at pixel 11, but there are only 10 pixels":         func(n *Network) { n.Taps[1].Pixel = 10 },
		"feed 1 enters at pixel 0,":                                       func(n *Network) { n.Taps[0].Pixel = -1 },
		"the wires of feed 2 have 0 and -2 ohms":                          func(n *Network) { n.Taps[1].Minus = -2 },
		"a closed run from pixel 5 to 11 does not fit 10 pixels":          func(n *Network) { n.Loops[1].Last = 10 },
		"a closed run from pixel 0 to 4 does not fit":                     func(n *Network) { n.Loops[0].First = -1 },
		"a closed run from pixel 10 to 9 does not fit":                    func(n *Network) { n.Loops[1].First, n.Loops[1].Last = 9, 8 },
		"two closed runs share pixel 4: each pixel can lie in one only":   func(n *Network) { n.Loops[1].First = 3 },
		"the closing joint at pixel 4 has 0 and -3 ohms":                  func(n *Network) { n.Loops[0].Minus = -3 },
		"the supply has 0 V: give its voltage, such as 5 or 12":           func(n *Network) { n.Volts = 0 },
		"the supply has +Inf V: give its voltage":                         func(n *Network) { n.Volts = math.Inf(1) },
		"the rails between pixel 1 and 2 have NaN and 0 ohms: resistance": func(n *Network) { n.Links[0].Plus = math.NaN() },
	} {
		n := good()
		change(n)
		assert.ErrorContains(t, n.Check(), want)
	}
	n := good()
	n.Loops[0], n.Loops[1] = n.Loops[1], n.Loops[0]
	assert.NoError(t, n.Check(), "in any order")
	c := n.clone()
	c.Links[0].Plus, c.Taps[0].Pixel, c.Loops[0].First = 7, 7, 7
	assert.Equal(t, []any{0.0, 0, 4}, []any{n.Links[0].Plus, n.Taps[0].Pixel, n.Loops[0].First}, "a clone goes its own way")
	assert.Zero(t, conductance(Broken))
	assert.InDelta(t, 0.5, conductance(2), 1e-12)
	assert.InDelta(t, 1e6, conductance(0), 1e-3)
}

// The grades of a pixel, and the chart of them: of each column the worst.
func TestGradesAndColumns(t *testing.T) {
	r := &Report{Pixels: 6, MinVolts: 4.5, supply: 5, starts: []int{0, 3}, Constant: &Solution{Plus: []float64{5, 4.5, 4.49, 4.05, 4.04, 0}, Minus: make([]float64, 6), Dead: 1, Lowest: 0, At: 5}}
	for i, want := range []Grade{GradeHolds, GradeHolds, GradeLow, GradeLow, GradeWeak, GradeDead} {
		assert.Equal(t, want, r.Grade(i), "pixel %d", i+1)
	}
	left, grades := r.ChartColumns(100)
	assert.Equal(t, 7, left)
	assert.Equal(t, []Grade{GradeHolds, GradeHolds, GradeLow, GradeLow, GradeWeak, GradeDead}, grades)
	r.Constant.Dead = 0
	assert.Equal(t, GradeWeak, r.Grade(5), "0 V with a rail that reaches it")
	assert.Equal(t, "holx", string([]byte{GradeHolds.Letter(), GradeLow.Letter(), GradeWeak.Letter(), GradeDead.Letter()}))
	assert.Equal(t, []string{"holds", "a little low", "weak", "no supply"}, []string{GradeHolds.String(), GradeLow.String(), GradeWeak.String(), GradeDead.String()})
}

// The highest level that holds is where a straight line from dark to full meets
// the chip's lowest voltage: one pixel on a wire, by Ohm's law.
func TestHoldLevelByOhmsLaw(t *testing.T) {
	for _, ohms := range []float64{0.1, 1, 2, 5} {
		l, err := NewLadder(&Network{Volts: 5, Taps: []Tap{{Rails: Rails{ohms, ohms}}}})
		require.NoError(t, err)
		d := Draw{Idle: 0.01, Red: 0.1, Rest: 0.2}
		// 5 V less twice the wire times (0.01 + level x 0.3) A are 4.5 V.
		want := min(1, max(0, (0.5/(2*ohms)-0.01)/0.3))
		assert.InDelta(t, want, l.HoldLevel([]Draw{d}, 4.5), 1e-9, "%g ohms", ohms)
		assert.Zero(t, l.HoldLevel([]Draw{{Idle: 5}}, 4.5))
		sag, err := l.HoldLevelSagging([]Draw{d}, LawOf(prop.Chip{Volts: 5}), 4.5)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, sag, want-1e-3, "what sags draws less")
		sol, err := l.Sagging(nil, []Draw{{0.01, 0.1 * sag, 0.2 * sag}}, LawOf(prop.Chip{Volts: 5}))
		require.NoError(t, err)
		if sag > 0 && sag < 1 {
			assert.InDelta(t, 4.5, sol.Lowest, 0.01)
		}
		c := l.Constant(nil, []float64{0.2})
		assert.InDelta(t, 5-2*ohms*0.2, c.Lowest, 1e-9)
		assert.InDelta(t, 0.2, c.Taps[0].Plus, 1e-9)
		assert.InDelta(t, 0.2, c.Taps[0].Minus, 1e-9)
	}
}

// A joint of too much resistance is found where it is, from readings made with
// the solver itself, which ngspice bears out: before each run in turn, and none
// where nothing is wrong.
func TestFitFindsEachJoint(t *testing.T) {
	p := prop.Porthole()
	p.Feeds = p.Feeds[:1]
	for bad := range 3 {
		n, err := NetworkOf(p)
		require.NoError(t, err)
		if bad > 0 {
			n.Links[p.FirstPixel(bad)-1].Plus += 0.5
		}
		l, err := NewLadder(n)
		require.NoError(t, err)
		var readings []Reading
		for _, level := range []float64{0, 0.1, 0.2, 0.3} {
			on, _ := p.Lights()
			sol, err := l.Sagging(nil, draws(on, sent(p, level)), LawOf(p.Chip))
			require.NoError(t, err)
			for _, at := range []int{0, 35, 36, 83, 84, 143} {
				readings = append(readings, Reading{Level: level, Pixel: at, Volts: math.Round(sol.Volts(at)*100) / 100})
			}
		}
		r, err := Fit(p, readings)
		require.NoError(t, err)
		if bad == 0 {
			assert.Equal(t, FitGood, r.Verdict, r.Text)
			continue
		}
		require.Equal(t, FitFound, r.Verdict, r.Text)
		assert.Equal(t, bad, r.Suspects[0].Run)
		assert.InDelta(t, 0.5, r.Suspects[0].Ohms, max(0.05, r.Suspects[0].PlusMinus))
		assert.InDelta(t, 5, r.Supply, 0.05)
		assert.InDelta(t, 1, r.Share, 0.1)
	}
}
