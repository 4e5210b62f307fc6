package power

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
)

// A dead short at the end of 10 m of solid 18 AWG: worked by hand from 20 m of
// 20.948 ohms a kilometre (handbook 6.385 ohms a thousand feet) = 0.419 ohms.
func TestShortAtTheEndOfALongFeed(t *testing.T) {
	all := outside(t)
	for _, row := range []struct {
		volts float64
		key   string
		blow  Blow
		word  string
	}{
		{5, "fault.18awg_10m_5v_short", BlowSlow, "minutes"},
		{12, "fault.18awg_10m_12v_short", BlowFast, "second"},
	} {
		f := prop.Feed{WireMetre: 10, Wire: prop.Wire{AWG: 18, Solid: true}, FuseAmps: 10}
		c, err := CheckFuse(f, prop.Supply{Volts: row.volts, Amps: 60}, both(2), 20)
		require.NoError(t, err)
		assert.InDelta(t, all[row.key]["value"], c.ShortAmps, 0.01, row.key)
		assert.InDelta(t, 0.419, c.LoopOhms, 5e-4)
		assert.Equal(t, row.blow, c.Blow)
		assert.Contains(t, c.Blow.String(), row.word)
		said := strings.Join(c.Sentences("Feed 1"), "\n")
		assert.Equal(t, row.blow == BlowSlow, strings.Contains(said, "or never"))
	}
}

// A dead short is what the supply can give, and one verdict says so: sums by
// hand from 1.5 m of 18 AWG (20.948 ohms a kilometre solid, 2 % more stranded),
// 0.0641 ohms there and back, which lets 78 A through at 5 V.
func TestShortIsWhatTheSupplyGives(t *testing.T) {
	for _, row := range []struct {
		why          string
		supply, fuse float64
		load         float64
		awg          int
		short        float64
		blow         Blow
		verdict      Verdict
	}{
		{"3 A through a 30 A fuse; 4.5 A at most on wire good for 2.3 A, 16 A in free air", 3, 30, 2, 18, 3, BlowNever, Bad},
		{"5 A is twice 2.5 A", 5, 2, 1, 18, 5, BlowSeconds, Good},
		{"10 A is 1.33 times 7.5 A, wire left with 15 A", 10, 7.5, 2, 18, 10, BlowSlow, Doubtful},
		{"the same, but 22 AWG carries 7 A at most", 10, 7.5, 0.5, 22, 10, BlowSlow, Bad},
		{"30 A is three times 10 A", 30, 10, 4, 14, 30, BlowFast, Doubtful},
		{"30 A is six times 5 A", 30, 5, 4, 14, 30, BlowFast, Good},
		{"more than the copper lets through: 78 A", 200, 2, 1, 18, 78, BlowFast, Good},
		{"3 A supply, wire that carries 4.5 A: nothing can happen to it", 3, 5, 2, 14, 3, BlowNever, Good},
	} {
		c, err := CheckFuse(prop.Feed{WireMetre: 1.5, Wire: prop.Wire{AWG: row.awg}, FuseAmps: row.fuse}, prop.Supply{Volts: 5, Amps: row.supply}, both(row.load), 20)
		require.NoError(t, err)
		assert.InDelta(t, row.short, c.ShortAmps, 0.1, row.why)
		assert.Equal(t, row.blow, c.Blow, row.why)
		assert.Equal(t, row.verdict, c.Verdict, row.why)
		assert.Equal(t, row.verdict == Good, len(c.Sentences("Feed 1")) == 0, row.why)
		assert.NotContains(t, strings.Join(c.Sentences("x"), " "), "about a second", row.why)
	}
}

// There is a sentence exactly when the verdict is not good, whatever the feed.
func TestVerdictAndSentencesAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := prop.Feed{WireMetre: rapid.Float64Range(0, 20).Draw(t, "metres"), Wire: prop.Wire{AWG: rapid.IntRange(10, 30).Draw(t, "awg")},
			FuseAmps: rapid.SampledFrom([]float64{0, 1, 2, 3, 5, 7.5, 10, 30}).Draw(t, "fuse")}
		s := prop.Supply{Volts: rapid.SampledFrom([]float64{5, 12, 24}).Draw(t, "volts"), Amps: rapid.Float64Range(0.5, 60).Draw(t, "amps")}
		c, err := CheckFuse(f, s, both(rapid.Float64Range(0, 40).Draw(t, "load")), 20)
		if err != nil {
			t.Fatal(err)
		}
		if said := len(c.Sentences("Feed 1")) > 0; said != (c.Verdict != Good && c.Verdict != NotChecked) {
			t.Fatalf("verdict %s, said %v", c.Verdict, c.Sentences("Feed 1"))
		}
		if c.ShortAmps > s.Amps || c.LoopOhms > 0 && c.ShortAmps > s.Volts/c.LoopOhms {
			t.Fatalf("a short of %g A is more than supply or copper gives", c.ShortAmps)
		}
	})
}

func TestFuseBetweenLoadAndWire(t *testing.T) {
	at := func(amps, fuse float64, awg int) FuseCheck {
		c, err := CheckFuse(prop.Feed{WireMetre: 1, Wire: prop.Wire{AWG: awg}, FuseAmps: fuse}, prop.Supply{Volts: 5, Amps: 100}, both(amps), 20)
		require.NoError(t, err)
		return c
	}
	// load / 0.8 <= fuse <= wire (common practice); wires by the table of
	// copper.json: 14 AWG 5.87 A cautious, 32 A in free air
	for _, row := range []struct {
		why        string
		amps, fuse float64
		awg        int
		fuseIs     Verdict
		wireIs     Verdict
		size       float64
	}{
		{"4 A / 0.8 = 5 A, wire 5.87 A", 4, 5, 14, Good, Good, 5},
		{"4.1 A / 0.8 = 5.125 A", 4.1, 5, 14, Bad, Good, 7.5},
		{"7.5 A fuse over 5.87 A, under 32 A", 4, 7.5, 14, Doubtful, Good, 5},
		{"load over the cautious figure", 7, 10, 14, Doubtful, Doubtful, 10},
		{"20 A on 24 AWG, 3.5 A in free air", 3, 20, 24, Bad, Doubtful, 4},
		{"no fuse", 3, 0, 14, NotChecked, Good, 4},
		{"more than any blade", 26, 30, 10, Bad, Doubtful, 0},
	} {
		c := at(row.amps, row.fuse, row.awg)
		assert.Equal(t, row.fuseIs, c.Fuse, row.why)
		assert.Equal(t, row.wireIs, c.Wire, row.why)
		assert.Equal(t, row.size, c.Size, row.why)
		if row.fuseIs != Good || row.wireIs != Good {
			assert.NotEmpty(t, c.Sentences("Feed 1"), row.why)
		} else {
			assert.Empty(t, c.Sentences("Feed 1"), row.why)
		}
	}
}

func TestSupplyLoad(t *testing.T) {
	s, err := CheckSupply(prop.Supply{Volts: 5, Amps: 10}, 8)
	require.NoError(t, err)
	assert.Equal(t, Good, s.Load, "80 % of the plate (common practice)")
	s, err = CheckSupply(prop.Supply{Volts: 5, Amps: 10}, 8.1)
	require.NoError(t, err)
	assert.Equal(t, Bad, s.Load)
	_, err = CheckSupply(prop.Supply{Volts: 5}, 1)
	assert.ErrorContains(t, err, "rated 0 A")
	_, err = CheckSupply(prop.Supply{Volts: 5, Amps: 1, Continuous: 1.5}, 1)
	assert.ErrorContains(t, err, "1.5")
}

// A fuse protects the thinnest wire after it: 15 A on thick feed wire leaves leads of 30
// AWG, 0.86 A in free air by the handbook's table, to burn. A run apart is not behind it.
func TestAFuseProtectsTheLeadsAfterIt(t *testing.T) {
	p := prop.Porthole()
	p.LeadWire = prop.Wire{AWG: 30}
	p.Feeds = []prop.Feed{{Pixel: 0, WireMetre: 0.3, Wire: prop.Wire{AWG: 10}, FuseAmps: 15}}
	p.Supply.Amps = 40
	said := func() (FuseCheck, string) {
		f := planned(t, p, 1).Feeds[0].Check
		return f, strings.Join(f.Sentences("Feed 1"), "\n")
	}
	f, text := said()
	assert.Equal(t, Bad, f.Verdict)
	assert.Equal(t, "not good", f.Word())
	assert.Contains(t, text, "Feed 1: the 15 A fuse does not protect the leads between runs, 30 AWG (0.14 A by a cautious rule, 0.9 A in free air): power off, then use thicker leads")
	assert.Contains(t, f.Why(), "fuse too large for the leads")
	p.LeadWire = prop.Wire{AWG: 18} // 16 A
	f, text = said()
	assert.Equal(t, Good, f.Leads)
	assert.NotContains(t, text, "leads between runs")
	p.LeadWire = prop.Wire{AWG: 30}
	p.Runs[1].Apart, p.Feeds = true, append(p.Feeds, prop.Feed{Pixel: 40, FuseAmps: 15})
	f, _ = said()
	assert.Equal(t, NotChecked, f.Leads, "plus does not pass on from the first run")
	assert.Equal(t, Bad, planned(t, p, 1).Feeds[1].Check.Leads, "from the second to the third it does")
	for i := range p.Runs {
		p.Runs[i].LeadIn, p.Runs[i].LeadOut = 0, 0
	}
	assert.Equal(t, NotChecked, planned(t, p, 1).Feeds[1].Check.Leads, "there are no leads")
}

// A fuse that is proposed protects the leads as one of the file does: 7.5 A for the load
// of a thick feed leaves leads of 26 AWG, 2.2 A in free air, to burn. With the feeds to add
// the load falls, and where plus is cut a feed has only the leads up to there after it.
func TestAProposedFuseIsHeldAgainstTheLeads(t *testing.T) {
	p := prop.Porthole()
	p.LeadWire = prop.Wire{AWG: 26}
	p.Feeds = []prop.Feed{{Pixel: 60, WireMetre: 0.5, Wire: prop.Wire{AWG: 12}}}
	p.Supply.Amps = 20
	r := planned(t, p, 1)
	f := r.Feeds[0].Check
	assert.Equal(t, Bad, f.SizeLeads)
	assert.Contains(t, strings.Join(f.Sentences("Feed 1"), "\n"), "15 A suits the load but not the leads between runs, 26 AWG (0.36 A by a cautious rule, 2.2 A in free air): power off, then use thicker leads or more feeds.")
	require.NotEmpty(t, r.After)
	for _, f := range r.After {
		assert.Equal(t, f.Check.Size > 2.2, strings.Contains(f.LoadText(), "the leads are too thin for it"), f.LoadText())
	}
	p.Runs[1].LeadIn, p.Runs[1].LeadOut, p.Runs[0].LeadOut, p.Runs[2].LeadIn = 0, 0, 0, 0.1
	p.Runs[1].Apart, p.Feeds = true, append(p.Feeds, prop.Feed{Pixel: 0, WireMetre: 0.5, Wire: prop.Wire{AWG: 12}})
	r = planned(t, p, 1)
	assert.Equal(t, Bad, r.Feeds[0].Check.SizeLeads, "the lead to the third run")
	assert.Equal(t, NotChecked, r.Feeds[1].Check.SizeLeads, "no lead carries its plus")
}

// Blade fuses are rated 32 V DC: above that an arc may stay.
func TestBladeFusesAreForThirtyTwoVolts(t *testing.T) {
	p := prop.Porthole()
	for volts, said := range map[float64]bool{5: false, 32: false, 36: true, 48: true} {
		p.Supply.Volts, p.Chip.Volts, p.Chip.MinVolts = volts, volts, 0.9*volts
		text := strings.Join(planned(t, p, 1).Findings, "\n")
		assert.Equal(t, said, strings.Contains(text, "Blade fuses are rated 32 V DC"), "%g V", volts)
	}
}

// both is a load that minus brings back as plus brings it.
func both(amps float64) Rails { return Rails{amps, amps} }
