package power

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

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
		c, err := CheckFuse(f, row.volts, 2, 20)
		require.NoError(t, err)
		assert.InDelta(t, all[row.key]["value"], c.ShortAmps, 0.01, row.key)
		assert.InDelta(t, 0.419, c.LoopOhms, 5e-4)
		assert.Equal(t, row.blow, c.Blow)
		assert.Contains(t, c.Blow.String(), row.word)
		said := strings.Join(c.Sentences("Feed 1"), "\n")
		assert.Equal(t, row.blow == BlowSlow, strings.Contains(said, "never open"))
	}
}

func TestFuseBetweenLoadAndWire(t *testing.T) {
	at := func(amps, fuse float64, awg int) FuseCheck {
		c, err := CheckFuse(prop.Feed{WireMetre: 1, Wire: prop.Wire{AWG: awg}, FuseAmps: fuse}, 5, amps, 20)
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
