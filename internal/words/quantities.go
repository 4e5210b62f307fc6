package words

import (
	"fmt"
	"math"
	"strconv"
)

// Volts writes a voltage, planned or measured, in hundredths of a volt rounded
// down, so that what is printed holds and is the same on every page. Below zero
// it is "none": the constant-current model only says that the copper cannot
// carry so much. 10 µV count as nothing: the ladder has 1 µΩ where a wire is taken to
// cost no volts, and 11.999998 V is the supply's 12.00 V.
func Volts(v float64) string {
	if v < 0 {
		return "none"
	}
	return fmt.Sprintf("%.2f V", math.Floor(100*v+1e-3)/100)
}

// Millivolts writes a small voltage in whole millivolts, rounded to the nearest.
func Millivolts(v float64) string { return fmt.Sprintf("%.0f mV", 1000*v) }

// Amps writes a current, rounded to the nearest: in tenths of an amp, and under
// 1 A in hundredths.
func Amps(a float64) string { return Figure(a) + " A" }

// Milliamps writes what a pixel or a channel draws, given in amps, in tenths of
// a milliamp, rounded to the nearest.
func Milliamps(a float64) string { return fmt.Sprintf("%.1f mA", 1000*a) }

// Ohms writes a resistance, rounded to the nearest: in tenths of an ohm, and
// under 1 Ω in hundredths, about what the leads of a bench meter cost (common
// practice).
func Ohms(o float64) string { return Figure(o) + " Ω" }

// Watts writes a power in tenths of a watt, rounded to the nearest.
func Watts(w float64) string { return fmt.Sprintf("%.1f W", w) }

// Figure is the number of Amps and Ohms without its unit, for ranges such as
// "4.9 to 8.8 A".
func Figure(v float64) string {
	if math.Abs(v) < 0.995 {
		return fmt.Sprintf("%.2f", v)
	}
	return fmt.Sprintf("%.1f", v)
}

// Given writes a figure that someone chose, such as a supply's plate or a fuse's
// rating, as it was written: up to six digits, no zeros at its end.
func Given(v float64, unit string) string { return strconv.FormatFloat(v, 'g', 6, 64) + " " + unit }

// Percent writes a share of 1 in percent, in up to three digits, rounded to the
// nearest; what must not be exceeded is rounded down by power.FloorPercent.
func Percent(share float64) string { return fmt.Sprintf("%.3g %%", 100*share) }

// WholePercent writes a share of 1 in whole percent, rounded to the nearest: for
// what is measured, or estimated, or only compared.
func WholePercent(share float64) string { return fmt.Sprintf("%.0f %%", 100*share) }
