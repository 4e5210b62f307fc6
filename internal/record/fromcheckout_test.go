package record

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

func found(sure checkout.Confidence, causes ...[]strip.Fault) checkout.Finding {
	f := checkout.Finding{Sure: sure, Share: 0.97, Title: "title", Because: []string{"1. Q? A"}}
	for _, c := range causes {
		f.Causes = append(f.Causes, checkout.Cause{Faults: c, Remedy: "mend " + string(c[0].Kind)})
	}
	return f
}

var soundProp = checkout.Finding{Good: true, Sure: checkout.Certain, Share: 1, Title: "good"}

func TestVerdictOfACheckout(t *testing.T) {
	open := []strip.Fault{{Kind: strip.OpenJoint, Pixel: 59}}
	maybeGood := soundProp
	maybeGood.Sure = checkout.Possible
	for name, row := range map[string]struct {
		found []checkout.Finding
		left  bool
		want  Verdict
	}{
		"nothing known":                {nil, true, Stopped},
		"sound":                        {[]checkout.Finding{soundProp}, false, Pass},
		"sound, ended early":           {[]checkout.Finding{soundProp}, true, Pass},
		"fault":                        {[]checkout.Finding{found(checkout.VeryLikely, open)}, false, Fail},
		"short list of faults":         {[]checkout.Finding{found(checkout.Possible, open), found(checkout.Possible, open)}, false, Fail},
		"short list, ended early":      {[]checkout.Finding{found(checkout.Possible, open)}, true, Stopped},
		"short list with a sound prop": {[]checkout.Finding{found(checkout.Possible, open), maybeGood}, false, Stopped},
		"perhaps sound is not a pass":  {[]checkout.Finding{maybeGood}, false, Stopped},
	} {
		e := FromCheckout(prop.Porthole(), nil, row.found, row.left)
		assert.Equal(t, row.want, e.Verdict, name)
	}
}

// A check-out that passes by questions records which resistances the looks could not
// show; one that does not pass does not.
func TestWhatWasNotTriedIsRecorded(t *testing.T) {
	sound := soundProp
	sound.Untried = "Not tried: the joints."
	assert.Equal(t, sound.Untried, FromCheckout(prop.Porthole(), nil, []checkout.Finding{sound}, false).Notes)
	sound.Sure = checkout.Possible
	assert.Empty(t, FromCheckout(prop.Porthole(), nil, []checkout.Finding{sound}, false).Notes)
}

// A place is written with pixels from 1, over the prop and in its run.
func TestFindingHasItsPlace(t *testing.T) {
	p := prop.Porthole() // rings of 36, 48 and 60
	e := FromCheckout(p, nil, []checkout.Finding{found(checkout.Certain,
		[]strip.Fault{{Kind: strip.OpenJoint, Pixel: 59}}, []strip.Fault{{Kind: strip.DeadStop, Pixel: 59}})}, false)
	require.Len(t, e.Findings, 1)
	f := e.Findings[0]
	assert.Equal(t, "open-joint", f.Kind)
	assert.Equal(t, p.Runs[1].Name, f.Run)
	assert.Equal(t, 60, f.Pixel)
	assert.Equal(t, 24, f.InRun, "60 less 36 of the first ring")
	assert.Equal(t, []string{"mend open-joint", "mend dead-stop"}, f.Remedy)
	assert.Equal(t, []string{"1. Q? A"}, f.Because)
	for _, r := range e.Runs {
		assert.Zero(t, r.Found, "not counted is not good")
		assert.Empty(t, r.Travel)
	}
	assert.Empty(t, e.Order)
}

// A sound prop has one finding and no fault, whatever else was looked at; so has one of
// which no cause is known.
func TestNoFaultsWithoutCauses(t *testing.T) {
	open := []strip.Fault{{Kind: strip.OpenJoint, Pixel: 59}}
	for name, f := range map[string]checkout.Finding{
		"sound": soundProp, "no cause": found(checkout.Possible), "a cause without a fault": {Sure: checkout.Possible, Causes: []checkout.Cause{{Text: "x"}}},
		"sound, with a cause": {Good: true, Sure: checkout.Certain, Causes: []checkout.Cause{{Faults: open}}},
	} {
		e := FromCheckout(prop.Porthole(), nil, []checkout.Finding{f}, false)
		require.Len(t, e.Findings, 1, name)
		assert.Zero(t, e.Findings[0].Pixel, name)
		assert.Equal(t, f.Good, e.Verdict == Pass, name)
		assert.Equal(t, f.Good, e.Findings[0].Kind == "good", name)
	}
}

// The certainty of a finding is kept as a share of 1 and in words.
func TestSureIsKeptAsAShare(t *testing.T) {
	for percent, want := range map[int]float64{1: 0.01, 50: 0.5, 97: 0.97, 100: 1} {
		f := found(checkout.VeryLikely, []strip.Fault{{Kind: strip.OpenJoint, Pixel: 59}})
		f.Percent = percent
		e := FromCheckout(prop.Porthole(), nil, []checkout.Finding{f}, false)
		assert.Equal(t, want, e.Findings[0].Sure)
		assert.Equal(t, f.Certainty(), e.Findings[0].Certainty)
	}
}

// A remedy shared by several causes is written once, in the order of the causes. A cause
// without a remedy adds none.
func TestARemedyOfSeveralCausesStandsOnce(t *testing.T) {
	f := found(checkout.VeryLikely)
	for _, remedy := range []string{"reflow", "", "replace", "reflow", "", "replace", "swap"} {
		f.Causes = append(f.Causes, checkout.Cause{Faults: []strip.Fault{{Kind: strip.OpenJoint, Pixel: 59}}, Remedy: remedy})
	}
	e := FromCheckout(prop.Porthole(), nil, []checkout.Finding{f}, false)
	require.Len(t, e.Findings, 1)
	assert.Equal(t, []string{"reflow", "replace", "swap"}, e.Findings[0].Remedy)
}

func TestTwoFaultsAreTwoFindings(t *testing.T) {
	p := prop.Porthole()
	e := FromCheckout(p, nil, []checkout.Finding{found(checkout.VeryLikely,
		[]strip.Fault{{Kind: strip.WrongOrder, Order: "RGB"}, {Kind: strip.DeadChannel, Pixel: 2, Channel: patterns.Blue}})}, false)
	require.Len(t, e.Findings, 2)
	assert.Equal(t, "RGB", e.Order)
	assert.Equal(t, "blue", e.Findings[1].Channel)
	assert.Contains(t, strings.Join(e.Findings[1].Bring, ", "), p.Chip.Name)
}

func TestMeasuredRuns(t *testing.T) {
	p := prop.Porthole()
	good := FromCheckout(p, nil, []checkout.Finding{soundProp}, false)
	assert.Equal(t, Run{Name: p.Runs[2].Name, Planned: 60, Found: 60, Travel: "as planned"}, good.Runs[2])
	assert.Equal(t, string(p.Chip.Order), good.Order)

	short := FromCheckout(p, nil, []checkout.Finding{found(checkout.VeryLikely, []strip.Fault{{Kind: strip.Count, Run: 1, N: -2}})}, false)
	assert.Equal(t, Run{Name: p.Runs[1].Name, Planned: 48, Found: 46}, short.Runs[1])
	assert.Zero(t, short.Runs[0].Found)

	turned := FromCheckout(p, nil, []checkout.Finding{found(checkout.VeryLikely, []strip.Fault{{Kind: strip.RunMirrored, Run: 0}})}, false)
	assert.Equal(t, "reversed", turned.Runs[0].Travel)

	two := FromCheckout(p, nil, []checkout.Finding{found(checkout.VeryLikely, []strip.Fault{{Kind: strip.Count, Run: 1, N: -2}}, []strip.Fault{{Kind: strip.Sag}})}, false)
	assert.Zero(t, two.Runs[1].Found, "it may also be the other")
}

func TestStepsAreInWords(t *testing.T) {
	p := prop.Porthole()
	s, err := checkout.New(p, checkout.Options{})
	require.NoError(t, err)
	probe, _ := s.Next()
	require.NoError(t, s.Answer(1))
	require.NoError(t, s.Answer(checkout.NotSure))
	e := FromCheckout(p, s.Asked(), s.Findings(), true)
	require.Len(t, e.Steps, 2)
	assert.Equal(t, Step{Probe: string(probe.Spec.Kind), Question: probe.Question, Answer: probe.Answers[0].Text}, e.Steps[0])
	assert.Equal(t, "not sure", e.Steps[1].Answer)
	assert.Equal(t, p.Name, e.Prop)
	assert.Equal(t, "check-out", e.Kind)
}

// A light that no known fault explains, and an absent prop, are never recorded as good.
func TestNoVerdictIsNotKeptAsGood(t *testing.T) {
	p := prop.Porthole()
	unknown := checkout.Finding{Title: "Nothing I know explains this.", Sure: checkout.Possible,
		Unknown: &checkout.UnknownFault{Closest: checkout.Cause{Text: "Pixel 5 is dark."}, Next: "Walk the prop."}}
	e := FromCheckout(p, nil, []checkout.Finding{unknown}, false)
	assert.Equal(t, Fail, e.Verdict)
	assert.Equal(t, "unknown", e.Findings[0].Kind)
	assert.Equal(t, []string{"Walk the prop."}, e.Findings[0].Remedy)
	assert.Contains(t, e.Findings[0].Because, "closest: Pixel 5 is dark.")

	absent := checkout.Finding{Absent: true, Title: "Nothing listens.", Causes: []checkout.Cause{{Text: "Nothing listens.", Remedy: "Check the host."}}}
	e = FromCheckout(p, nil, []checkout.Finding{absent}, false)
	assert.Equal(t, Stopped, e.Verdict)
	assert.Equal(t, "absent", e.Findings[0].Kind)
	assert.Equal(t, []string{"Check the host."}, e.Findings[0].Remedy)
}

// Flicker while another source drives the universe: the entry has that as its fault, with
// what to do about it before the remedies of the strip.
func TestAnotherSourceIsAFaultOfTheEntry(t *testing.T) {
	f0 := found(checkout.VeryLikely, []strip.Fault{{Kind: strip.Flicker, Pixel: 30}})
	f0.Causes = append([]checkout.Cause{{Text: "Another source.", Remedy: "Stop the other source."}}, f0.Causes...) // as Network.causes puts it
	e := FromCheckout(prop.Porthole(), nil, []checkout.Finding{f0}, false)
	assert.Equal(t, Fail, e.Verdict)
	require.Len(t, e.open(), 1)
	f := e.open()[0]
	assert.Equal(t, "network", f.Kind)
	assert.Equal(t, []string{"Stop the other source.", "mend flicker"}, f.Remedy)
}
