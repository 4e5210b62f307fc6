package record

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout/bulb"
	"example.org/ringout/internal/checkout/joints"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
)

func TestFromFlex(t *testing.T) {
	f, err := joints.NewFlex(prop.Porthole())
	require.NoError(t, err)
	require.NoError(t, f.Answer(joints.Steady))
	e := FromFlex(f)
	assert.Equal(t, Stopped, e.Verdict, "two joints were not bent")
	assert.Equal(t, "flex test; not tested: inner ring to middle ring, middle ring to outer ring", e.Notes)
	require.NoError(t, f.Answer(joints.Steady))
	e = FromFlex(f)
	assert.Equal(t, Stopped, e.Verdict, "one joint was not bent")
	assert.Equal(t, "flex test; not tested: middle ring to outer ring", e.Notes)
	require.NoError(t, f.Answer(joints.NotSure))
	assert.Equal(t, Stopped, FromFlex(f).Verdict, "of one joint it is not known")
	f.Undo()
	require.NoError(t, f.Answer(joints.Steady))
	assert.Equal(t, Pass, FromFlex(f).Verdict)
	assert.Equal(t, "flex test", FromFlex(f).Notes)
	f.Undo()
	require.NoError(t, f.Answer(joints.FromHere))
	e = FromFlex(f)
	assert.Equal(t, Fail, e.Verdict)
	assert.Equal(t, 85, e.Findings[0].Pixel)
}

func TestFromLoad(t *testing.T) {
	p := prop.Porthole()
	r := power.FitResult{Verdict: power.FitFound, Text: "About 0.4 ohm too much", Suspects: []power.Suspect{
		{Run: 2, Name: "the joint", Ohms: 0.4, PlusMinus: 0.08, Weight: 0.97}, {Feed: 0, Name: `feed "inner"`, Ohms: 0.01, PlusMinus: 0.02}, {Run: 1, PlusMinus: 1e6}}}
	e := FromLoad(p, []power.Reading{{Pixel: 84, Level: 0.5, Volts: 4.5}}, r)
	assert.Equal(t, []Joint{{"middle ring to outer ring", 0.4, 0.04}, {`at feed "inner"`, 0.01, 0.01}}, e.Joints, "what can't be told is left out")
	assert.Equal(t, []Reading{{85, 0.5, 4.5}}, e.Volts)
	for plusMinus, want := range map[float64]int{1.99: 1, 2: 0} {
		e := FromLoad(p, nil, power.FitResult{Suspects: []power.Suspect{{Run: 1, PlusMinus: plusMinus}}})
		require.Len(t, e.Joints, want, "known to %g ohms", plusMinus)
		if want > 0 {
			assert.Equal(t, "inner ring to middle ring", e.Joints[0].Name, "the first joint too")
		}
	}
	assert.Equal(t, Fail, e.Verdict)
	assert.Equal(t, Pass, FromLoad(p, nil, power.FitResult{Verdict: power.FitGood}).Verdict)
	assert.Equal(t, Stopped, FromLoad(p, nil, power.FitResult{}).Verdict)

	readings := []power.Reading{{Pixel: 35, Level: 0.5, Volts: 4.9}, {Pixel: 36, Level: 0.5}}
	none, err := power.Fit(p, readings)
	require.NoError(t, err)
	e = FromLoad(p, readings, none)
	assert.Equal(t, Fail, e.Verdict)
	require.Len(t, e.Findings, 1)
	assert.Contains(t, e.Findings[0].Text, "No voltage after the joint")
	assert.Empty(t, e.Joints, "no ohms of what carries nothing")
}

func TestFromBulb(t *testing.T) {
	assert.Equal(t, Pass, FromBulb(bulb.Result{Good: true, Order: "RGBW", Known: true}).Verdict)
	e := FromBulb(bulb.Result{Unseen: true})
	assert.Equal(t, Stopped, e.Verdict)
	assert.Empty(t, e.Findings, "nothing is wrong as far as it went")
	e = FromBulb(bulb.Result{Order: "WRGB", Lines: []string{"The slots are WRGB.", "Black is fully dark."}, Wrong: []string{"The slots are WRGB."}})
	assert.Equal(t, Fail, e.Verdict)
	assert.Equal(t, "The slots are WRGB.", e.Findings[0].Text, "what is left to mend is what is wrong")
	assert.Equal(t, "WRGB", e.Order)
}

// Every load test that fails says what to do next.
func TestAFailedLoadTestHasARemedy(t *testing.T) {
	p := prop.Porthole()
	for _, v := range []power.FitVerdict{power.FitFound, power.FitCantTell, power.FitPoor, power.FitNone, power.FitLowSupply} {
		e := FromLoad(p, nil, power.FitResult{Verdict: v, Text: "text", Suspects: []power.Suspect{{Run: 1, Name: "the joint", Weight: 0.96}}})
		require.Equal(t, Fail, e.Verdict, "%d", v)
		require.NotEmpty(t, e.Findings[0].Remedy, "%d", v)
	}
}
