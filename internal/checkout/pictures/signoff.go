package pictures

import (
	"errors"
	"fmt"
	"strings"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/words"
)

// Pictures alone do not sign a prop off. Too much resistance in a joint or a feed of a
// prop that is fed from two sides hardly dims it: 1 Ω in a joint between two feeds takes
// less than a tenth of the light at full level, and pixels of one reel differ by as much
// (common practice). The check-out by questions does not find it either. A voltmeter does,
// so the load test must be good too. With one picture a look, flicker is not seen, so the
// flex test must be good too.

// AllRight reports whether every place was read and is as planned, the colours show no fall
// of voltage, and the engine finds no fault.
func (p *Proof) AllRight() bool {
	return !p.Result.Unlit && len(p.found) > 0 && p.found[0].Good && p.allRight() && !p.reddens()
}

// Good reports whether the prop is signed off: AllRight, the required tests were good, and
// the engine is sure enough.
func (p *Proof) Good() bool { return p.AllRight() && len(p.Left()) == 0 && p.found[0].Sure.Firm() }

// Left are the tests still required before sign-off, in order; none unless AllRight.
func (p *Proof) Left() (out []single.Kind) {
	if p.Prop == nil || !p.AllRight() {
		return nil
	}
	if !p.Result.Watched && !p.tested[single.Flex] {
		out = append(out, single.Flex)
	}
	if _, err := power.NetworkOf(p.Prop); err == nil && !p.tested[single.Load] {
		out = append(out, single.Load)
	}
	if len(out) == 0 && !p.found[0].Sure.Firm() && !p.tested[single.Flex] { // the engine's other open question
		out = append(out, single.Flex)
	}
	return out
}

// settles are the questions of the engine that a test answers, with the answer of a good
// test: a loose contact and a fall of voltage are among the engine's explanations.
var settles = map[single.Kind]struct {
	question checkout.Kind
	sees     checkout.Token
}{
	single.Flex: {checkout.AskSteady, checkout.SeesSteady},
	single.Load: {checkout.AskFade, checkout.SeesAlike},
}

// settle gives the engine the answer of a good test, if the pictures did not answer that
// question.
func (p *Proof) settle(k single.Kind) error {
	for _, q := range p.Session.Asked() {
		if q.Kind != settles[k].question || q.Given != checkout.NotSure {
			continue
		}
		for _, a := range q.Answers {
			if a.Sees == settles[k].sees {
				return errors.Join(p.Session.Change(q.ID, a.Key), p.answer())
			}
		}
	}
	return nil
}

// Tested uses the result of a required test. A test that found a fault, was not complete,
// or is not firm does not change the proof.
func (p *Proof) Tested(k single.Kind, r single.Result) {
	if !r.Good || !r.Whole || !firm(r) || p.settle(k) != nil {
		return
	}
	if p.tested == nil {
		p.tested = map[single.Kind]bool{}
	}
	p.tested[k] = true
	p.found = p.findings()
	p.Findings = p.found
	p.temper()
}

// firm reports whether the posterior of "nothing wrong" is as high as the engine requires
// for sign-off. Of 20 load tests of each of four sound simulated props, with 10 mV of noise
// and rounding, the lowest was 96.7 %; with 0.2 Ω in a joint or feed, six tests each, the
// highest was 14.6 %.
func firm(r single.Result) bool {
	if r.Fit == nil {
		return true
	}
	sure, _ := checkout.Certainty(r.Fit.Nothing, false)
	return sure.Firm()
}

// leftNames are the tests in a sentence.
var leftNames = map[single.Kind]string{single.Flex: "the flex test", single.Load: "the load test with a voltmeter"}

// leftText names the tests that are left.
func (p *Proof) leftText() string {
	var all []string
	for _, k := range p.Left() {
		all = append(all, leftNames[k])
	}
	if len(all) == 0 {
		return "the questions of the check-out are left"
	}
	return fmt.Sprintf("%s %s left", words.And(all), words.Plural(len(all), "is", "are"))
}

// unproved is the finding of a prop with AllRight before the required tests.
func (p *Proof) unproved() checkout.Finding {
	f := checkout.Finding{Sure: checkout.Unsettled, Share: 1, Because: p.found[0].Because,
		Title: fmt.Sprintf("Every pixel lights as planned. Not signed off yet: %s.", p.leftText())}
	for _, k := range p.Left() {
		f.Causes = append(f.Causes, checkout.Cause{Text: leftCauses[k], Remedy: leftRemedies[k]})
	}
	return f
}

// leftCauses are the faults that may still be there, and leftRemedies the tests for them.
var (
	leftCauses = map[single.Kind]string{
		single.Flex: "a loose contact, whose light comes and goes",
		single.Load: "too much resistance in a joint or a feed, which hardly dims the light",
	}
	leftRemedies = map[single.Kind]string{
		single.Flex: "Bend every joint in the flex test.",
		single.Load: "Take the readings of the load test with a voltmeter.",
	}
)

// LeftWhy says why the prop is not signed off although all is right; empty when it is.
func (p *Proof) LeftWhy() string {
	if !p.AllRight() || p.Good() {
		return ""
	}
	return strings.TrimSpace(fmt.Sprintf("It is not signed off yet: %s. %s", p.leftText(), p.LeftReasons()))
}

// LeftReasons says what the required tests show and a picture does not.
func (p *Proof) LeftReasons() string {
	var all []string
	for _, k := range p.Left() {
		switch {
		case k == single.Load:
			all = append(all, "Too much resistance in a joint or a feed hardly dims the light: no picture shows it.")
		case p.Result.Watched:
			all = append(all, "A joint that gives way when bent does not show in light at rest.")
		default:
			all = append(all, "One picture a look does not show light that comes and goes.")
		}
	}
	return strings.Join(all, " ")
}
