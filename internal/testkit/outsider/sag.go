package outsider

import (
	"math"
	"slices"
)

// supplyVolts is the voltage at the first place.
const supplyVolts = 5

// sag dims the places by their supply voltage. The rails are fed only at the first
// place.
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

// volts returns the supply voltage at each place.
func (p *Prop) volts(places []*Light) []float64 {
	volts := slices.Repeat([]float64{supplyVolts}, len(places))
	drop := make([]float64, len(places))
	for range 400 { // damped iteration: a full step would oscillate
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

// Currents of a place in amps: dark, and of one channel at full. Measured strips of
// one name draw 33 to 60 mA in white.
const (
	idle = 0.001
	full = 0.016
)

// Voltages below which a channel is dark: the forward voltage of its LED
// (datasheets).
const (
	redNeeds   = 2.0
	otherNeeds = 3.0
)

// share is the share of a channel's current and light that remains at a voltage.
func share(volts, needs float64) float64 {
	return min(1, max(0, (volts-needs)/(supplyVolts-needs)))
}

// current is the current of one place in amps.
func current(l Light, volts float64) float64 {
	others := float64(l.G) + float64(l.B) + float64(l.W) + float64(l.C)
	return idle*share(volts, 0) + full/255*(float64(l.R)*share(volts, redNeeds)+others*share(volts, otherNeeds))
}

// dimmed returns a light at a voltage: blue, green and white dim before red.
func dimmed(l Light, volts float64) Light {
	part := func(c uint8, needs float64) uint8 { return uint8(math.Round(float64(c) * share(volts, needs))) }
	return Light{
		part(l.R, redNeeds), part(l.G, otherNeeds), part(l.B, otherNeeds),
		part(l.W, otherNeeds), part(l.C, otherNeeds),
	}
}
