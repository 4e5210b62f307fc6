package strip

import (
	"math"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// nominalVolts is the supply of a chip whose own is not known: most pixel chips
// are made for 5 V (a public list of pixel chips).
const nominalVolts = 5.0

// defaultSag is the resistance of a metre of strip, there and back, in
// milliohms, when the fault does not say: nearly four times what a sound strip
// measured (0.4 ohm a metre), as with a feed left off and a rail half broken.
// A choice made so that the fault can be seen at bench levels.
const defaultSag = 1500

// The far end's voltage is found to within nearVolts, a tenth of the change that
// one step of an 8-bit level makes, in at most sagSteps iterations.
const (
	nearVolts = 3e-4
	sagSteps  = 40
)

// sag is the supply of a strip that is fed at its data end only, through too much
// resistance. A pixel's current falls with its voltage by power.Law, and the
// light of each LED with its current.
type sag struct {
	volts float64 // at the feed
	// From one light to the next, both rails, ohms: ohms a metre over lights a
	// metre.
	ohms float64
	// Amps of a dark light, and of a channel for each of the 255 steps of its
	// value.
	idle, step float64
	law        power.Curve // of the chip
}

// newSag makes the model of a Sag fault. Chips of unknown figures count as
// 5 V, 60 a metre, 20 mA a channel (common practice).
func newSag(p *prop.Prop, f Fault) *sag {
	milli, volts := f.N, p.Supply.Volts
	if milli == 0 {
		milli = defaultSag
	}
	chip := p.Chip
	if chip.Volts <= 0 {
		chip.Volts = nominalVolts
	}
	if volts <= 0 {
		volts = chip.Volts
	}
	density := chip.PixelsPerMetre()
	if density <= 0 {
		density = 60
	}
	if chip.ChannelAmps <= 0 {
		chip.ChannelAmps = 0.020
	}
	return &sag{volts: volts, ohms: float64(milli) / 1000 / density, idle: chip.IdleAmps,
		step: chip.ChannelAmps / 255, law: power.LawOf(chip).Curve()}
}

// draw is the current of so many lights of a colour at full voltage.
func (g *sag) draw(c patterns.Colour, lights int) power.Draw {
	red, rest := int(c.R)*lights, (int(c.G)+int(c.B)+int(c.W)+int(c.C))*lights
	return power.Draw{Idle: g.idle * float64(lights), Red: float64(red) * g.step, Rest: float64(rest) * g.step}
}

// dim lowers the light of a strip whose voltage falls along the wire.
func (s *Strip) dim(l Light) Light {
	if s.copper != nil {
		s.copper.dim(s.plan, l)
	}
	if s.sag != nil {
		s.fade(l, s.farVolts(l))
	}
	return l
}

// farVolts is the voltage at the far end at which the voltage at the feed is the
// supply's. A coarse pass with every eighth light gives a first estimate; two or
// three full passes then are enough.
func (s *Strip) farVolts(l Light) float64 {
	return s.endVolts(l, s.endVolts(l, s.sag.volts, coarseLights), 1)
}

// coarseLights is the number of lights that a coarse pass treats as one.
const coarseLights = 8

// endVolts is farVolts from the estimate v, with so many lights treated as one.
// It uses Newton's method within bounds: the voltage at the feed rises by at
// least a volt a volt at the far end, so there is one solution.
func (s *Strip) endVolts(l Light, v float64, lights int) float64 {
	lo, hi := 0.0, s.sag.volts
	for range sagSteps {
		feed, slope := s.feedVolts(l, v, lights)
		off := feed - s.sag.volts
		if off > 0 {
			hi = v
		} else {
			lo = v
		}
		if math.Abs(off) < nearVolts || hi-lo < nearVolts {
			break
		}
		if v -= off / slope; v <= lo || v >= hi {
			v = (lo + hi) / 2
		}
	}
	return v
}

// feedVolts is the voltage at the feed when that at the far end is v, and its
// derivative by v. From the far end on, at each light I += law(v), then
// v += I·ohms, and the same for the derivatives of I and v. One light of so many
// is evaluated for all of them.
func (s *Strip) feedVolts(l Light, v float64, lights int) (feed, slope float64) {
	g, amps, perVolt, slope := s.sag, 0.0, 0.0, 1.0
	ohms, half := g.ohms*float64(lights), g.ohms*float64(lights-1)/2     // half: the current of a group enters along it
	colour, draw := patterns.Colour{}, g.draw(patterns.Colour{}, lights) // kept, since most neighbours are equal
	for i := len(s.spans) - 1; i >= 0; i-- {
		sp := &s.spans[i]
		row := l[sp.run]
		for k := int(sp.lights) - 1; k >= 0; k -= lights {
			if c := row[sp.placeOf(k)]; c != colour {
				colour, draw = c, g.draw(c, lights)
			}
			more, rise := g.law.Amps(draw, v)
			rise *= slope
			amps += more
			perVolt += rise
			v = v - more*half + amps*ohms
			slope = slope - rise*half + perVolt*ohms
		}
	}
	return v, slope
}

// fade dims the lights on the way from the far end, where the voltage is v, to
// the feed.
func (s *Strip) fade(l Light, v float64) {
	g, amps := s.sag, 0.0
	for i := len(s.spans) - 1; i >= 0; i-- {
		sp := &s.spans[i]
		row := l[sp.run]
		for k := int(sp.lights) - 1; k >= 0; k-- {
			c := &row[sp.placeOf(k)]
			more, _ := g.law.Amps(g.draw(*c, 1), v)
			amps += more
			*c = dimmed(&g.law, *c, v)
			v += amps * g.ohms
		}
	}
}

// dimmed is a colour at a voltage: each value times the share of its LED's
// current, rounded, since light is about proportional to current. White fades to
// yellow, orange and red: green, blue and white need 3.0 to 3.4 V, red 2.0 to
// 2.2 (WS2812B datasheet).
func dimmed(law *power.Curve, c patterns.Colour, v float64) patterns.Colour {
	if c == (patterns.Colour{}) {
		return c
	}
	red, _ := law.Amps(power.Draw{Red: 1}, v)
	rest, _ := law.Amps(power.Draw{Rest: 1}, v)
	scale := func(x uint8, share float64) uint8 { return uint8(float64(x)*share + 0.5) }
	return patterns.Colour{R: scale(c.R, red), G: scale(c.G, rest), B: scale(c.B, rest),
		W: scale(c.W, rest), C: scale(c.C, rest)}
}

// Sags reports whether the voltage falls along the strip.
func (s *Strip) Sags() bool { return s.sag != nil }
