package power

import (
	"fmt"
	"math"
	"slices"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// leastFall is the least share of the planned fall from the lowest level to the
// highest that readings of a lit prop show: pixels of one name draw down to 0.28 of
// the listed current (chips.go), and rails of twice the copper halve the fall.
const leastFall = 0.1

// mostScatter is the scatter of the readings, as a share of the supply's volts, from which
// they prove nothing: twice the error of a meter of 1 % (assumed).
const mostScatter = 0.02

// distrust withdraws FitGood where the readings cannot show sound copper: they do
// not fall with the load, one of them contradicts the others, they scatter, or the supply
// itself is too low for the chip.
func (f *fitter) distrust(p *prop.Prop, r FitResult) (FitResult, error) {
	if r.Verdict != FitGood {
		return r, nil
	}
	fell, planned, err := f.falls()
	if err != nil {
		return r, err
	}
	if planned > 2*poorFit && fell < leastFall*planned {
		r.Verdict = FitDoubtful
		r.Text = fmt.Sprintf("The volts hardly fall as the level rises: by %s, where the plan has %s. Was the prop lit, and were the tips on the pads of each place? Without load a bad joint does not show: take the readings again.",
			words.Millivolts(max(0, fell)), smallVolts(planned))
		return r, nil
	}
	if text, err := f.oddOneOut(p, r); text != "" || err != nil {
		r.Verdict, r.Text = FitDoubtful, text
		return r, err
	}
	if r.Noise >= mostScatter*f.base.Volts {
		r.Verdict = FitDoubtful
		r.Text = fmt.Sprintf("No joint or feed stands out. The readings scatter by some %s, more than a meter's do: take them again, with the tips firmly on the pads.", words.Millivolts(r.Noise))
		return r, nil
	}
	if r.Supply < p.Chip.MinVolts-poorFit {
		r.Verdict = FitLowSupply
		r.Text = fmt.Sprintf("The supply gives %s where the plan has %s. The chip wants %s at least. Is it the right supply, is it turned down, or overloaded? Power off before you change it. No joint or feed after it stands out.",
			words.Volts(r.Supply), words.Given(f.base.Volts, "V"), words.Given(p.Chip.MinVolts, "V"))
	}
	return r, nil
}

// falls are the falls from the lowest level to the highest, as read and as planned, of
// the place with the largest planned one, volts; 0 where no place has two levels.
func (f *fitter) falls() (fell, planned float64, err error) {
	plan, _ := f.planned()
	volts, err := f.predict(plan, nil)
	if err != nil {
		return 0, 0, err
	}
	for i, a := range f.readings {
		for j, b := range f.readings {
			if fall := volts[i] - volts[j]; a.Pixel == b.Pixel && a.Level < b.Level && fall > planned {
				fell, planned = a.Volts-b.Volts, fall
			}
		}
	}
	return fell, planned, nil
}

// oddOneOut says which single reading contradicts all others: a slip of the tips, or a contact
// that comes and goes; empty when there is none. One far outlier raises the noise until
// it passes as scatter, so scattered readings are fitted again without the worst.
func (f *fitter) oddOneOut(p *prop.Prop, r FitResult) (string, error) {
	if r.Noise < 2*meterVolts || len(f.readings) < 5 {
		return "", nil
	}
	worst := 0
	for i, x := range r.residuals {
		if math.Abs(x) > math.Abs(r.residuals[worst]) {
			worst = i
		}
	}
	g, err := newFitter(p, slices.Delete(slices.Clone(f.readings), worst, worst+1))
	if err != nil {
		return "", err
	}
	rest, err := g.judge(p)
	if err != nil || rest.poor() || rest.Noise > r.Noise/2 {
		return "", err
	}
	volts, err := f.predict(rest.figures[:f.figures()], nil)
	if err != nil {
		return "", err
	}
	odd := f.readings[worst]
	if math.Abs(odd.Volts-volts[worst]) <= max(poorFit, 6*rest.Noise, outlierShare*f.base.Volts) {
		return "", nil
	}
	return fmt.Sprintf("Reading %d, %s at %s, does not fit the others, which want %s there: the tips slipped, it was mistyped, or a contact comes and goes. Take it again, and bend what is near it. Without it: %s",
		worst+1, words.Volts(odd.Volts), PlaceName(p, odd.Pixel), words.Volts(volts[worst]), rest.Text), nil
}
