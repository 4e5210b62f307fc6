package prop

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every spelling of a unit is worth what its definition says: the inch is
// 25.4 mm, the foot 12 in, the yard 3 ft (international yard and pound
// agreement, 1959); the rest are SI prefixes.
func TestEverySpellingOfAUnit(t *testing.T) {
	const in, ft = 0.0254, 12 * 0.0254
	for _, row := range []struct {
		q     quantity
		units map[float64]string
	}{
		{lengths, map[float64]string{1: "m metre metres meter meters", 0.01: "cm", 0.001: "mm", in: `in inch inches " ″`, ft: "ft foot feet ' ′", 3 * ft: "yd"}},
		{volts, map[float64]string{1: "v volt volts vdc", 0.001: "mv"}},
		{amps, map[float64]string{1: "a amp amps ampere amperes", 0.001: "ma"}},
		{angles, map[float64]string{1: "deg degree degrees °"}},
		{shares, map[float64]string{0.01: "% percent"}},
		{density, map[float64]string{1: "per_metre per_meter per_m /m /metre /meter", 1 / ft: "per_foot per_ft /ft /foot", 1 / in: "per_inch per_in /in /inch"}},
		{ohms, map[float64]string{1: "ohm ohms ω", 0.001: "mohm mω"}},
		{warmth, map[float64]string{1: "c °c deg_c f °f deg_f"}},
		{railOhms, map[float64]string{1: "ohm/m ohm_per_metre ohm_per_meter ohms_per_metre ohms_per_meter ω/m Ω/m", 0.001: "mohm/m", 1 / ft: "ohm/ft ohm_per_foot ohms_per_foot"}},
	} {
		known := 0
		for factor, names := range row.units {
			for _, name := range strings.Fields(names) {
				name = strings.ReplaceAll(name, "_", " ")
				known++
				for _, number := range []float64{1, 7.5} {
					v, _, err := row.q.parse(fmt.Sprintf("%g %s", number, name))
					require.NoError(t, err, name)
					assert.InEpsilon(t, number*factor, v, 1e-9, "%s in %s", row.q.what, name)
				}
			}
		}
		assert.Len(t, row.q.units, known, "every unit of %s stands in the table here", row.q.what)
	}
}

// Each wire gauge and area from the thickest to the thinnest is taken, and the
// next beyond is not.
func TestWireLimits(t *testing.T) {
	for in, ok := range map[string]bool{"10 AWG": true, "9 AWG": false, "30 AWG": true, "31 AWG": false, "18 ga": true, "18 gauge": true, "0.05 mm2": true, "0.049 mm2": false,
		"10 mm2": true, "10.1 mm2": false, "1 sqmm": true, "1 mm^2": true, "18.5 AWG": false, "18 AWG stranded copper": true, "18 AWG solid clad": true} {
		w, err := ParseWire(in)
		assert.Equal(t, ok, err == nil, in)
		if ok {
			back, err := ParseWire(w.String())
			assert.NoError(t, err)
			assert.Equal(t, w, back)
		}
	}
	assert.Empty(t, Wire{}.String())
	assert.Equal(t, "1 AWG", Wire{AWG: 1}.String(), "also what no file may say is written as it is")
	assert.Equal(t, "0.125 mm2 solid clad", Wire{MM2: 0.125, Solid: true, Clad: true}.String())
}

// Lengths are written in the unit that reads best: below 0.1 m in mm, below
// 1 m in cm, and inches up to 10 ft, as rounding leaves them.
func TestLengthsAreWrittenToRead(t *testing.T) {
	for m, want := range map[float64]string{0.0994: "99.4 mm", 0.0996: "10 cm", 0.9994: "99.9 cm", 0.9996: "1 m", 1: "1 m", 1.2345: "1.234 m", -0.05: "-50 mm", -2: "-2 m", 0.00001: "0 mm", -0.00001: "0 mm"} {
		assert.Equal(t, want, FormatLength(m, false), "%g", m)
	}
	const in = 0.0254
	for inches, want := range map[float64]string{119.99: "119.99 in", 120: "10 ft", 120.1: "10 ft", 120.2: "10 ft 0.25 in", 131.9: "11 ft", 131.8: "10 ft 11.75 in", -126: "-10 ft 6 in", 0.125: "0.12 in", 0.3: "0.3 in"} {
		assert.Equal(t, want, FormatLength(inches*in, true), "%g in", inches)
	}
}

// Two props' places are said wrong when they cannot be parsed; the words do not
// hold more than one problem of one key.
func TestQuantitiesSayWhatIsWrong(t *testing.T) {
	for text, want := range map[string]string{`"0 m"`: "is zero", `"-1 m"`: "is negative", `"1001 m"`: "is too large", `5`: "5 has no unit", `2.5`: "2.5 has no unit", `[1]`: "needs a text in quotes"} {
		_, _, err := Parse([]byte(plain+"length = "+text+"\n"), "t.toml")
		require.ErrorContains(t, err, want)
		var ps Problems
		require.True(t, errors.As(err, &ps))
		assert.Len(t, ps, 1)
	}
	for text, want := range map[string]string{"\"30\"": "is not a whole number", "[1]": "a list is not a whole number", "{a = 1}": "a table is not a whole number", "3.0": "3.0 is not a whole number", "99999999999999999999": "is out of range"} {
		_, _, err := Parse([]byte(with("pixels = 30", "pixels = "+text)), "t.toml")
		assert.ErrorContains(t, err, want)
	}
	for text, ok := range map[string]bool{"true": true, "false": true, "1": false, "\"true\"": false} {
		p, _, err := Parse([]byte(plain+"closed = "+text+"\n"), "t.toml")
		assert.Equal(t, ok, err == nil, text)
		if ok {
			assert.Equal(t, text == "true", p.Runs[0].Closed)
		}
	}
	p, _, err := Parse([]byte(with("pixels = 30", "pixels = 1_0")), "t.toml")
	require.NoError(t, err)
	assert.Equal(t, 10, p.Runs[0].Pixels)
}
