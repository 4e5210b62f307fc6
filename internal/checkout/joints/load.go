package joints

import (
	"fmt"
	"math"
	"time"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
	"example.org/ringout/patterns"
)

// A Measure is one voltmeter reading to take.
type Measure struct {
	ID       int // from 1
	Of       int // measures in all
	Pixel    int
	Level    float64 // wanted level, 0 to 1; the limiter may lower it
	Show     patterns.FrameFunc
	First    bool // the first of its level, when the builder should feel the connectors
	Question string
	Brief    string // the question in few words, where nothing else is to be said; else empty
}

// A Load is a load test under way: white light at rising levels, and a reading
// at each of a few places.
type Load struct {
	prop   *prop.Prop
	places []int
	levels []float64
	thin   bool // the wires allow less than the supply does
	taken  []measurement
}

// A measurement is one reading, or one that was skipped; skipped ones have no reading.
type measurement struct {
	reading power.Reading
	skipped bool
}

// steps are the shares of the highest level at which readings are taken: the lowest shows
// the supply nearly unloaded, the others under load.
var steps = []float64{0.1, 0.5, 1}

// NewLoad plans a load test. most is the highest level wanted, 0 to 1; it is
// lowered to the supply's continuous limit, as the limiter would do, and to what the wires
// of feeds and leads carry in free air.
func NewLoad(p *prop.Prop, most float64) (*Load, error) {
	if !(most > 0 && most <= 1) {
		return nil, fmt.Errorf("the highest level is %s: give more than 0, at most 100", words.Percent(most))
	}
	report, err := power.Plan(p, most, power.FullWhite())
	if err != nil {
		return nil, err
	}
	if report.SupplyLevel <= 0 {
		return nil, fmt.Errorf("the supply has nothing left for light: its rating is below what %q draws when dark", p.Name)
	}
	wires, err := power.WireLevel(p)
	switch {
	case err != nil:
		return nil, err
	case wires < 0.01:
		return nil, fmt.Errorf("a feed or lead of %q is too thin for its pixels at any level. Power off and use thicker wire, as the plan says", p.Name)
	}
	top := min(most, report.SupplyLevel, wires)
	l := &Load{prop: p, places: power.LoadTestPlaces(p), thin: wires < min(most, report.SupplyLevel)}
	for _, s := range steps {
		// Rounded down to whole per cent, as on the screens, at least 1 %.
		l.levels = append(l.levels, max(0.01, math.Floor(100*s*top)/100))
	}
	return l, nil
}

// Next is the reading to take now; false when all were taken or skipped.
func (l *Load) Next() (Measure, bool) {
	n := len(l.taken)
	if n >= len(l.places)*len(l.levels) {
		return Measure{}, false
	}
	step, at := n/len(l.places), n%len(l.places)
	pixel := l.places[at]
	m := Measure{ID: n + 1, Of: len(l.places) * len(l.levels), Pixel: pixel, Level: l.levels[step], First: at == 0, Show: l.prop.Unlit(white)}
	m.Question = fmt.Sprintf("All white at level %s. How many volts, plus to minus, at %s?", words.WholePercent(m.Level), l.placeName(pixel))
	m.Brief = fmt.Sprintf("All white. Volts at pixel %d, plus to minus?", pixel+1)
	if m.First && step > 0 {
		const feel = "Brighter now: feel plugs and joints, stop if one is hot. "
		m.Brief, m.Question = feel+m.Brief, feel+m.Question
	}
	if l.thin && n == 0 {
		m.Brief = ""
		m.Question = fmt.Sprintf("The wires carry level %s at most, see the plan. ", words.WholePercent(l.levels[len(l.levels)-1])) + m.Question
	}
	if l.firstDead() {
		m.Brief = ""
		m.Question = "That was 0 V: is the meter on direct volts, are its tips on both rails? If not, take the reading back. " + m.Question
	}
	return m, true
}

// placeName is a pixel by its number in the prop, as in drawings and tables of readings,
// and in its run.
func (l *Load) placeName(pixel int) string {
	text := fmt.Sprintf("pixel %d", pixel+1)
	if run, at := l.prop.Find(pixel); run >= 0 && len(l.prop.Runs) > 1 {
		text += fmt.Sprintf(" (%d of %s)", at+1, l.prop.QuotedRun(run))
	}
	return text
}

// firstDead reports whether the last reading is close to 0 V and the one before was not:
// a slipped test lead is then more likely than a dead prop (common practice).
func (l *Load) firstDead() bool {
	all := l.Readings()
	none := func(i int) bool { return i >= 0 && power.Dead(l.prop, all[i]) }
	return none(len(all)-1) && !none(len(all)-2)
}

func white(dst patterns.Frame, pixels int, _ time.Duration) patterns.Frame {
	for range pixels {
		dst = append(dst, power.FullWhite())
	}
	return dst
}

// Volts records a reading, volts. level is the one in force, after the limiter. It refuses
// impossible readings.
func (l *Load) Volts(volts, level float64) error {
	m, more := l.Next()
	switch {
	case !more:
		return fmt.Errorf("every reading was taken: there is none to enter")
	case volts < 0:
		return fmt.Errorf("%s is below 0: the meter's tips are swapped, or plus and minus of the prop are; if the prop's are, power off now and mend that first", words.Given(volts, "V"))
	case !(volts >= 0) || volts > 1.3*l.prop.Supply.Volts:
		return fmt.Errorf("%s can't be right with a supply of %s: read again, in volts", words.Given(volts, "V"), words.Given(l.prop.Supply.Volts, "V"))
	case !(level > 0 && level <= 1):
		return fmt.Errorf("level %.4g does not exist: give more than 0, at most 1", level)
	}
	l.taken = append(l.taken, measurement{reading: power.Reading{Level: level, Pixel: m.Pixel, Volts: volts}})
	return nil
}

// Skip leaves the reading out, for a place that the meter can't reach.
func (l *Load) Skip() {
	if _, more := l.Next(); more {
		l.taken = append(l.taken, measurement{skipped: true})
	}
}

// Undo removes the last reading; false when there is none.
func (l *Load) Undo() bool {
	if len(l.taken) == 0 {
		return false
	}
	l.taken = l.taken[:len(l.taken)-1]
	return true
}

// Readings are the readings so far, without skipped ones.
func (l *Load) Readings() []power.Reading {
	var out []power.Reading
	for _, t := range l.taken {
		if !t.skipped {
			out = append(out, t.reading)
		}
	}
	return out
}

// Missing is the number of readings that were skipped or not taken yet.
func (l *Load) Missing() int { return len(l.places)*len(l.levels) - len(l.Readings()) }

// A PlannedReading is a reading, taken or still to take, with the one of the plan.
type PlannedReading struct {
	Pixel   int     // from 0
	Level   float64 // 0 to 1, in force or to ask for
	Volts   float64 // as read; 0 when not taken yet
	Planned float64
	Taken   bool
}

// Compare lists the readings so far, without those skipped, and the next one.
func (l *Load) Compare() ([]PlannedReading, error) {
	readings := l.Readings()
	next, more := l.Next()
	if more {
		readings = append(readings, power.Reading{Level: next.Level, Pixel: next.Pixel})
	}
	planned, err := power.Planned(l.prop, readings)
	if err != nil {
		return nil, err
	}
	out := make([]PlannedReading, len(readings))
	for i, r := range readings {
		out[i] = PlannedReading{r.Pixel, r.Level, r.Volts, planned[i], !more || i < len(readings)-1}
	}
	return out, nil
}

// Result compares the readings with the prop's ladder.
func (l *Load) Result() (power.FitResult, error) { return power.Fit(l.prop, l.Readings()) }
