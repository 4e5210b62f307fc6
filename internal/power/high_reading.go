package power

import (
	"fmt"
	"slices"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// poorFit is the root-mean-square residual, volts, above which the readings of a
// good meter count as unexplained.
const poorFit = 4 * meterVolts

// outlierShare of the supply's volts is an error that a 1 % meter is very
// unlikely to make (assumed: three times its error).
const outlierShare = 0.03

// tooHigh puts a sentence on readings above the supply's voltage before the text.
// One far outlier distorts the whole fit, so unexplained readings are fitted
// again without the highest.
func (f *fitter) tooHigh(p *prop.Prop, r FitResult) (FitResult, error) {
	i, plan := highest(f.readings), f.base.Volts
	high := f.readings[i]
	if (r.poor() || r.Noise >= 2*meterVolts) && high.Volts > plan+poorFit && len(f.readings) > 4 {
		g, err := newFitter(p, slices.Delete(slices.Clone(f.readings), i, i+1))
		if err != nil {
			return r, err
		}
		rest, err := g.judge(p)
		if err != nil {
			return r, err
		}
		if !rest.poor() && high.Volts > rest.Supply+max(poorFit, 6*rest.Noise, outlierShare*plan) {
			r.Text = fmt.Sprintf("Reading %d, %s at %s, is more than the supply gives: %s by the other readings: a typing error, or the supply was changed meanwhile; take it again. Without it: %s",
				i+1, words.Volts(high.Volts), PlaceName(p, high.Pixel), words.Volts(rest.Supply), rest.Text)
			if r.Verdict == FitGood {
				r.Verdict = FitDoubtful // as long as it has to be taken again
			}
			return r, nil
		}
	}
	if high.Volts > plan+3*supplySpread*plan+max(poorFit, 3*r.Noise) {
		r.Text = fmt.Sprintf("The readings go up to %s where the plan's supply has %s: typing errors, another supply, or one that is turned up. ", words.Volts(high.Volts), words.Given(plan, "V")) + r.Text
	}
	return r, nil
}

// highest is the index of the highest reading.
func highest(readings []Reading) int {
	at := 0
	for i, r := range readings {
		if r.Volts > readings[at].Volts {
			at = i
		}
	}
	return at
}
