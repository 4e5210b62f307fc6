package power

import "example.org/ringout/internal/prop"

// A Law is how the current of a pixel falls with its voltage: each part of its
// Draw is complete from Full volts up, zero at Off and below, and changes
// smoothly (3x² - 2x³) in between. A pixel therefore never draws more than with
// constant current, and its current never falls while its voltage rises, on
// which the solver relies.
//
// The figures are for a 5 V pixel. Red LEDs need 2.0 to 2.2 V and green and blue
// 3.0 to 3.4 V at full current (WS2812B datasheet): they are dark somewhat below
// that, and the chip's driver needs headroom above it. The voltages of full
// current were fitted to a published bench measurement of 5 m of strip, 2.5 V at
// the far end and 3.7 A in all: the result is within a tenth with the 12 mA a
// channel of the later WS2812B, of which white was measured at 33 mA. Other strip
// differs: use the constant-current figures for anything that must hold.
type Law struct{ IdleOff, IdleFull, RedOff, RedFull, RestOff, RestFull float64 }

// fiveVoltLaw is the law of a WS2812B: full idle current from 2 V up, red between
// 1.8 and 4.3 V, green, blue and white between 2.7 and 5 V.
var fiveVoltLaw = Law{IdleOff: 0, IdleFull: 2, RedOff: 1.8, RedFull: 4.3, RestOff: 2.7, RestFull: 5}

// LawOf is the law of a chip: fiveVoltLaw with its voltages scaled to the chip's
// own, as with LEDs in series (an estimate for chips other than 5 V).
func LawOf(c prop.Chip) Law {
	k := c.Volts / 5
	if !(k > 0) {
		k = 1
	}
	l := fiveVoltLaw
	return Law{l.IdleOff * k, l.IdleFull * k, l.RedOff * k, l.RedFull * k, l.RestOff * k, l.RestFull * k}
}

// A Curve is a law with its divisions done in advance, since a ladder of 10,000
// pixels uses each some ten times.
type Curve struct {
	idle, red, rest ramp
}

// A ramp goes from 0 at off to 1 where (volts - off) * perVolt is 1.
type ramp struct{ off, perVolt float64 }

// Curve returns the law as a Curve.
func (l Law) Curve() Curve {
	return Curve{
		ramp{l.IdleOff, 1 / (l.IdleFull - l.IdleOff)},
		ramp{l.RedOff, 1 / (l.RedFull - l.RedOff)},
		ramp{l.RestOff, 1 / (l.RestFull - l.RestOff)},
	}
}

// Amps is the current of a pixel at a voltage, and its slope, amps a volt (0 or
// more).
func (r *Curve) Amps(d Draw, volts float64) (amps, perVolt float64) {
	a, da := r.idle.at(volts)
	if d.Red == 0 && d.Rest == 0 { // most pixels of a picture are dark
		return d.Idle * a, d.Idle * da
	}
	b, db := r.red.at(volts)
	c, dc := r.rest.at(volts)
	return d.Idle*a + d.Red*b + d.Rest*c, d.Idle*da + d.Red*db + d.Rest*dc
}

// at is the share 3x² - 2x³, x from 0 to 1, and its slope a volt, 6x(1-x) times
// perVolt.
func (r ramp) at(v float64) (share, slope float64) {
	x := (v - r.off) * r.perVolt
	if x >= 1 {
		return 1, 0
	}
	if x <= 0 {
		return 0, 0
	}
	return x * x * (3 - 2*x), 6 * x * (1 - x) * r.perVolt
}
