package power

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

var ladderData = filepath.Join("..", "..", "testdata", "ladder")

// outside are the printed values of testdata/ladder/copper.json, each with its
// source there.
func outside(t *testing.T) map[string]map[string]any {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(ladderData, "copper.json"))
	require.NoError(t, err)
	var f struct{ Values map[string]map[string]any }
	require.NoError(t, json.Unmarshal(b, &f))
	return f.Values
}

func TestGaugesAgreeWithHandbook(t *testing.T) {
	all := outside(t)
	for awg := 10; awg <= 30; awg++ {
		row, ok := all[fmt.Sprintf("awg.%d", awg)]
		require.True(t, ok, awg)
		num := func(key string) float64 { return row[key].(float64) }
		kft := SolidOhmsPerKm(awg, 20) * 0.3048
		// the handbook prints four digits; 11 AWG has three and is off by 0.04 %
		assert.InEpsilon(t, num("handbook_ohm_per_kft"), kft, 5e-4, "AWG %d, handbook", awg)
		assert.InDelta(t, num("diameter_mm"), DiameterMM(awg), 6e-5, "AWG %d", awg)
		assert.InDelta(t, num("area_mm2"), AreaMM2(awg), 6e-5, "AWG %d", awg)
		assert.InEpsilon(t, num("ohm_per_km_20C"), SolidOhmsPerKm(awg, 20), 2e-4, "AWG %d", awg)
		assert.InEpsilon(t, num("ohm_per_km_75C"), SolidOhmsPerKm(awg, 75), 2e-4, "AWG %d", awg)
		w := prop.Wire{AWG: awg}
		assert.Equal(t, num("chassis_A"), ChassisAmps(w), "AWG %d, handbook", awg)
		assert.InDelta(t, num("cmil_over_700_A"), CautiousAmps(w), 6e-3, "AWG %d", awg)
	}
}

func TestStrandedAgreesWithCodeTable(t *testing.T) {
	all := outside(t)
	for _, awg := range []int{10, 12, 14, 16, 18} {
		row := all[fmt.Sprintf("nec.table8.%d", awg)]
		solid, err := OhmsPerMetre(prop.Wire{AWG: awg, Solid: true}, 75)
		require.NoError(t, err)
		strand, err := OhmsPerMetre(prop.Wire{AWG: awg}, 75)
		require.NoError(t, err)
		const kft = 304.8 // metres; three printed digits
		assert.InEpsilon(t, row["solid_ohm_per_kft"], solid*kft, 4.5e-3, "AWG %d, NEC chapter 9 table 8", awg)
		assert.InEpsilon(t, row["stranded_ohm_per_kft"], strand*kft, 7e-3, "AWG %d, NEC chapter 9 table 8", awg)
	}
}

func TestMetricTakesTheLimit(t *testing.T) {
	all := outside(t)
	for _, mm2 := range []float64{0.5, 0.75, 1, 1.5, 2.5, 4} {
		row := all[fmt.Sprintf("iec60228.%g", mm2)]
		flex, err := OhmsPerMetre(prop.Wire{MM2: mm2}, 20)
		require.NoError(t, err)
		solid, err := OhmsPerMetre(prop.Wire{MM2: mm2, Solid: true}, 20)
		require.NoError(t, err)
		assert.InEpsilon(t, row["class5_max"], flex*1000, 1e-9, "%g mm2, IEC 60228 class 5", mm2)
		assert.InEpsilon(t, row["class1_2_max"], solid*1000, 1e-9, "%g mm2, IEC 60228 class 1 and 2", mm2)
		assert.InEpsilon(t, row["ideal"], ohmMM2PerKm/mm2, 5e-4, "%g mm2, 1/58 ohm mm2/m (IEC 60028)", mm2)
	}
}

func TestWarmWire(t *testing.T) {
	cold, err := OhmsPerMetre(prop.Wire{AWG: 18}, 20)
	require.NoError(t, err)
	hot, err := OhmsPerMetre(prop.Wire{AWG: 18}, 60)
	require.NoError(t, err)
	assert.InDelta(t, 1.16, hot/cold, 0.003, "IACS 0.00393 per kelvin: 40 K more is 16 %")
	clad, err := OhmsPerMetre(prop.Wire{AWG: 18, Clad: true}, 20)
	require.NoError(t, err)
	assert.InDelta(t, 1.55, clad/cold, 0.08, "62 to 68 % IACS: about 1.5 times (common practice)")
}

func TestOddMetricSizesLieAboveIdealAndFall(t *testing.T) {
	last := 1e9
	for _, mm2 := range []float64{0.22, 0.34, 0.5, 0.6, 0.75, 0.9, 1, 1.2, 1.5, 2, 2.5, 3, 4, 6, 10} {
		r, err := OhmsPerMetre(prop.Wire{MM2: mm2}, 20)
		require.NoError(t, err)
		assert.Greater(t, r*1000, ohmMM2PerKm/mm2)
		assert.Less(t, r, last, "%g mm2", mm2)
		last = r
	}
}

func TestWiresRefused(t *testing.T) {
	for _, row := range []struct {
		wire prop.Wire
		says string
	}{
		{prop.Wire{}, "no wire size"},
		{prop.Wire{AWG: 99}, "99 AWG"},
		{prop.Wire{AWG: -3}, "-3 AWG"},
		{prop.Wire{MM2: -1}, "-1 mm2"},
		{prop.Wire{AWG: 18, MM2: 1}, "both"},
		{prop.Wire{MM2: 75}, "75 mm2"},
	} {
		_, err := OhmsPerMetre(row.wire, 20)
		assert.ErrorContains(t, err, row.says)
	}
}

func TestWhatMetricAndCladWireCarry(t *testing.T) {
	// 0.75 mm2 lies between 19 AWG (0.653) and 18 AWG (0.823): the thinner's
	// 14 A (handbook table); 0.75 mm2 is 1480 circular mils, at 700 an amp 2.11 A
	w := prop.Wire{MM2: 0.75}
	assert.Equal(t, 14.0, ChassisAmps(w))
	assert.InDelta(t, 2.11, CautiousAmps(w), 0.01)
	// the same heat at 1/0.62 of the resistance: root of 0.62 of the current
	clad := prop.Wire{AWG: 18, Clad: true}
	assert.InDelta(t, 16*0.787, ChassisAmps(clad), 0.01)
	assert.InDelta(t, 2.32*0.787, CautiousAmps(clad), 0.01)
	assert.Zero(t, ChassisAmps(prop.Wire{AWG: 36}), "not in the table")
	for want, w := range map[string]prop.Wire{
		"18 AWG": {AWG: 18}, "0.75 mm2": {MM2: 0.75}, "20 AWG solid": {AWG: 20, Solid: true},
		"1 mm2 copper-clad aluminium": {MM2: 1, Clad: true},
	} {
		assert.Equal(t, want, WireName(w))
	}
}
