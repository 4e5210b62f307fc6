package prop

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestChipFigures(t *testing.T) {
	rows := []struct {
		name, source string
		idle, white  float64 // amps a pixel, dark and with every channel at full
		perMetre     float64 // pixels
		slots        int
	}{
		{"WS2812B", "common practice 60 mA white; idle measured just under 1 mA", 0.001, 0.060, 60, 3},
		{"ws2812b v5", "two published measurements 33.3 and 33.5 mA, 36 by the sheet (from memory)", 0.001, 0.036, 60, 3},
		{"WS2811", "datasheet and list: 20 groups a metre, 55.5 mA a group, 0.7 mA idle", 0.0007, 0.0555, 20, 3},
		{"WS2813", "public chip list: 18 mA, 0.7 mA idle", 0.0007, 0.054, 60, 3},
		{"WS2815", "public chip list: 2.1 mA idle at 12 V; 15 mA claimed, where the list has 10", 0.0021, 0.045, 60, 3},
		{"GS8208", "public chip list: 2.5 mA idle; 15 mA claimed, 10 measured", 0.0025, 0.045, 60, 3},
		{"SK6812", "public chip list: 20 mA, 1 mA idle", 0.001, 0.060, 60, 3},
		{"sk6812-rgbw", "datasheet Rev 01 and list: 32 bits, about 20 mA", 0.001, 0.080, 60, 4},
		{"APA102", "format documents for the order; currents from memory", 0.001, 0.060, 60, 3},
		{"bulb RGBW", "common practice: 4 slots", 0.010, 0.8, 0, 4},
		{"bulb RGBWC", "common practice: 5 slots with two whites", 0.010, 1.0, 0, 5},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			c, ok := ChipByName(row.name)
			assert.True(t, ok, row.source)
			assert.InDelta(t, row.idle, c.IdleAmps, 1e-9, row.source)
			assert.InDelta(t, row.white, c.ChannelAmps*float64(c.Order.Slots()), 1e-9, row.source)
			assert.InDelta(t, row.perMetre, c.PixelsPerMetre(), 1e-9, row.source)
			assert.Equal(t, row.slots, c.Order.Slots(), row.source)
		})
	}
}

func TestEveryChipIsWhole(t *testing.T) {
	for _, k := range KnownChips() {
		_, err := ParseOrder(string(k.Order))
		assert.NoError(t, err, k.Name)
		assert.NotEmpty(t, k.Source, k.Name)
		assert.Less(t, k.MinVolts, k.Volts, k.Name)
		assert.Greater(t, k.MinVolts, k.Volts/2, k.Name)
		found, ok := ChipByName(k.Name)
		assert.True(t, ok)
		assert.Equal(t, k.Chip, found)
	}
	_, ok := ChipByName("WS9999")
	assert.False(t, ok)
}

// The spread under one name: pixels.md's readings (33.25 and 33.5 mA white by
// two meters, 52.5 mA by a third, 20 mA a channel common practice; 10 mA
// measured and 15 claimed for the 12 V kinds).
func TestSpreadUnderOneName(t *testing.T) {
	c, _ := ChipByName("WS2812B")
	low, high, ok := c.Spread()
	assert.True(t, ok)
	assert.InDelta(t, 0.0333, 3*low.ChannelAmps+low.IdleAmps, 0.001)
	assert.InDelta(t, 0.061, 3*high.ChannelAmps+high.IdleAmps, 1e-9)
	for _, k := range KnownChips() {
		if k.High.Channel == 0 {
			_, _, ok := k.Spread()
			assert.False(t, ok, k.Name)
			continue
		}
		assert.GreaterOrEqual(t, k.High.Channel, 4.0/3*k.Low.Channel, "%s: less than a third is no band", k.Name)
		assert.LessOrEqual(t, k.Low.Channel, k.ChannelAmps)
		assert.Equal(t, Current{k.IdleAmps, k.ChannelAmps}, k.High, "%s: fuses, wires and volts are checked with the most it may draw", k.Name)
	}
	c.ChannelAmps = 0.013
	_, _, ok = c.Spread()
	assert.False(t, ok, "a reading of one's own ends it")
	bulb, _ := ChipByName("bulb")
	_, _, ok = bulb.Spread()
	assert.False(t, ok)
}

// Timing by pixels.md; a bulb hangs on the network and has none.
func TestDataTiming(t *testing.T) {
	for name, want := range map[string][2]float64{"WS2812B": {1.25, 50}, "WS2812B V5": {1.25, 280}, "WS2811": {1.25, 50}, "WS2815": {1.25, 300}, "SK6812 RGBW": {1.25, 80}} {
		k, ok := KnownByName(name)
		assert.True(t, ok)
		assert.Equal(t, want, [2]float64{k.Data.BitMicros, k.Data.ResetMicros}, name)
		assert.NotEmpty(t, k.Data.Source)
	}
	bulb, _ := KnownByName("bulb")
	assert.Zero(t, bulb.Data)
}
