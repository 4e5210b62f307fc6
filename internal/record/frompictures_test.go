package record

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout/pictures"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/prop"
)

// seen returns the entry of a proof of the Porthole in which every place is as planned
// except for the edits of change.
func seen(t *testing.T, change func(places []eyes.Place)) Entry {
	t.Helper()
	return FromPictures(proved(t, change))
}

func proved(t *testing.T, change func(places []eyes.Place)) *pictures.Proof {
	t.Helper()
	p := prop.Porthole()
	s, err := eyes.SceneOf(p)
	require.NoError(t, err)
	r := &eyes.Result{Measures: eyes.Measures{Spacing: 12.34}, Watched: true}
	for i := range p.Pixels() {
		r.Places = append(r.Places, eyes.Place{State: eyes.Read, Reading: eyes.Reading{Slot: 3 * i, Chip: 3, Order: "GRB", Strength: [4]float64{1, 1, 1}}})
	}
	if change != nil {
		change(r.Places)
	}
	proof, err := pictures.Weigh(p, s, r)
	require.NoError(t, err)
	return proof
}

func TestAProofByPicturesPassesOnlyWhenAllWasRead(t *testing.T) {
	proof := proved(t, nil)
	e := FromPictures(proof)
	require.Equal(t, Stopped, e.Verdict, "the load test is left")
	require.Contains(t, e.Findings[0].Text, "Not signed off yet: the load test")
	proof.Tested(single.Load, single.Result{Good: true, Whole: true})
	e = FromPictures(proof)
	require.Equal(t, Pass, e.Verdict)
	require.Equal(t, "good", e.Findings[0].Kind)
	require.Len(t, e.Camera.Light, 3)
	require.Equal(t, [2]float64{1, 1}, e.Camera.Light[0].Read)
	e.Camera.Light = nil
	require.Equal(t, &Camera{Places: 144, Right: 144, Spacing: 12.3}, e.Camera)
	require.Empty(t, e.Built)

	e = seen(t, func(p []eyes.Place) { p[9].State = eyes.Unread })
	require.Equal(t, Stopped, e.Verdict, "an unread place is neither good nor bad")
	require.Equal(t, 1, e.Camera.Unread)

	e = seen(t, func(p []eyes.Place) { p[9].State = eyes.Dark })
	require.Equal(t, Fail, e.Verdict)
	require.Equal(t, 1, e.Camera.Wrong)
	require.Equal(t, []string{"inner ring, place 10: dark"}, e.Built)
	require.NotEqual(t, "good", e.Findings[0].Kind)

	e = seen(t, func(p []eyes.Place) { p[9].State = eyes.Stuck }) // no list has it
	require.Equal(t, Fail, e.Verdict)
	require.NotEqual(t, "good", e.Findings[0].Kind)
}

// A proof fails if a place is wrong, however much was not read, or if the voltage falls
// though every place lights. It is left open only if no reading contradicts the plan.
func TestVerdictOfAProofByPictures(t *testing.T) {
	set := func(state eyes.State, at ...int) func([]eyes.Place) {
		return func(p []eyes.Place) {
			for _, i := range at {
				p[i].State = state
			}
		}
	}
	for name, row := range map[string]struct {
		change        func([]eyes.Place)
		wrong, unread int
		want          Verdict
	}{
		"one wrong":                       {set(eyes.Dark, 9), 1, 0, Fail},
		"one wrong and one unread":        {func(p []eyes.Place) { set(eyes.Dark, 9)(p); set(eyes.Unread, 70)(p) }, 1, 1, Fail},
		"two wrong and a ring unread":     {func(p []eyes.Place) { set(eyes.Stuck, 9, 40)(p); set(eyes.Unread, indexes(84, 144)...)(p) }, 2, 60, Fail},
		"one unread":                      {set(eyes.Unread, 70), 0, 1, Stopped},
		"two unread":                      {set(eyes.Unread, 9, 70), 0, 2, Stopped},
		"none read":                       {set(eyes.Unread, indexes(0, 144)...), 0, 144, Stopped},
		"all read, and the voltage falls": {reddening, 0, 0, Fail},
	} {
		e := seen(t, row.change)
		assert.Equal(t, row.want, e.Verdict, name)
		assert.Equal(t, []int{row.wrong, row.unread, 144 - row.wrong - row.unread}, []int{e.Camera.Wrong, e.Camera.Unread, e.Camera.Right}, name)
	}
}

// indexes are the whole numbers from one to below another.
func indexes(from, to int) (out []int) {
	for i := from; i < to; i++ {
		out = append(out, i)
	}
	return out
}

// reddening makes the light lose more green and blue than red along the run, as with a
// falling voltage.
func reddening(p []eyes.Place) {
	for i := range p {
		k := 1 - float64(i)/300
		p[i].Reading.Strength = [4]float64{k, k * k, k * k}
	}
}

// Text and sheet say how much a camera read and where light falls, and what is
// not as planned.
func TestTextAndSheetKnowOfTheCamera(t *testing.T) {
	e := seen(t, func(p []eyes.Place) {
		p[9].State = eyes.Dark
		for i := 84; i < 144; i++ { // the outer ring fades to a third
			k := 1 - float64(i-84)/90
			p[i].Reading.Strength = [4]float64{k, k, k}
		}
	})
	e.Kind, e.Camera.Level = "check-out", 0.2
	says := strings.Join(e.lines(), "\n")
	require.Contains(t, says, "by camera: 143 of 144 places as planned, 1 not, 0 unread (12 camera pixels apart, level 20 %)")
	require.Contains(t, says, "as built: inner ring, place 10: dark")
	require.Contains(t, says, "light along outer ring by camera: 0.94 to 0.41, planned 1.00 to 1.00")
	require.NotContains(t, says, "light along middle ring")
	pg := Page{Prop: prop.Porthole()}
	found := strings.Join(pg.asFound(e), "\n")
	require.Contains(t, found, "by camera: 143 of 144")
	require.Contains(t, found, "as built: inner ring, place 10: dark")
}
