package power

import (
	"fmt"
	"math"

	"example.org/ringout/internal/prop"
)

// Constants of copper wire.
const (
	// ohmMM2PerKm is the resistance of a kilometre of annealed copper of one
	// square millimetre at 20 degrees: 1000/58 (IEC 60028, 100 % IACS).
	ohmMM2PerKm = 1000.0 / 58
	// perKelvin is the rise of resistance with temperature from 20 degrees on
	// (IACS, several handbooks).
	perKelvin = 0.00393
	// strandedShare is what stranding adds: stranded against solid in NEC
	// chapter 9 table 8 is 1.020 to 1.026.
	strandedShare = 1.02
	// cladShare is the resistance of copper-clad aluminium over that of copper:
	// 62 to 68 % IACS, at the worse end (common practice).
	cladShare = 1 / 0.62
	// Sizes without a row in IEC 60228 get the largest excess of its rows over
	// the ideal: 13 to 16 % in class 5 (0.5 mm²: 39 against 34.48 Ω/km is 13 %;
	// 1.5 mm²: 13.3 against 11.49 is 16 %), 4 to 7 % in classes 1 and 2.
	otherFlexShare  = 1.16
	otherSolidShare = 1.07

	// cmilPerMM2 is circular mils in a square millimetre: (1000/25.4)² · 4/π.
	cmilPerMM2 = 1973.525
	// Gauges that are accepted, about 21 mm² to 0.013 mm²: a prop has no
	// thicker lead, and 36 (0.0050 in) is where the gauge's formula begins.
	minAWG = 4
	maxAWG = 36
)

// DiameterMM is the diameter of a solid wire of the gauge, millimetres:
// 0.127 * 92^((36-n)/39) (ASTM B258, from memory; end points from a handbook:
// 36 is 0.0050 in, 4/0 is 0.4600 in).
func DiameterMM(awg int) float64 { return 0.127 * math.Pow(92, float64(36-awg)/39) }

// AreaMM2 is the cross-section of a wire of the gauge, square millimetres.
func AreaMM2(awg int) float64 { return math.Pi / 4 * DiameterMM(awg) * DiameterMM(awg) }

// SolidOhmsPerKm is the resistance of a solid copper wire of the gauge at a
// temperature, ohms a kilometre. Every gauge from 10 to 30 agrees with the
// handbook's table at 20 degrees within its last printed digit, 0.04 % at the
// most (11 AWG).
func SolidOhmsPerKm(awg int, celsius float64) float64 {
	return ohmMM2PerKm / AreaMM2(awg) * warm(celsius)
}

// warm is resistance at a temperature over that at 20 degrees: 1.157 at 60.
func warm(celsius float64) float64 { return 1 + perKelvin*(celsius-20) }

// A metricSize is a row of IEC 60228: the largest resistance allowed at 20
// degrees, ohms per kilometre, of plain copper.
type metricSize struct{ mm2, solid, flex float64 }

// IEC 60228, classes 1 and 2, and class 5, plain (four public copies agree).
// The nominal area is not a measured one: these limits are 4 to 16 % above the
// resistance of that area.
var metricSizes = []metricSize{
	{0.5, 36, 39}, {0.75, 24.5, 26}, {1, 18.1, 19.5}, {1.5, 12.1, 13.3}, {2.5, 7.41, 7.98}, {4, 4.61, 4.95},
}

// CheckWire refuses a wire that cannot be worked out: no size, two sizes, a
// gauge outside minAWG to maxAWG, or an area outside 0.05 to 50 mm².
func CheckWire(w prop.Wire) error {
	switch {
	case w.AWG == 0 && w.MM2 == 0:
		return fmt.Errorf("no wire size is given: write one such as 18 AWG or 0.75 mm2")
	case w.AWG != 0 && w.MM2 != 0:
		return fmt.Errorf("the wire has both a gauge (%d AWG) and an area (%g mm2): give one", w.AWG, w.MM2)
	case w.AWG != 0 && (w.AWG < minAWG || w.AWG > maxAWG):
		return fmt.Errorf("wire gauge %d AWG is not known here: give %d to %d, or the area in mm2", w.AWG, minAWG, maxAWG)
	case w.AWG == 0 && !(w.MM2 >= 0.05 && w.MM2 <= 50):
		return fmt.Errorf("wire of %g mm2 cannot be right: give 0.05 to 50 mm2, such as 0.75", w.MM2)
	}
	return nil
}

// OhmsPerMetre is the resistance of one conductor at a temperature, ohms a
// metre. Metric sizes take the class 5 (flex) limit of IEC 60228, or class 1
// and 2 when solid; gauges are stranded unless solid. 18 AWG stranded has 21.4
// milliohms at 20 degrees and 26.0 at 75, where NEC chapter 9 table 8 has 26.1.
// A lead of L metres loses 2·L·I·r volts, since the current comes back.
func OhmsPerMetre(w prop.Wire, celsius float64) (float64, error) {
	if err := CheckWire(w); err != nil {
		return 0, err
	}
	var km float64
	if w.AWG != 0 {
		km = SolidOhmsPerKm(w.AWG, 20)
		if !w.Solid {
			km *= strandedShare
		}
	} else {
		km = metricOhmsPerKm(w)
	}
	if w.Clad {
		km *= cladShare
	}
	return km / 1000 * warm(celsius), nil
}

// metricOhmsPerKm is the resistance of a conductor by its nominal area at 20
// degrees, ohms a kilometre.
func metricOhmsPerKm(w prop.Wire) float64 {
	for _, m := range metricSizes {
		if math.Abs(w.MM2-m.mm2) < 1e-9 {
			if w.Solid {
				return m.solid
			}
			return m.flex
		}
	}
	share := otherFlexShare
	if w.Solid {
		share = otherSolidShare
	}
	return ohmMM2PerKm / w.MM2 * share
}

// WireName is the size as usually written: "18 AWG", "0.75 mm2".
func WireName(w prop.Wire) string {
	name := fmt.Sprintf("%d AWG", w.AWG)
	if w.AWG == 0 {
		name = fmt.Sprintf("%g mm2", w.MM2)
	}
	if w.Solid {
		name += " solid"
	}
	if w.Clad {
		name += " copper-clad aluminium"
	}
	return name
}

// chassisAmps is the current of one wire in free air, 10 to 30 AWG (public
// reprint of an old handbook of electronic tables; not a code rating).
var chassisAmps = [...]float64{55, 47, 41, 35, 32, 28, 22, 19, 16, 14, 11, 9, 7, 4.7, 3.5, 2.7, 2.2, 1.7, 1.4, 1.2, 0.86}

// CautiousAmps is what the wire may carry in a bundle or a closed prop by the
// rule of 700 circular mils an amp (from memory): 2.32 A for 18 AWG, where one
// wire in free air has 16. It is not a code rating: the cable's own sheet and
// local code come first.
func CautiousAmps(w prop.Wire) float64 {
	amps := areaOf(w) * cmilPerMM2 / 700
	if w.Clad {
		amps /= math.Sqrt(cladShare) // same heat: current squared times resistance
	}
	return amps
}

// ChassisAmps is what one wire may carry in free air by the handbook table. For
// an area the next thinner gauge is used. It is 0 when the table has no row.
func ChassisAmps(w prop.Wire) float64 {
	awg := w.AWG
	if awg == 0 {
		for awg = 10; awg <= 30 && AreaMM2(awg) > w.MM2*1.001; awg++ {
		}
	}
	if awg < 10 || awg > 30 {
		return 0
	}
	amps := chassisAmps[awg-10]
	if w.Clad {
		amps /= math.Sqrt(cladShare)
	}
	return amps
}

// areaOf is the cross-section in square millimetres.
func areaOf(w prop.Wire) float64 {
	if w.AWG != 0 {
		return AreaMM2(w.AWG)
	}
	return w.MM2
}
