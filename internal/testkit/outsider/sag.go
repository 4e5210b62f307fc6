package outsider

import (
	"math"
	"slices"
)

// supplyVolts is the voltage at the first place.
const supplyVolts = 5

// sag dims the places by the volts they are left with; the rails are fed at
// the first place alone.
func (p *Prop) sag(s Scene) {
	var places []*Light
	for _, run := range p.Wiring {
		for i := range s[run] {
			places = append(places, &s[run][i])
		}
	}
	for i, v := range p.volts(places) {
		*places[i] = dimmed(*places[i], v)
	}
}

// volts are what each place is left with.
func (p *Prop) volts(places []*Light) []float64 {
	volts := slices.Repeat([]float64{supplyVolts}, len(places))
	drop := make([]float64, len(places))
	for range 400 { // each round goes a part of the way, so that it settles
		amps := 0.0
		for i, l := range slices.Backward(places) {
			amps += current(*l, volts[i])
			drop[i] = amps * p.Sag
		}
		v := float64(supplyVolts)
		for i := range places {
			v -= drop[i]
			volts[i] += 0.04 * (max(v, 0) - volts[i])
		}
	}
	return volts
}

// Currents of a place in ampere: dark, and of one colour at full. Strips of one
// name take 33 to 60 mA in white.
const (
	idle = 0.001
	full = 0.016
)

// Volts below which a colour is dark: its diode's own (datasheets).
const (
	redNeeds   = 2.0
	otherNeeds = 3.0
)

// share is what is left of a colour's current and light at so many volts.
func share(volts, needs float64) float64 {
	return min(1, max(0, (volts-needs)/(supplyVolts-needs)))
}

// current is what one place takes.
func current(l Light, volts float64) float64 {
	others := float64(l.G) + float64(l.B) + float64(l.W) + float64(l.C)
	return idle*share(volts, 0) + full/255*(float64(l.R)*share(volts, redNeeds)+others*share(volts, otherNeeds))
}

// dimmed is a light at so many volts: blue, green and white go before red.
func dimmed(l Light, volts float64) Light {
	part := func(c uint8, needs float64) uint8 { return uint8(math.Round(float64(c) * share(volts, needs))) }
	return Light{
		part(l.R, redNeeds), part(l.G, otherNeeds), part(l.B, otherNeeds),
		part(l.W, otherNeeds), part(l.C, otherNeeds),
	}
}
