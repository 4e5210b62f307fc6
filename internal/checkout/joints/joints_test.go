package joints

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

func TestFlexNamesTheLooseJoint(t *testing.T) {
	p := prop.Porthole()
	for bad := range 3 { // the lead, and two joints
		first := p.FirstPixel(bad)
		loose, err := strip.New(p, strip.Fault{Kind: strip.Flicker, Pixel: first})
		require.NoError(t, err)
		f, err := NewFlex(p)
		require.NoError(t, err)
		asked := 0
		for {
			b, more := f.Next()
			if !more {
				break
			}
			asked++
			frame := b.Show(nil, p.Pixels(), time.Second)
			sent := loose.Lay(frame)
			held, gone := loose.ShineInto(nil, sent), loose.ShineOpen(nil, sent)
			answer := Steady
			// Only the joint that is bent lets go.
			if b.Joint.FirstPixel == first {
				require.Less(t, gone.Lit(), held.Lit())
				answer = FromHere
			}
			require.NoError(t, f.Answer(answer))
		}
		assert.Equal(t, 3, asked)
		found := f.Findings()
		require.Len(t, found, 1)
		assert.Equal(t, first, found[0].Joint.FirstPixel)
		assert.NotEmpty(t, found[0].Does.Remedy())
		assert.Empty(t, f.Open())
	}
}

func TestFlexMarksBothSides(t *testing.T) {
	f, err := NewFlex(prop.Porthole())
	require.NoError(t, err)
	lead, _ := f.Next()
	assert.Equal(t, []prop.Span{{First: 0, Last: 0}}, lead.Marks)
	assert.Contains(t, lead.Question, "in front of the red pixel 1")
	require.NoError(t, f.Answer(Steady))
	b, _ := f.Next()
	frame := b.Show(nil, 144, 0)
	assert.Equal(t, beforeMark, frame[35])
	assert.Equal(t, afterMark, frame[36])
	assert.Contains(t, b.Question, "between the green pixel 36 and the red pixel 37")
}

func TestFlexAnswersAndUndo(t *testing.T) {
	f, err := NewFlex(prop.Porthole())
	require.NoError(t, err)
	assert.False(t, f.Undo())
	require.ErrorContains(t, f.Answer("wobbly"), "not among the answers")
	require.NoError(t, f.Answer(NotSure))
	assert.Len(t, f.Open(), 3)
	require.True(t, f.Undo())
	require.ErrorContains(t, f.Answer(AllOfIt), "not among the answers", "it looks like everything after the first joint")
	require.NoError(t, f.Answer(FromHere))
	for range 2 {
		require.NoError(t, f.Answer(AllOfIt))
	}
	require.ErrorContains(t, f.Answer(Steady), "every joint was bent")
	assert.Len(t, f.Findings(), 3)
	_, err = NewFlex(&prop.Prop{Name: "none"})
	require.ErrorContains(t, err, "has no pixels")
}

// metered answers a load test with what a voltmeter shows on a prop with a bad
// joint: the ladder's voltages (held against ngspice in package power) with
// 10 mV of noise.
func metered(t *testing.T, plan, built *prop.Prop, seed uint64) *Load {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 1))
	n, err := power.NetworkOf(built)
	require.NoError(t, err)
	ladder, err := power.NewLadder(n)
	require.NoError(t, err)
	l, err := NewLoad(plan, 1)
	require.NoError(t, err)
	for {
		m, more := l.Next()
		if !more {
			return l
		}
		v := patterns.DimValue(255, m.Level) // slots are whole numbers
		draws := make([]power.Draw, plan.Pixels())
		for i := range draws {
			draws[i] = power.DrawOf(plan.Chip, patterns.Colour{R: v, G: v, B: v}, 1)
		}
		s, err := ladder.Sagging(nil, draws, power.LawOf(plan.Chip))
		require.NoError(t, err)
		require.NoError(t, l.Volts(s.Volts(m.Pixel)+0.01*rng.NormFloat64(), m.Level))
	}
}

func TestLoadFindsTheBadJoint(t *testing.T) {
	plan := prop.Porthole()
	plan.Feeds = plan.Feeds[:1] // with a feed behind it a joint carries little
	for run := 1; run < 3; run++ {
		built := *plan
		built.Runs = append([]prop.Run(nil), plan.Runs...)
		built.Runs[run].JointOhms = 0.4
		r, err := metered(t, plan, &built, uint64(run)).Result()
		require.NoError(t, err)
		require.Equal(t, power.FitFound, r.Verdict, r.Text)
		assert.Equal(t, run, r.Suspects[0].Run)
		// JointOhms is in each rail; the meter sees both.
		assert.InDelta(t, 0.8, r.Suspects[0].Ohms, 2*r.Suspects[0].PlusMinus)
	}
}

// Noise makes one in twenty suspicious at most; none is said to be found.
func TestLoadOfAGoodProp(t *testing.T) {
	plan, suspicious := prop.Porthole(), 0
	const times = 40
	for seed := range uint64(times) {
		r, err := metered(t, plan, plan, seed).Result()
		require.NoError(t, err)
		require.NotEqual(t, power.FitFound, r.Verdict, r.Text)
		if r.Verdict != power.FitGood {
			suspicious++
		}
	}
	t.Logf("%d of %d good props called suspicious", suspicious, times)
	assert.LessOrEqual(t, suspicious, times/10)
}

func TestLoadReadings(t *testing.T) {
	l, err := NewLoad(prop.Porthole(), 1)
	require.NoError(t, err)
	m, _ := l.Next()
	assert.True(t, m.First)
	assert.Equal(t, 3*len(power.LoadTestPlaces(prop.Porthole())), m.Of)
	require.ErrorContains(t, l.Volts(48, m.Level), "48 V can't be right with a supply of 5 V")
	require.ErrorContains(t, l.Volts(-4.9, m.Level), "-4.9 V is below 0: the meter's tips are swapped")
	require.NoError(t, l.Volts(0, m.Level))
	m, _ = l.Next()
	assert.Contains(t, m.Question, "That was 0 V: is the meter on direct volts")
	require.NoError(t, l.Volts(0, m.Level))
	m, _ = l.Next()
	assert.NotContains(t, m.Question, "That was 0 V", "said once")
	none, err := l.Result()
	require.NoError(t, err)
	assert.Contains(t, none.Text, "No voltage arrives: all 2 readings are 0 V.")
	require.True(t, l.Undo())
	require.True(t, l.Undo())
	m, _ = l.Next()
	require.NoError(t, l.Volts(4.9, m.Level))
	l.Skip()
	assert.Len(t, l.Readings(), 1)
	require.True(t, l.Undo())
	require.True(t, l.Undo())
	assert.False(t, l.Undo())

	// The supply gives 8 A of the 8.8 A that full white would draw: the limiter
	// would hold the level at 90 %, so no higher one is asked for.
	top := 0.0
	for {
		m, more := l.Next()
		if !more {
			break
		}
		assert.GreaterOrEqual(t, m.Level, top, "levels rise")
		top = m.Level
		l.Skip()
	}
	assert.InDelta(t, 0.9, top, 0.011)
	_, err = NewLoad(prop.Porthole(), 0)
	require.ErrorContains(t, err, "give more than 0")
	r, err := l.Result()
	require.NoError(t, err)
	assert.Equal(t, power.FitTooFew, r.Verdict)
}

// The plan's volts beside a reading are those of the planner at that level, whose
// figures are held against ngspice in its own tests.
func TestReadingsBesideThePlan(t *testing.T) {
	p := prop.Porthole()
	l, err := NewLoad(p, 1)
	require.NoError(t, err)
	m, _ := l.Next()
	require.NoError(t, l.Volts(4.9, m.Level))
	l.Skip()
	all, err := l.Compare()
	require.NoError(t, err)
	require.Len(t, all, 2, "the one taken and the one to take; the one skipped is left out")
	assert.Equal(t, 4.9, all[0].Volts)
	assert.True(t, all[0].Taken)
	assert.False(t, all[1].Taken)
	for _, c := range all {
		report, err := power.Plan(p, c.Level, power.FullWhite())
		require.NoError(t, err)
		assert.InDelta(t, report.Sagging.Volts(c.Pixel), c.Planned, 0.001, "a level goes out in whole steps of 255")
	}
}

// A load test lights no prop brighter than its wires carry in free air, and says so: 28 AWG
// carries 1.4 A, which the outer feed draws at 41 % (its thin wire leaves more to the inner one).
func TestALoadTestSparesThinWires(t *testing.T) {
	p := prop.Porthole()
	levels := func() []float64 {
		l, err := NewLoad(p, 1)
		require.NoError(t, err)
		return l.levels
	}
	assert.Equal(t, []float64{0.09, 0.45, 0.9}, levels(), "the supply's limit alone")
	p.Feeds[1].Wire = prop.Wire{AWG: 28}
	l, err := NewLoad(p, 1)
	require.NoError(t, err)
	top := l.levels[2]
	assert.InDelta(t, 0.41, top, 0.01)
	r, err := power.Plan(p, top, power.FullWhite())
	require.NoError(t, err)
	for _, f := range r.Feeds {
		assert.NotEqual(t, power.Bad, f.Check.Wire, f.Name)
	}
	m, _ := l.Next()
	assert.Contains(t, m.Question, fmt.Sprintf("The wires carry level %.0f %% at most, see the plan. All white at level ", 100*top))
	assert.Empty(t, m.Brief)
	l.Skip()
	m, _ = l.Next()
	assert.NotContains(t, m.Question, "The wires carry", "once is enough")
	p.Feeds[1].Wire, p.Chip.IdleAmps = prop.Wire{AWG: 30}, 0.02
	_, err = NewLoad(p, 1)
	assert.ErrorContains(t, err, "too thin for its pixels at any level. Power off and use thicker wire")
}
