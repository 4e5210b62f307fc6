package steps

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/prop"
)

func sceneOf(t *testing.T, p *prop.Prop) *eyes.Scene {
	t.Helper()
	s, err := eyes.SceneOf(p)
	require.NoError(t, err)
	return s
}

// good is a sight in which all is well.
func good() Sight {
	return Sight{W: 640, H: 480, Spacing: 9, Spots: []eyes.Point{{X: 100, Y: 100}, {X: 109, Y: 100}}}
}

func TestAimSaysWhatToDo(t *testing.T) {
	p := New(sceneOf(t, prop.Porthole()), 0.2, nil)
	for _, r := range []struct {
		s    Sight
		says string
		on   bool
	}{
		{good(), "9 camera pixels between neighbours: good.", true},
		{Sight{W: 640, H: 480, Spacing: 3.84, Spots: []eyes.Point{{X: 100, Y: 100}}}, "3.8 camera pixels between neighbours, at least 4.6 are needed: come nearer.", false},
		{Sight{W: 640, H: 480}, "The camera sees no light of the prop", false},
		{Sight{W: 640, H: 480, Spacing: 9, Spots: []eyes.Point{{X: 638, Y: 100}}}, "touches the edge", true},
	} {
		q := p.Aimed(r.s)
		require.Contains(t, q.Text, r.says)
		require.Equal(t, r.on && r.s.Spots[0].X == 100, r.s.Short()[0] == "Good: hold it there", r.s.Short())
		require.Equal(t, r.on, q.Onward().Step == Mark)
	}
}

// Marks are never skipped: from the aim to the level there is no way around
// them.
func TestMarksAreNeverSkipped(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		p := New(sceneOf(t, prop.Pennant()), 0.2, nil).Aimed(good())
		for range rapid.IntRange(0, 30).Draw(r, "steps") {
			switch rapid.IntRange(0, 3).Draw(r, "what") {
			case 0:
				p = p.Onward()
			case 1:
				p = p.Back()
			case 2:
				p = p.Marked(eyes.Point{X: rapid.Float64Range(0, 639).Draw(r, "x"), Y: 100})
			case 3:
				p = p.Aimed(good())
			}
			if p.Step > Mark && len(p.Marks) < len(p.Wanted) {
				r.Fatalf("step %d with %d of %d marks", p.Step, len(p.Marks), len(p.Wanted))
			}
			for i, m := range p.Marks {
				if m.Place != p.Wanted[i] {
					r.Fatalf("mark %d is of place %d, asked was %d", i, m.Place, p.Wanted[i])
				}
			}
		}
	})
}

func TestAMarkNearASpotIsSetOnIt(t *testing.T) {
	p := New(sceneOf(t, prop.Porthole()), 0.2, nil).Aimed(good()).Onward()
	require.Contains(t, p.Text, `planned pixel 1, the first pixel of run "inner ring"`)
	require.Contains(t, p.Text, "which way round the prop lies")
	near := p.Marked(eyes.Point{X: 102, Y: 102})
	require.Equal(t, eyes.Point{X: 100, Y: 100}, near.Marks[0].At)
	far := p.Marked(eyes.Point{X: 300, Y: 200}) // a dark pixel has no spot
	require.Equal(t, eyes.Point{X: 300, Y: 200}, far.Marks[0].At)
	require.Empty(t, p.Marks, "a proof is a value")
}

// Two marks for rings and for a line, four for the rest; place 1 is always one,
// and no two are the same.
func TestPlacesToMark(t *testing.T) {
	for p, n := range map[*prop.Prop]int{prop.Porthole(): 2, prop.Pennant(): 4} {
		all := Places(sceneOf(t, p))
		require.Len(t, all, n, p.Name)
		require.Equal(t, 0, all[0])
		seen := map[int]bool{}
		for _, i := range all {
			require.False(t, seen[i], p.Name)
			require.Less(t, i, p.Pixels())
			seen[i] = true
		}
	}
	line := &eyes.Scene{Runs: []eyes.Run{{Places: []eyes.Point{{}, {X: 1}, {X: 2}, {X: 3}, {X: 4}}}}}
	require.Equal(t, []int{0, 4}, Places(line))
	rows := &eyes.Scene{Runs: []eyes.Run{{Places: []eyes.Point{{}, {X: 1}, {X: 2}, {X: 3}}}, {Places: []eyes.Point{{Y: 1}, {X: 1, Y: 1}, {X: 2, Y: 1}}}}}
	marks := Places(rows)
	require.Len(t, marks, 4)
	second := 0
	for _, i := range marks {
		if i > 3 {
			second++
		}
	}
	require.Positive(t, second, "the other row has a mark too")
}

// The level is found in at most three looks, from anywhere in the two decades
// in which a camera reads: bright over 1, dim under a hundredth of that.
func TestTheLevelIsFoundInThreeLooks(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		clips := rapid.Float64Range(0.0125, 1.5).Draw(r, "level that clips")
		p := New(sceneOf(t, prop.Porthole()), 0.2, nil)
		p.Wanted, p.Step = nil, Level
		for n := 0; p.Step == Level; n++ {
			if n == mostLevels {
				r.Fatal("a fourth look")
			}
			m := eyes.Measures{Spacing: 9, Still: 1, Signal: 1500 * p.Level / clips}
			if p.Level > clips {
				m.Blown = 0.5
			}
			if p.Level < 0 || p.Level > 1 {
				r.Fatalf("level %v", p.Level)
			}
			p = p.Levelled(m)
		}
		if p.Step != Run || p.Unlit {
			r.Fatalf("step %d: %v", p.Step, p.Trouble)
		}
	})
	p := New(sceneOf(t, prop.Porthole()), 0.2, nil)
	p.Step, p.Wanted = Level, nil
	require.Equal(t, Stopped, p.Levelled(eyes.Measures{Spacing: 3, Signal: 100}).Step, "no level brings it nearer")
}

// A prop of which no light is seen at any level has its sequence run all the same.
// One that lit at a level before is no such prop. Where there is light after all,
// the places are marked first.
func TestAPropOfWhichNoLightIsSeen(t *testing.T) {
	start := func() Proof {
		p := New(sceneOf(t, prop.Porthole()), 0.2, nil)
		require.Equal(t, Aim, p.Step)
		return p.Unseen()
	}
	p := start()
	for _, level := range []float64{0.2, 0.8, 1} {
		require.Equal(t, Level, p.Step)
		require.Equal(t, level, p.Level)
		p = p.Levelled(eyes.Measures{})
		require.Contains(t, p.Text, "no light is seen")
	}
	require.Equal(t, Run, p.Step)
	require.True(t, p.Unlit)
	p = p.Ran(nil).Decoded(&eyes.Result{Unlit: true, Places: make([]eyes.Place, 144)})
	require.Equal(t, Map, p.Step)

	p = start().Levelled(eyes.Measures{Spacing: 9, Signal: 100})
	require.Equal(t, Mark, p.Step)
	require.Contains(t, p.Text, "planned pixel 1")

	p = start()
	p.Wanted = nil
	p = p.Levelled(eyes.Measures{Spacing: 9, Signal: 100, Blown: 0.5}).Levelled(eyes.Measures{Spacing: 9, Signal: 4}).Levelled(eyes.Measures{Spacing: 9, Signal: 4})
	require.Equal(t, Stopped, p.Step, "it lit at 20 %")
	require.Equal(t, Run, Proof{Step: Run}.Unseen().Step)
}

func running(t *testing.T) Proof {
	p := New(sceneOf(t, prop.Porthole()), 0.2, nil)
	p.Wanted, p.Step = nil, Level
	return p.Levelled(eyes.Measures{Spacing: 9, Signal: 100})
}

func TestADisturbedLookIsTakenAgain(t *testing.T) {
	p := running(t)
	require.Equal(t, Read, p.Ran(nil).Step)

	one := p.Ran([]eyes.Disturbance{{Look: 4}, {Look: 7}})
	require.Equal(t, []int{4, 7}, one.Again)
	require.Equal(t, Run, one.Step)
	one = one.Retaken(4, false)
	require.Equal(t, []int{7}, one.Again)
	one = one.Retaken(7, true)
	require.Equal(t, []int{7}, one.Again, "once more")
	require.Equal(t, Read, one.Retaken(7, false).Step)
	again := one.Retaken(7, true)
	require.Equal(t, Read, again.Step, "the pictures say whether it is the prop's own light")
	again = again.Decoded(read(eyes.Read))
	require.Equal(t, Run, again.Step, "the whole sequence, when one look does not come right")
	require.Equal(t, 2, again.Runs)
	require.Empty(t, again.Again)
	flickers := read(eyes.Read, eyes.Read)
	flickers.Places[1].Unsteady = 4
	require.Equal(t, Map, one.Retaken(7, true).Decoded(flickers).Step)
	flickers.Beside = 1
	require.Equal(t, Run, one.Retaken(7, true).Decoded(flickers).Step, "something else moves too")

	var most []eyes.Disturbance
	for k := range 6 {
		most = append(most, eyes.Disturbance{Look: k})
	}
	moved := func(p Proof) Proof { return p.Ran(most).Decoded(read(eyes.Read)) }
	again = moved(p)
	require.Equal(t, 2, again.Runs, "many disturbed looks: all of it")
	last := moved(moved(again))
	require.Equal(t, Stopped, last.Step)
	require.ErrorContains(t, last.Trouble, "something moved")
}

func read(states ...eyes.State) *eyes.Result {
	r := &eyes.Result{}
	for i, s := range states {
		r.Places = append(r.Places, eyes.Place{State: s, Reading: eyes.Reading{Slot: 3 * i, Chip: 3, Order: "GRB"}})
	}
	return r
}

func TestASecondRunAddsToWhatWasRead(t *testing.T) {
	p := running(t).Ran(nil).Decoded(read(eyes.Read, eyes.Unread, eyes.Read, eyes.Dark))
	require.Equal(t, Map, p.Step)
	require.Contains(t, p.Text, "1 of 4 places were not read")
	q := p.Closer()
	require.Equal(t, Aim, q.Step)
	require.True(t, q.Scened().Partial)
	second := read(eyes.Unread, eyes.Read, eyes.Read, eyes.Read)
	second.Places[2].Reading.Slot = 99
	q.Step = Read
	q = q.Decoded(second)
	states := []eyes.State{}
	for _, one := range q.Result.Places {
		states = append(states, one.State)
	}
	require.Equal(t, []eyes.State{eyes.Read, eyes.Read, eyes.Unread, eyes.Unread}, states, "where two runs do not agree nothing is sure")
	q.Step = Read
	require.Equal(t, Map, q.Decoded(&eyes.Result{Refusal: &eyes.Refusal{Kind: eyes.NoMap, Text: "no"}}).Step, "what was read stays")
}

func TestTroubleStopsAProof(t *testing.T) {
	p := running(t).Stop(errors.New("the stream ended"))
	require.Equal(t, Stopped, p.Step)
	require.Equal(t, "the stream ended", p.Text)
	p = running(t).Ran(nil).Decoded(&eyes.Result{Refusal: &eyes.Refusal{Kind: eyes.OutOfFrame, Text: "part of it"}})
	require.Equal(t, Stopped, p.Step)
	p = running(t).Ran(nil).Decoded(&eyes.Result{Refusal: &eyes.Refusal{Kind: eyes.Moved, Text: "moved"}})
	require.Equal(t, Run, p.Step, "a camera that moved gets another run")
}

// Where two marks leave the map open, two more are asked for, and the first two
// stay.
func TestTwoMoreMarksWhereTheMapIsOpen(t *testing.T) {
	p := New(sceneOf(t, prop.Porthole()), 0.2, nil).Aimed(good()).Onward()
	for p.Step == Mark {
		p = p.Marked(eyes.Point{X: 300, Y: 200})
	}
	require.Equal(t, Level, p.Step)
	p = p.Levelled(eyes.Measures{Spacing: 9, Signal: 100}).Ran(nil)
	p = p.Decoded(&eyes.Result{Refusal: &eyes.Refusal{Kind: eyes.NoMap, Text: "in two ways"}})
	require.Equal(t, Mark, p.Step)
	require.Len(t, p.Marks, 2)
	require.Contains(t, p.Text, "2 more")
	for p.Step == Mark {
		p = p.Marked(eyes.Point{X: 300, Y: 200})
	}
	require.Len(t, p.Marks, 4)
	p = p.Levelled(eyes.Measures{Spacing: 9, Signal: 100}).Ran(nil)
	require.Equal(t, Stopped, p.Decoded(&eyes.Result{Refusal: &eyes.Refusal{Kind: eyes.NoMap, Text: "no"}}).Step)
}

// A closer look may show little more than what is unread: places around that are
// marked, four that differ, though place 1 is far away.
func TestACloserLookMarksPlacesAroundWhatIsUnread(t *testing.T) {
	s := sceneOf(t, prop.Pennant())
	p := running(t)
	p.Scene = s
	states := make([]eyes.State, len(s.Places()))
	for i := range states {
		states[i] = eyes.Read
	}
	for _, i := range []int{44, 46, 47} { // at the pennant's tip
		states[i] = eyes.Unread
	}
	p = p.Ran(nil).Decoded(read(states...)).Closer()
	require.Len(t, p.Wanted, 4)
	tip := s.Places()[46]
	seen := map[int]bool{}
	for _, i := range p.Wanted {
		require.Less(t, apart(s.Places()[i], tip), 0.3, "place %d", i+1)
		require.False(t, seen[i])
		seen[i] = true
	}
	states[44], states[46], states[47] = eyes.Read, eyes.Read, eyes.Read
	states[0], states[135] = eyes.Unread, eyes.Unread // far from one another
	p.Step = Read
	p.Result = nil
	q := p.Decoded(read(states...)).Closer()
	require.Contains(t, q.Wanted, 0)
}
