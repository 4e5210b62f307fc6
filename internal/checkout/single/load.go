package single

import (
	"fmt"
	"strconv"
	"strings"

	"example.org/ringout/internal/checkout/joints"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// A LoadTest measures the copper with a voltmeter.
type LoadTest struct {
	*joints.Load
	prop *prop.Prop
}

func newLoad(p *prop.Prop) (Test, error) {
	l, err := joints.NewLoad(p, 1)
	if err != nil {
		return nil, err
	}
	return LoadTest{l, p}, nil
}

// Kind is Load.
func (LoadTest) Kind() Kind { return Load }

// Step is the next reading to take; false when done.
func (t LoadTest) Step() (Step, bool) {
	m, more := t.Next()
	s := Step{Progress: fmt.Sprintf("Load test, reading %d of %d", m.ID, m.Of), Large: []string{fmt.Sprintf("Volts at pixel %d?", m.Pixel+1), fmt.Sprintf("Volts at %d?", m.Pixel+1), fmt.Sprintf("V at %d?", m.Pixel+1)}, Question: m.Question, Brief: m.Brief,
		Hint:    "keep clear of the mains; power off to solder",
		Answers: []Answer{{Key: 0, Press: "s", Text: "skip it: the meter can't reach it"}}, Typed: VoltsLine, Show: m.Show, Level: m.Level,
		Marks: []prop.Span{{First: m.Pixel, Last: m.Pixel}}}
	if m.ID == 1 {
		s.Hint = "if not all is white, check the prop out first; " + s.Hint
	}
	return s, more
}

// Answer records a reading, or key 0 for a place that the meter can't reach.
func (t LoadTest) Answer(r Reply) error {
	if r.Typed == "" {
		s, _ := t.Step()
		if err := s.check(r.Key); err != nil {
			return err
		}
		t.Skip()
		return nil
	}
	v, err := ParseVolts(r.Typed)
	if err != nil {
		return err
	}
	return t.Load.Volts(v, r.Level)
}

// ParseVolts reads a reading as it is typed: "4.83", "4,83" and "4.83 V". What Go reads
// as a number beside that, such as 0x1p2, no meter shows.
func ParseVolts(text string) (float64, error) {
	clean := strings.TrimSpace(strings.TrimRight(strings.ReplaceAll(text, ",", "."), "vV "))
	v, err := strconv.ParseFloat(clean, 64)
	if err != nil || strings.Trim(clean, "+-.0123456789") != "" {
		return 0, fmt.Errorf("%q is no reading: type volts, such as 4.83", text)
	}
	return v, nil
}

// fitTitles are short results of a load test.
var fitTitles = map[power.FitVerdict]string{
	power.FitGood: "The copper is sound", power.FitTooFew: "Too few readings", power.FitFound: "Resistance found",
	power.FitCantTell: "Can't tell where", power.FitPoor: "No one place fits", power.FitNone: "No voltage",
	power.FitDoubtful: "Measure again", power.FitLowSupply: "Supply too low",
}

// Result compares the readings with the prop's copper.
func (t LoadTest) Result() (Result, error) {
	fit, err := t.Load.Result()
	if err != nil {
		return Result{}, err
	}
	r := Result{Title: fitTitles[fit.Verdict], Good: fit.Verdict == power.FitGood, Whole: t.Missing() == 0,
		Lines: paragraphs(fit.Text), Fit: &fit, Built: AsBuilt{Why: nothingToFollow}}
	r.Here, r.OrHere = suspectPlaces(t.prop, fit)
	if n := t.Missing(); r.Good && n > 0 {
		r.Title = "Sound, as far as measured"
		r.Lines = append(r.Lines, paragraphs(NotTaken(n))...)
	}
	if named := fit.Named(); len(named) > 1 && fit.Verdict != power.FitNone { // else the text names the place
		for _, s := range named {
			r.Lines = append(r.Lines, Paragraph{fmt.Sprintf("%2.0f in 100: ", 100*s.Weight), s.Name + ", " + s.Much()})
		}
	}
	return r, nil
}

// NotTaken says what it means that some readings were not taken.
func NotTaken(n int) string {
	return fmt.Sprintf("%s not taken, and what lies there may have gone unseen.", words.Count(n, "reading")+words.Plural(n, " was", " were"))
}

// suspectPlaces are the likeliest place of too much resistance, and the others
// that are named. At a joint it lies between two pixels, so both are marked.
func suspectPlaces(p *prop.Prop, fit power.FitResult) (here, orHere []prop.Span) {
	for i, s := range fit.Named() {
		at := placeOf(p, s)
		switch {
		case i == 0 && fit.Verdict == power.FitFound, len(fit.Suspects) == 1 && fit.Verdict == power.FitNone:
			here = append(here, at)
		default:
			orHere = append(orHere, at)
		}
	}
	return here, orHere
}

// placeOf are the pixels on both sides of a joint, or the one of a feed.
func placeOf(p *prop.Prop, s power.Suspect) prop.Span {
	if s.Run > 0 && s.Run < len(p.Runs) {
		at := p.FirstPixel(s.Run)
		return prop.Span{First: at - 1, Last: at}
	}
	at := 0
	if s.Feed < len(p.Feeds) {
		at = p.Feeds[s.Feed].Pixel
	}
	return prop.Span{First: at, Last: at}
}
