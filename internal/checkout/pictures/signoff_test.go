package pictures

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// watched is a proof of a prop by a camera that saw all light steady.
func watched(t *testing.T, p *prop.Prop, faults ...strip.Fault) *Proof {
	t.Helper()
	s, err := eyes.SceneOf(p)
	require.NoError(t, err)
	r := readLight(t, p, s, shown(t, p, s, faults...))
	r.Watched = true
	proof, err := Weigh(p, s, r)
	require.NoError(t, err)
	return proof
}

// loaded is what the load test comes to on a simulated prop, read with a meter
// that errs by 10 mV and shows hundredths; every skip-th reading is left out, 0 for
// none.
func loaded(t *testing.T, p *prop.Prop, seed uint64, skip int, faults ...strip.Fault) single.Result {
	t.Helper()
	model, err := strip.New(p, faults...)
	require.NoError(t, err)
	test, err := single.New(single.Load, p)
	require.NoError(t, err)
	r := rand.New(rand.NewPCG(seed, 16))
	for n := 1; ; n++ {
		step, more := test.Step()
		if !more {
			break
		}
		if skip > 0 && n%skip == 0 {
			require.NoError(t, test.Answer(single.Reply{}))
			continue
		}
		sent := step.Show(nil, p.Pixels(), 0)
		for i := range sent {
			sent[i] = sent[i].Dim(step.Level)
		}
		volts, err := model.Volts(sent)
		require.NoError(t, err)
		v := math.Round(100*(volts[step.Marks[0].First]+0.01*r.NormFloat64())) / 100
		require.NoError(t, test.Answer(single.Reply{Typed: fmt.Sprintf("%.2f", v), Level: step.Level}))
	}
	out, err := test.Result()
	require.NoError(t, err)
	return out
}

// A sound prop is signed off by the camera and the tests that are left, each gone
// through whole.
func TestASoundPropIsSignedOffByTheTestsThatAreLeft(t *testing.T) {
	for name, p := range props(t) {
		proof := watched(t, p)
		require.Equal(t, []single.Kind{single.Load}, proof.Left(), name)
		require.False(t, proof.Findings[0].Good)
		require.Contains(t, proof.Findings[0].Title, "Not signed off yet")
		_, ok := proof.AsBuilt()
		require.False(t, ok, "what is left changes no plan")
		proof.Tested(single.Load, loaded(t, p, 1, 7))
		require.False(t, proof.Good(), "%s: readings were skipped", name)
		proof.Tested(single.Load, loaded(t, p, 1, 0))
		require.True(t, proof.Good(), name)
		require.True(t, proof.Findings[0].Good)
		require.Empty(t, proof.LeftWhy())
		require.Contains(t, proof.Open(), "All light was steady")

		proof = weigh(t, p) // one picture a look
		require.Equal(t, []single.Kind{single.Flex, single.Load}, proof.Left(), name)
		require.Contains(t, proof.LeftWhy(), "does not show light that comes and goes")
		proof.Tested(single.Load, loaded(t, p, 2, 0))
		require.False(t, proof.Good())
		proof.Tested(single.Flex, single.Result{Good: true})
		require.False(t, proof.Good(), "someone was not sure of a joint")
		proof.Tested(single.Flex, single.Result{Good: true, Whole: true})
		require.True(t, proof.Good())
		require.Contains(t, proof.Open(), "Every joint was bent")
		var line bytes.Buffer
		require.NoError(t, proof.JSON(&line))
		require.Contains(t, line.String(), `"good":true`)
		require.NotContains(t, line.String(), "tests_left")
	}
}

// So do other sound props: one of two universes, a short line with one feed, and a
// line without feeds in its plan.
func TestOtherSoundPropsAreSignedOff(t *testing.T) {
	short := prop.Porthole()
	short.Runs, short.Feeds = short.Runs[:1], short.Feeds[:1]
	short.Runs[0].Pixels = 12
	plain := prop.Porthole()
	plain.Runs, plain.Feeds = plain.Runs[:2], nil
	for name, p := range map[string]*prop.Prop{"wide": wide(t), "short": short, "plain": plain} {
		proof := watched(t, p)
		require.True(t, proof.AllRight(), name)
		for n := 0; len(proof.Left()) > 0; n++ {
			require.Less(t, n, 2, name)
			if k := proof.Left()[0]; k == single.Load {
				proof.Tested(k, loaded(t, p, 4, 0))
			} else {
				proof.Tested(k, single.Result{Good: true, Whole: true})
			}
		}
		require.True(t, proof.Good(), "%s: %v", name, proof.Findings)
		require.True(t, proof.Findings[0].Sure.Firm())
	}
}

// Too much resistance in any joint or feed is never signed off: 0.2 Ω, the least
// that the catalogue draws, to 2 Ω. The light of many of them is as planned for
// any camera. The usual run takes each joint once; RINGOUT_LONG=1 takes ten meters
// for each.
func TestNoResistanceIsSignedOff(t *testing.T) {
	t.Parallel()
	seeds := uint64(1)
	if os.Getenv("RINGOUT_LONG") != "" {
		seeds = 10
	}
	unseen := 0
	for name, p := range props(t) {
		for run := range p.Runs {
			for _, mohm := range []int{200, 500, 1000, 2000} {
				ft := strip.Fault{Kind: strip.Resistance, Run: run, N: mohm}
				proof := watched(t, p, ft)
				if proof.AllRight() {
					unseen++
				}
				require.False(t, proof.Good())
				for seed := range seeds {
					proof.Tested(single.Load, loaded(t, p, seed, 0, ft))
					require.False(t, proof.Good(), "%s: %s, meter %d", name, ft, seed)
				}
			}
		}
	}
	require.Positive(t, unseen, "the camera alone sees none of these")
	t.Logf("%d of 20 are as planned in every look", unseen)
}

// A person who walks through is reported, also where all could be read.
func TestSomebodyWhoWalksThroughIsSpokenOf(t *testing.T) {
	proof := watched(t, prop.Porthole())
	require.Empty(t, proof.Beside())
	proof.Result.Beside = 2
	require.Equal(t, "Something beside the prop changed in 2 of 14 looks: someone walks through, or a lamp is switched. Every place could be read all the same.", proof.Beside())
	var text bytes.Buffer
	proof.Text(&text)
	require.Contains(t, text.String(), proof.Beside())
	proof.Result.Places[3].State = eyes.Unread
	again, err := Weigh(proof.Prop, proof.Scene, proof.Result)
	require.NoError(t, err)
	require.Contains(t, again.Beside(), "run it again for what was not read")
}
