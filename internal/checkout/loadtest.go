package checkout

import (
	"fmt"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
)

// A LoadTest raises the level of white in steps, under the limiter, while the
// builder types in what a voltmeter reads between the rails at named places.
// The readings are compared with the prop's ladder of copper.
type LoadTest struct {
	prop     *prop.Prop
	steps    []LoadStep
	at       int
	readings []power.Reading
	read     []bool // which steps gave a reading
}

// A LoadStep is one reading to take. The screen sends all white at Level.
type LoadStep struct {
	Level float64 // wanted; the limiter may lower it
	Pixel int     // where to hold the probes, from 0
	Place string
}

// loadShares are the levels, in parts of what the supply carries for hours.
var loadShares = []float64{0.1, 0.4, 0.7, 1}

// NewLoadTest plans the readings.
func NewLoadTest(p *prop.Prop) (*LoadTest, error) {
	if p == nil || len(p.Runs) == 0 || p.Pixels() < 1 {
		return nil, fmt.Errorf("the prop has no pixels to light: give it a run first")
	}
	_, most := levels(p)
	t := &LoadTest{prop: p}
	for _, share := range loadShares {
		for _, pixel := range power.LoadTestPlaces(p) {
			t.steps = append(t.steps, LoadStep{Level: share * most, Pixel: pixel, Place: power.PlaceName(p, pixel)})
		}
	}
	t.read = make([]bool, len(t.steps))
	return t, nil
}

// Steps are all readings to take.
func (t *LoadTest) Steps() []LoadStep { return append([]LoadStep(nil), t.steps...) }

// Next is the reading to take now; false when all were taken or skipped.
func (t *LoadTest) Next() (LoadStep, bool) {
	if t.at >= len(t.steps) {
		return LoadStep{}, false
	}
	return t.steps[t.at], true
}

// Put takes a reading in volts and the level that was in force after the
// limiter. It refuses what the supply cannot give, and nothing is lost by it.
func (t *LoadTest) Put(volts, level float64) error {
	st, ok := t.Next()
	if !ok {
		return fmt.Errorf("all readings were taken: undo one to take it again")
	}
	r := power.Reading{Level: level, Pixel: st.Pixel, Volts: volts}
	if _, err := power.Fit(t.prop, append(t.readings[:len(t.readings):len(t.readings)], r)); err != nil {
		return err
	}
	t.readings = append(t.readings, r)
	t.read[t.at] = true
	t.at++
	return nil
}

// Skip leaves a reading out, where no probe gets to the rails.
func (t *LoadTest) Skip() {
	if t.at < len(t.steps) {
		t.at++
	}
}

// Undo takes the last reading or skip back; false when there is none.
func (t *LoadTest) Undo() bool {
	if t.at == 0 {
		return false
	}
	t.at--
	if t.read[t.at] {
		t.read[t.at] = false
		t.readings = t.readings[:len(t.readings)-1]
	}
	return true
}

// Readings are those taken so far.
func (t *LoadTest) Readings() []power.Reading { return append([]power.Reading(nil), t.readings...) }

// Fit is what the readings come to. It may be asked at any time.
func (t *LoadTest) Fit() (power.FitResult, error) { return power.Fit(t.prop, t.readings) }

// Findings puts the fit into words: nothing stands out, or one finding for each
// place that may have too much resistance.
func (t *LoadTest) Findings() ([]Finding, error) {
	fit, err := t.Fit()
	if err != nil {
		return nil, err
	}
	switch fit.Verdict {
	case power.FitTooFew, power.FitPoor:
		return []Finding{{Title: fit.Text, Sure: Possible}}, nil
	case power.FitGood:
		return []Finding{{Good: true, Title: fit.Text, Share: fit.Nothing, Sure: sureness(fit.Nothing)}}, nil
	}
	var out []Finding
	for _, su := range fit.Suspects {
		if len(out) > 0 && su.Weight < 0.05 {
			break
		}
		out = append(out, Finding{
			Title: fmt.Sprintf("About %.2f Ω too much at %s, give or take %.2f Ω.", su.Ohms, su.Name, su.PlusMinus),
			Share: su.Weight, Sure: sureness(su.Weight),
			Causes: []Cause{{Text: "Too much resistance at " + su.Name + ".", Where: su.Name,
				Remedy: "Power off and re-solder plus and ground there; look for thin wire, a half-broken strand, a loose terminal or a hot connector."}},
			Because: []string{fit.Text},
		})
	}
	return out, nil
}
