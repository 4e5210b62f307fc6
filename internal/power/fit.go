package power

import (
	"fmt"
	"math"
	"sort"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
	"example.org/ringout/patterns"
)

// A Reading is one voltmeter reading of a load test: between the rails at a
// pixel, with every pixel of the prop at one colour and level.
type Reading struct {
	// The level in force after any limiter, 0 to 1.
	Level float64
	// The pixel, from 0, and the volts between its rails: 0 to twice the
	// supply's; more is a meter on another range.
	Pixel int
	Volts float64
	// Amps out of the supply at that moment; 0 when they were not read.
	Amps float64
	// The colour before the level; the zero value means full white.
	Colour patterns.Colour
}

// A FitVerdict is the conclusion that the readings allow.
type FitVerdict int

// The verdicts of a load test.
const (
	FitTooFew    FitVerdict = iota // not enough readings to say anything
	FitGood                        // nothing stands out
	FitFound                       // one place has too much resistance
	FitCantTell                    // some place has, but more than one place explains it
	FitPoor                        // no single place explains the readings
	FitNone                        // no voltage at all somewhere or everywhere; Suspects are where to look
	FitDoubtful                    // nothing stands out, but the readings cannot be so: they have to be taken again
	FitLowSupply                   // the copper is sound, but the supply gives less than the chip needs
)

// A Suspect is one place that may have too much resistance.
type Suspect struct {
	// The joint before this run, from 1; 0 for a feed, which Feed then numbers.
	Run, Feed int
	// Its name: `the joint between "inner ring" and "middle ring"`.
	Name string
	// Excess ohms there, in plus or in minus, and their uncertainty: 95 % of
	// cases are within PlusMinus.
	Ohms, PlusMinus float64
	// The posterior of this place, 0 to 1.
	Weight float64
	// Volts that Ohms cost at FitResult.Level.
	Cost float64

	link int // of the network, for a joint
}

// leastWeight is the least posterior of a place that is named.
const leastWeight = 0.01

// Named are the places worth naming, most likely first: none where the readings
// point to none.
func (r FitResult) Named() []Suspect {
	if r.Verdict != FitFound && r.Verdict != FitCantTell && r.Verdict != FitNone {
		return nil
	}
	var out []Suspect
	for _, s := range r.Suspects {
		if s.Weight >= leastWeight {
			out = append(out, s)
		}
	}
	return out
}

// Much is the excess resistance in words.
func (s Suspect) Much() string {
	if s.Open() {
		return "as good as open"
	}
	return fmt.Sprintf("%s too much, give or take %s", words.Ohms(s.Ohms), words.Ohms(s.PlusMinus))
}

// openOhms is the resistance above which a reading hardly changes any more, on
// props that draw an ampere or more: the figure is then meaningless. At 1 A, 10
// Ω would cost 10 V, twice what a 5 V supply has.
const openOhms = 10

// Open reports whether the place carries almost no current.
func (s Suspect) Open() bool { return s.Ohms > openOhms }

// A FitResult is the result of a load test.
type FitResult struct {
	Verdict  FitVerdict
	Suspects []Suspect // most likely first
	Nothing  float64   // posterior that nothing is wrong, 0 to 1
	Text     string    // one or two sentences for the builder
	// The best fit: the supply's volts, the pixels' current and the rails'
	// resistance, the last two as shares of the plan's figures.
	Supply, Share, RailShare float64
	// The residual, volts: root mean square over the readings.
	Left float64
	// The estimated noise of a reading, volts, one standard deviation. ownNoise is
	// the scatter about a line over the level at each place, at least a good
	// meter's.
	Noise, ownNoise float64
	// The level, 0 to 1, that costs are worked out at, and the volts that may be
	// lost on the way to a pixel.
	Level, Allowed float64

	figures, residuals []float64 // of the best fit, see caseFit
}

// meterVolts is the noise of a reading, one standard deviation: 10 mV, the last
// digit of a meter on its 20 V range (common practice).
const meterVolts = 0.010

// sigmas95 is the number of standard deviations that include 95 % of cases (found
// in simulation). It is more than 1.96 because the ladder is not linear, the two
// wires of a feed differ, and the noise is estimated from the readings.
const sigmas95 = 3.0

// goodOdds is the prior odds that nothing is wrong (a guess; most joints are
// good).
const goodOdds = 4

// meterShare is the noise of a reading of the supply's current, 3 %: clamps and
// the displays of supplies (common practice).
const meterShare = 0.03

// LoadTestPlaces are the pixels at which every joint and feed can be judged:
// the first and last pixel of every run and of where feeds enter.
func LoadTestPlaces(p *prop.Prop) []int {
	seen := map[int]bool{}
	starts := p.Starts()
	for i, r := range p.Runs {
		first := starts[i]
		seen[first], seen[first+r.Pixels-1] = true, true
	}
	for _, f := range p.Feeds {
		seen[f.Pixel] = true
	}
	var out []int
	for i := range seen {
		out = append(out, i)
	}
	sort.Ints(out)
	return out
}

// Fit compares the readings of a load test with the prop's ladder: once with
// nothing wrong, and once with too much resistance at each joint and in each
// feed. In every case it also fits what the plan only guesses: the supply's
// voltage, how much the pixels draw, the rails' resistance and a little at all
// feeds, each with a prior around its planned value. The weights compare how
// well each case explains the readings, corrected for its number of free
// parameters (Laplace's approximation).
//
// One conductor, plus or minus, is assumed to be bad: a reading between the
// rails cannot tell which. Half the excess in each would differ where current
// can come from both sides, since it bypasses the fault in the bad rail only.
func Fit(p *prop.Prop, readings []Reading) (FitResult, error) {
	f, err := newFitter(p, readings)
	if err != nil {
		return FitResult{}, err
	}
	if r, ok := deadResult(p, readings); ok {
		return r, nil
	}
	lit := 0
	for _, r := range readings {
		if r.Level > 0 {
			lit++
		}
	}
	if lit < 3 {
		return FitResult{Text: "Too few readings to judge by: measure at both sides of a joint at least, with the prop lit."}, nil
	}
	r, err := f.judge(p)
	if err != nil {
		return r, err
	}
	if r, err = f.tooHigh(p, r); err != nil {
		return r, err
	}
	return f.distrust(p, r)
}

// Planned returns the reading expected by the plan, in volts, with pixels that
// draw less as their voltage falls.
func Planned(p *prop.Prop, readings []Reading) ([]float64, error) {
	f, err := newFitter(p, readings)
	if err != nil {
		return nil, err
	}
	plan, _ := f.planned()
	volts, err := f.predict(plan, nil)
	if err != nil {
		return nil, err
	}
	return volts[:len(readings)], nil
}

func newFitter(p *prop.Prop, readings []Reading) (*fitter, error) {
	base, err := NetworkOf(p)
	if err != nil {
		return nil, err
	}
	f := &fitter{base: base, chip: p.Chip, law: LawOf(p.Chip), readings: readings}
	f.on, _ = p.Lights()
	for i, r := range readings {
		switch {
		case r.Pixel < 0 || r.Pixel >= base.Pixels():
			return nil, fmt.Errorf("reading %d is at pixel %d, but the prop has %d pixels", i+1, r.Pixel+1, base.Pixels())
		case !(r.Level >= 0 && r.Level <= 1):
			return nil, fmt.Errorf("reading %d was taken at level %g: give 0 to 1 (0 to 100 %%)", i+1, r.Level)
		case !(r.Volts >= 0 && r.Volts <= 2*base.Volts):
			return nil, fmt.Errorf("reading %d is %s, which a supply of %s cannot give: check the meter's range and type it again", i+1, words.Given(r.Volts, "V"), words.Given(base.Volts, "V"))
		case !(r.Amps >= 0 && r.Amps < 1e4):
			return nil, fmt.Errorf("reading %d has a current of %s: give 0 or more, or leave it out", i+1, words.Given(r.Amps, "A"))
		}
	}
	f.group()
	return f, nil
}

// judge fits every case for every noise that the readings allow, and makes the
// result.
func (f *fitter) judge(p *prop.Prop) (FitResult, error) {
	suspects := suspectsOf(p, f.base)
	f.noise = meterVolts
	first, err := f.cases(suspects, nil)
	if err != nil {
		return FitResult{}, err
	}
	mix := newMixture(len(first))
	shares := f.noises(first[mostLikely(first)])
	for _, n := range shares {
		f.noise = n.volts
		fits := first
		if n.volts != meterVolts {
			if fits, err = f.cases(suspects, first); err != nil {
				return FitResult{}, err
			}
		}
		mix.add(fits, n.share, f.figures())
	}
	r := FitResult{Nothing: mix.weight[0], Suspects: suspects}
	for i := range suspects {
		s := &suspects[i]
		s.Weight = mix.weight[i+1]
		s.Ohms, s.PlusMinus = mix.ohms(i + 1)
	}
	chosen := mix.best
	r.Supply, r.Share, r.RailShare = chosen.at[supplyVolts], chosen.at[drawShare], chosen.at[railShare]
	r.Left, r.Noise, r.ownNoise = chosen.left, mix.noise, f.ownNoise(chosen)
	r.figures, r.residuals = chosen.at, chosen.residuals
	sort.SliceStable(r.Suspects, func(i, j int) bool { return r.Suspects[i].Weight > r.Suspects[j].Weight })
	if err := r.costs(p, f.base); err != nil {
		return r, err
	}
	r.setVerdict()
	return r, nil
}

// cases fits the case with nothing wrong and then each suspect, from earlier
// fits where there are any. All suspects share what goodOdds leaves them: the
// prior of each is 1/(goodOdds·suspects) against 1, taken as a logarithm.
func (f *fitter) cases(suspects []Suspect, from []caseFit) ([]caseFit, error) {
	out := make([]caseFit, len(suspects)+1)
	for i := range out {
		var s *Suspect
		if i > 0 {
			s = &suspects[i-1]
		}
		var start []float64
		if from != nil {
			start = from[i].at
		}
		var err error
		if out[i], err = f.fit(s, start); err != nil {
			return nil, err
		}
		if i > 0 {
			out[i].evidence -= math.Log(goodOdds * float64(len(suspects)))
		}
	}
	return out, nil
}

// mostLikely is the index of the case with the largest evidence.
func mostLikely(fits []caseFit) int {
	at := 0
	for i, c := range fits {
		if c.evidence > fits[at].evidence {
			at = i
		}
	}
	return at
}

// A mixture sums the posteriors of the cases over the noises.
type mixture struct {
	// Of each case: its weight, and the weighted sums of its ohms and of their
	// square.
	weight, mean, square []float64
	// The most likely case under the most likely noise, that noise in volts,
	// and its posterior.
	best  caseFit
	noise float64
	top   float64
}

func newMixture(cases int) *mixture {
	return &mixture{weight: make([]float64, cases), mean: make([]float64, cases), square: make([]float64, cases)}
}

// add adds the cases as fitted with one noise, which has the posterior share;
// extra is the index of the suspect's ohms among the figures. The mean square of
// a figure is its mean squared plus its variance.
func (m *mixture) add(fits []caseFit, share float64, extra int) {
	at := mostLikely(fits)
	sum := 0.0
	for _, c := range fits {
		sum += math.Exp(c.evidence - fits[at].evidence)
	}
	for i, c := range fits {
		w := share * max(math.Exp(c.evidence-fits[at].evidence)/sum, 1e-100)
		m.weight[i] += w
		if i > 0 {
			x, sd := c.at[extra], c.sigma[extra]
			m.mean[i] += w * x
			m.square[i] += w * (x*x + sd*sd)
		}
	}
	if share > m.top {
		m.top, m.best = share, fits[at]
		m.noise = m.best.noise
	}
}

// ohms is the excess of case i and its uncertainty: the mean, and sigmas95
// standard deviations of the mixture.
func (m *mixture) ohms(i int) (mean, plusMinus float64) {
	mean = m.mean[i] / m.weight[i]
	return mean, sigmas95 * math.Sqrt(max(0, m.square[i]/m.weight[i]-mean*mean))
}

// suspectsOf are all joints that carry plus and all feeds, in that order.
func suspectsOf(p *prop.Prop, n *Network) []Suspect {
	var out []Suspect
	for i := 1; i < len(p.Runs); i++ {
		if !p.Runs[i].Apart {
			out = append(out, jointOf(p, i))
		}
	}
	for i := range n.Taps {
		name := FeedName(p, i)
		if len(p.Feeds) == 0 {
			name = "the supply lead"
		}
		out = append(out, Suspect{Feed: i, Name: name})
	}
	return out
}

// jointOf is the joint before a run.
func jointOf(p *prop.Prop, run int) Suspect {
	return Suspect{Run: run, link: p.FirstPixel(run) - 1, Name: fmt.Sprintf("the joint between %s and %s", p.QuotedRun(run-1), p.QuotedRun(run))}
}
