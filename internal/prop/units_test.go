package prop

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestParseLength(t *testing.T) {
	// Source: the inch is 25.4 mm and the foot 12 in, exactly (international
	// yard and pound agreement, 1959); the rest by hand.
	rows := []struct {
		in     string
		metres float64
		inches bool
	}{
		{"93 in", 2.3622, true},
		{"81.5in", 2.0701, true},
		{"81 1/2 in", 2.0701, true},
		{"56-1/2 inches", 1.4351, true},
		{"1/4\"", 0.00635, true},
		{"25 ft", 7.62, true},
		{"7 ft 9 in", 2.3622, true},
		{"7' 9\"", 2.3622, true},
		{"7'9\"", 2.3622, true},
		{"1 yd", 0.9144, true},
		{"2.36 m", 2.36, false},
		{"191 mm", 0.191, false},
		{"30CM", 0.3, false},
		{"-12 in", -0.3048, true},
	}
	for _, row := range rows {
		t.Run(row.in, func(t *testing.T) {
			m, in, err := ParseLength(row.in)
			assert.NoError(t, err)
			assert.InDelta(t, row.metres, m, 1e-12)
			assert.Equal(t, row.inches, in)
		})
	}
}

func TestParseLengthRefuses(t *testing.T) {
	const write = `: write "93 in", "7 ft 9 in" or "2.36 m"`
	rows := map[string]string{
		"":          "a length is missing",
		"93":        `"93" has no unit`,
		"93 V":      `"93 V" has the unit "v", which is not that of a length`,
		"2,36 m":    `"2,36 m" has a comma; decimals take a point`,
		"in":        `"in" has no number where one is needed`,
		"1.2.3 m":   `"1.2.3 m" has no number where one is needed`,
		"12 in 3":   `"12 in 3" has no unit`,
		"1/0 in":    `"1/0 in" has the unit "/", which is not that of a length`,
		"93 in x 2": `"93 in x 2" has the unit "in x", which is not that of a length`,
	}
	for in, want := range rows {
		_, _, err := ParseLength(in)
		if assert.Error(t, err, in) {
			assert.Equal(t, want+write, err.Error())
		}
	}
}

func TestOtherQuantities(t *testing.T) {
	rows := []struct {
		q    quantity
		in   string
		want float64
	}{
		{volts, "5 V", 5}, {volts, "12volts", 12}, {volts, "4500 mV", 4.5},
		{amps, "20 mA", 0.02}, {amps, "7.5A", 7.5},
		{angles, "90 deg", 90}, {angles, "-45°", -45},
		{ohms, "50 mohm", 0.05}, {warmth, "-5 °C", -5},
		{shares, "80 %", 0.8}, {shares, "80%", 0.8},
		{density, "60 per metre", 60}, {density, "60/m", 60},
		{density, "18 per foot", 18 / 0.3048}, {density, "1.5 per inch", 1.5 / 0.0254},
		{railOhms, "0.2 ohm/m", 0.2}, {railOhms, "0.2 Ω/m", 0.2}, {railOhms, "50 mohm/m", 0.05},
	}
	for _, row := range rows {
		got, _, err := row.q.parse(row.in)
		assert.NoError(t, err, row.in)
		assert.InDelta(t, row.want, got, 1e-9, row.in)
	}
}

func TestParseWire(t *testing.T) {
	good := map[string]Wire{"18 AWG": {AWG: 18}, "22awg": {AWG: 22}, "0.75 mm2": {MM2: 0.75}, "1.5 mm²": {MM2: 1.5},
		"18 AWG solid": {AWG: 18, Solid: true}, "0.5 mm2 CCA": {MM2: 0.5, Clad: true}}
	for in, want := range good {
		w, err := ParseWire(in)
		assert.NoError(t, err, in)
		assert.Equal(t, want, w)
		back, err := ParseWire(w.String())
		assert.NoError(t, err)
		assert.Equal(t, w, back)
	}
	for in, want := range map[string]string{
		"99 AWG":     `"99 AWG" is no gauge known here: give a whole number from 10 (thick) to 30 (thin) AWG; or an area: "0.75 mm2"`,
		"18.5 AWG":   `"18.5 AWG" is no gauge known here: give a whole number from 10 (thick) to 30 (thin) AWG; or an area: "0.75 mm2"`,
		"18":         `"18" has no unit: write "18 AWG" or "0.75 mm2"`,
		"thick":      `"thick" is not a wire: write "18 AWG" or "0.75 mm2"`,
		"3 in":       `"3 in" has the unit "in", which is not that of a wire: write "18 AWG" or "0.75 mm2"`,
		"18 AWG red": `"18 AWG red" has the word "red", which is no kind of wire: write "18 AWG", "18 AWG solid" or "18 AWG clad" (copper-clad aluminium)`,
		"900 mm2":    `"900 mm2" is no wire for a prop: give 0.05 to 10 mm2`,
	} {
		_, err := ParseWire(in)
		if assert.Error(t, err, in) {
			assert.Equal(t, want, err.Error())
		}
	}
}

func TestFormatLength(t *testing.T) {
	rows := []struct {
		m      float64
		inches bool
		want   string
	}{
		{2.3622, true, "93 in"}, {2.0701, true, "81.5 in"}, {7.62, true, "25 ft"}, {7.7724, true, "25 ft 6 in"},
		{2.36, false, "2.36 m"}, {0.191, false, "19.1 cm"}, {0.0318, false, "31.8 mm"}, {0, false, "0 mm"}, {0, true, "0 in"},
		{3.0479, true, "120 in"}, {0.99999, false, "1 m"},
	}
	for _, row := range rows {
		assert.Equal(t, row.want, FormatLength(row.m, row.inches))
	}
}

// A foot is 0.3048 m by the same agreement; 30, 60 and 144 a metre are strips as they are sold.
func TestFormatDensity(t *testing.T) {
	assert.Equal(t, "60 per metre", FormatDensity(60, false))
	assert.Equal(t, "59.06 per metre", FormatDensity(18/0.3048, false))
	assert.Equal(t, "18 per foot", FormatDensity(18/0.3048, true))
	assert.Equal(t, "9.14 per foot", FormatDensity(30, true))
}

// Lengths on one rule have one unit; inch is 25.4 mm by definition (international yard
// and pound agreement of 1959).
func TestSameUnit(t *testing.T) {
	for _, row := range []struct {
		longest float64
		inches  bool
		want    []string // of 0, 31.8 mm, 318 mm and 1 m
	}{
		{0.09, false, []string{"0 mm", "31.8 mm", "318 mm", "1000 mm"}},
		{0.318, false, []string{"0 cm", "3.18 cm", "31.80 cm", "100 cm"}},
		{1.2, false, []string{"0 m", "0.032 m", "0.318 m", "1 m"}},
		{1.2, true, []string{"0 in", "1.25 in", "12.52 in", "39.37 in"}},
	} {
		write := SameUnit(row.longest, row.inches)
		for i, m := range []float64{0, 0.0318, 0.318, 1} {
			assert.Equal(t, row.want[i], write(m))
		}
	}
}

// What is written reads back as the same length, to the digits written.
func TestLengthRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.Float64Range(0, 900).Draw(t, "metres")
		inches := rapid.Bool().Draw(t, "inches")
		back, in, err := ParseLength(FormatLength(m, inches))
		if err != nil {
			t.Fatal(err)
		}
		tolerance := 0.0006
		if inches {
			tolerance = 0.0033 // an eighth of an inch: quarters from 10 ft on
		}
		if math.Abs(back-m) > tolerance || in != inches {
			t.Fatalf("%v wrote %q, which reads %v", m, FormatLength(m, inches), back)
		}
	})
}

func FuzzParseLength(f *testing.F) {
	for _, s := range []string{"93 in", "7 ft 9 in", "2.36 m", "1/2 in", "-1 1/2\"", "9e9 m", "٣ m"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		m, _, err := ParseLength(s)
		if err == nil && (math.IsNaN(m) || math.IsInf(m, 0)) {
			t.Fatalf("%q reads %v", s, m)
		}
		if _, err := ParseWire(s); err == nil && len(s) > 400 {
			t.Fatalf("a wire of %d letters", len(s))
		}
	})
}
