package power

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// What is said of a plan, at the edges of what makes it be said.
func TestWhatAPlanSays(t *testing.T) {
	p := prop.Porthole()
	base := func() *Report { return planned(t, p, 1) }
	said := func(change func(r *Report)) string {
		r := *base()
		r.Findings, r.Assumed = nil, nil
		change(&r)
		r.addSupplyFindings(p)
		r.addVoltageFindings(p)
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
	for least, want := range map[int]bool{2: false, 64: false, 65: true} {
		assert.Equal(t, want, strings.Contains(said(func(r *Report) { r.Supplies, r.SuppliesLeast = nil, least }), fmt.Sprintf("takes at least %d supplies", least)), "%d", least)
	}
	for least, want := range map[int]bool{0: false, 1: false, 2: true} {
		assert.Equal(t, want, strings.Contains(said(func(r *Report) { r.Supplies, r.SuppliesLeast, r.Pixels = nil, least, 2001 }), "takes at least"), "%d", least)
	}
	assert.NotContains(t, said(func(r *Report) { r.Supplies, r.SuppliesLeast, r.Pixels = nil, 2, 2000 }), "takes at least")
	volts := func(v float64) string {
		q := *p
		q.Supply.Volts = v
		r := *base()
		r.Findings = nil
		r.addSupplyFindings(&q)
		return strings.Join(r.Findings, "\n")
	}
	assert.NotContains(t, volts(5.5)+volts(4.5), "The supply has")
	assert.Contains(t, volts(5.51), "that can destroy every pixel")
	assert.Contains(t, volts(4.49), "needs 4.5 V at least")
	assert.Contains(t, said(func(r *Report) { r.Supply.Load, r.SupplyLevel, r.HoldLevel = Bad, 0.909, 0.95 }), "at most level 90 % in this colour")
	assert.Contains(t, said(func(r *Report) { r.Supply.Load, r.SupplyLevel, r.HoldLevel = Bad, 0.909, 0.44 }), "or level 90 % by its amps alone; the voltage allows less, level 44 %")
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
	assert.Contains(t, assumed(func(p *prop.Prop) {
		p.LeadWire = prop.Wire{}
		p.Runs = p.Runs[:2]
		p.Feeds = p.Feeds[:1]
		p.Parts = nil
	}), "Leads between runs", "between two there is one")
	assert.Contains(t, assumed(func(*prop.Prop) {}), "Wire is taken at 20 degrees")
	assert.NotContains(t, assumed(func(p *prop.Prop) { p.WireCelsius = 1 }), "Wire is taken at")
	assert.Contains(t, assumed(func(p *prop.Prop) { p.RailOhms = 0 }), "0.2 ohms a metre")
	assert.NotContains(t, assumed(func(p *prop.Prop) { p.RailOhms = 0.3 }), "0.2 ohms a metre")
	four := &prop.Prop{Runs: []prop.Run{{Name: "a"}, {Name: "b", Apart: true}, {Name: "c", Apart: true}}}
	assert.Equal(t, `"a" and "b" and "c"`, leadsIn(four))
	four.Runs = append(four.Runs, prop.Run{Name: "d", Apart: true})
	assert.Equal(t, `"a" and 3 more runs`, leadsIn(four))
	assert.Contains(t, noWireText(&prop.Prop{Feeds: []prop.Feed{{}}}), "has no wire in the file")
	assert.Empty(t, noWireText(&prop.Prop{Feeds: []prop.Feed{{WireMetre: 0.5}}}))
}

// Levels and voltages are written so that what is printed holds.
func TestFiguresAreRoundedSafely(t *testing.T) {
	for v, want := range map[float64]string{-0.001: "0 V", 0: "0.00 V", 4.999: "4.99 V", 4.5: "4.50 V", 0.57: "0.57 V"} {
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
		c.Amps, c.Plus = 2.25, 2.25
		return (&Report{After: []FeedReport{{Name: "new feed 1", Amps: 2.25, Check: c}}}).afterText()
	}
	assert.Equal(t, "With them, at full level, new feed 1: 2.2 A (3 A fuse).", after(FuseCheck{Size: 3, SizeFits: Good}))
	assert.Contains(t, after(FuseCheck{Size: 3, SizeFits: Bad}), "(3 A fuse, but the wire is too thin for it)")
	assert.Contains(t, after(FuseCheck{Size: 1, SizeFits: Bad}), "(1 A fuse, but the wire is too thin for it)")
	assert.Contains(t, after(FuseCheck{}), "(no blade fuse is large enough)")
	assert.Contains(t, after(FuseCheck{Size: 1, SizeFits: Doubtful}), "(1 A fuse)")
	for level, band := range map[float64]string{0: "7.0", 0.1: "3.0 to 4.0"} {
		assert.Equal(t, band, (&Report{Amps: 7, Level: level, Band: &Band{{Amps: 3}, {Amps: 4}}}).AmpsText())
	}
	assert.Equal(t, "7.0", (&Report{Amps: 7, Level: 1}).AmpsText())
	text := func(low, high float64) string {
		return strings.Join((&Report{Band: &Band{{HoldLevel: high}, {HoldLevel: low}}}).bandText(prop.Porthole()), " ")
	}
	assert.Contains(t, text(0.4, 0.7), "It holds up to level 40 to 70 %.")
	assert.Contains(t, text(0.4, 0.4), "It holds up to level 40 % either way.")
	assert.Contains(t, text(0.01, 0.01), "level 1 % either way")
	assert.NotContains(t, text(0, 0), "holds up to")
}

// A lead plug carries some 3 A; the joint that carries most is named, the others
// are counted, and a lead that is too thin comes first, whatever the others carry.
func TestJointsThatCarryTooMuch(t *testing.T) {
	p := prop.Porthole()
	said := func(js ...JointReport) string {
		r := &Report{Joints: js}
		r.addJointFindings(p)
		return strings.Join(r.Findings, "\n")
	}
	assert.Empty(t, said(JointReport{Run: 1, Amps: 3}))
	assert.Equal(t, `3.1 A pass between "inner ring" and "middle ring": a usual 3-pin lead plug carries some 3 A: power off, then solder that joint, or bring in a feed there.`, said(JointReport{Run: 1, Amps: 3.1}))
	assert.Contains(t, said(JointReport{Run: 1, Amps: 4}, JointReport{Run: 2, Amps: 5}), `5.0 A pass between "middle ring" and "outer ring" (1 more such): `)
	assert.NotContains(t, said(JointReport{Run: 1, Amps: 2}, JointReport{Run: 2, Amps: 5}), "more such")
	assert.Contains(t, said(JointReport{Run: 2, Amps: 1, Lead: Bad}), "more than the lead of")
	assert.Equal(t, `2.9 A pass between "middle ring" and "outer ring". The lead of 20 AWG is good for that in free air only (1.5 A by a cautious rule, 11 A in free air). In a closed prop power off, then use a thicker lead or one more feed.`,
		said(JointReport{Run: 2, Amps: 2.9, Lead: Doubtful}))
	assert.NotContains(t, said(JointReport{Run: 2, Amps: 3.1, Lead: Doubtful}), "free air", "the plug is less than the lead")
	hidden := said(JointReport{Run: 1, Amps: 5}, JointReport{Run: 2, Amps: 3, Lead: Bad})
	assert.Contains(t, hidden, `3.0 A pass between "middle ring" and "outer ring". That is more than the lead of`, "a joint without a lead that carries more does not hide it")
	assert.Contains(t, hidden, `5.0 A pass between "inner ring" and "middle ring": a usual 3-pin`)
}
