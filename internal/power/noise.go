package power

import (
	"math"
	"slices"
)

// noiseSteps are the voltmeter noises for which the readings are fitted, in units
// of meterVolts, ascending: 10 to 120 mV.
var noiseSteps = []float64{1, 1.5, 2, 3, 4, 6, 8, 12}

// noisePrior is the prior of each noise; they sum to 1. Most meters are good to a
// few digits, and slipped test leads are not rare (common practice).
var noisePrior = []float64{0.35, 0.15, 0.12, 0.11, 0.09, 0.08, 0.06, 0.04}

// A noiseShare is one noise and its posterior.
type noiseShare struct{ volts, share float64 }

// noises are the noises with their posteriors, from the residuals of the best fit
// at each place, less a straight line over the level: an error of resistance
// makes such a line, so the rest is noise. Places with fewer than three levels
// are not used. With f degrees of freedom a noise of t has the likelihood
// t^-f · exp(-sum/(2t²)). Noises of 2 % and less are left out, since each takes a
// fit of every case.
func (f *fitter) noises(best caseFit) []noiseShare {
	sum, free := f.scatter(best)
	logs := make([]float64, len(noiseSteps))
	for i, t := range noiseSteps {
		logs[i] = math.Log(noisePrior[i]) - float64(free)*math.Log(t) - sum/(2*t*t)
	}
	most, all := slices.Max(logs), 0.0
	for i := range logs {
		logs[i] = math.Exp(logs[i] - most)
		all += logs[i]
	}
	var out []noiseShare
	for i, w := range logs {
		if w/all > 0.02 {
			out = append(out, noiseShare{noiseSteps[i] * meterVolts, w / all})
		}
	}
	return out
}

// scatter is the sum of squares of the residuals about a line over the level,
// place by place, in units of meterVolts², and their degrees of freedom.
func (f *fitter) scatter(best caseFit) (sum float64, free int) {
	byPlace := map[int][]int{}
	for i, r := range f.readings {
		byPlace[r.Pixel] = append(byPlace[r.Pixel], i)
	}
	for _, at := range byPlace {
		n := float64(len(at))
		var x, y, xx, xy, yy float64
		for _, i := range at {
			level, miss := f.readings[i].Level, best.residuals[i]*f.noise/meterVolts
			x, y, xx, xy, yy = x+level, y+miss, xx+level*level, xy+level*miss, yy+miss*miss
		}
		sxx, sxy, syy := xx-x*x/n, xy-x*y/n, yy-y*y/n
		if len(at) < 3 || sxx < 1e-9 {
			continue
		}
		sum += max(0, syy-sxy*sxy/sxx)
		free += len(at) - 2
	}
	return sum, free
}

// ownNoise is the scatter as a noise in volts, at least a good meter's.
func (f *fitter) ownNoise(best caseFit) float64 {
	f.noise = best.noise
	sum, free := f.scatter(best)
	if free == 0 {
		return meterVolts
	}
	return meterVolts * max(1, math.Sqrt(sum/float64(free)))
}
