package words

import (
	"fmt"
	"math"
	"strconv"
)

// Volts writes a voltage in hundredths of a volt, rounded down, so the printed
// figure is never too high and is the same on every page. A negative one is
// "0 V": the constant-current model then only shows that the copper cannot
// carry the current, and "none too low" would be read as nothing too low. 10 µV are added before rounding, because the ladder uses
// 1 µΩ for a wire without loss: 11.999998 V is the supply's 12.00 V.
func Volts(v float64) string {
	if v < 0 {
		return "0 V"
	}
	return fmt.Sprintf("%.2f V", math.Floor(100*v+1e-3)/100)
}

// Millivolts writes a small voltage in whole millivolts, rounded to the nearest.
func Millivolts(v float64) string { return fmt.Sprintf("%.0f mV", 1000*v) }

// Amps writes a current in tenths of an amp, below 1 A in hundredths, rounded to
// the nearest.
func Amps(a float64) string { return Figure(a) + " A" }

// Milliamps writes the current of a pixel or channel, given in amps, in tenths
// of a milliamp, rounded to the nearest.
func Milliamps(a float64) string { return fmt.Sprintf("%.1f mA", 1000*a) }

// Ohms writes a resistance in tenths of an ohm, below 1 Ω in hundredths, rounded
// to the nearest. The leads of a bench meter cause an error of about a hundredth
// (common practice).
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

// Given writes a nominal figure, such as a supply's or a fuse's rating, with up
// to six digits and no trailing zeros.
func Given(v float64, unit string) string { return strconv.FormatFloat(v, 'g', 6, 64) + " " + unit }

// Percent writes a share from 0 to 1 in percent, with up to three digits, rounded
// to the nearest. For a limit use power.FloorPercent, which rounds down.
func Percent(share float64) string { return fmt.Sprintf("%.3g %%", 100*share) }

// WholePercent writes a share from 0 to 1 in whole percent, rounded to the
// nearest, for measured and estimated figures.
func WholePercent(share float64) string { return fmt.Sprintf("%.0f %%", 100*share) }
