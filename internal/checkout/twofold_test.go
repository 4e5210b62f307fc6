package checkout

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

// One slip, a yes to the far end of a good prop, is asked for once more, and the
// prop is signed off.
func TestOneYesMakesNoFault(t *testing.T) {
	for _, p := range []*prop.Prop{prop.Porthole(), prop.Pennant(), single("line", 60)} {
		s, err := New(p, Options{})
		require.NoError(t, err)
		var b builder
		slips, again := 0, false
		for pr, ok := s.Next(); ok; pr, ok = s.Next() {
			k := key(s.field, &pr, s.field.sound, &b)
			if pr.Spec.Kind == AskFade && slips == 0 {
				slips++
				k = 1 + slices.IndexFunc(pr.Answers, func(a Answer) bool { return a.Sees == SeesFades })
			}
			again = again || pr.Spec.Kind == AskFade && pr.Spec.Again
			require.NoError(t, s.Answer(k))
		}
		assert.Equal(t, 1, slips, p.Name)
		assert.True(t, again, "%s: the yes was not asked for twice", p.Name)
		f := s.Findings()[0]
		assert.True(t, f.Good, "%s: %s", p.Name, f.Title)
	}
}

// A fall of voltage is named with bounds, and the true strength lies within them
// or beyond the strongest that is told apart.
func TestStrengthLiesWithinItsBounds(t *testing.T) {
	p := prop.Porthole()
	base, err := New(p, Options{})
	require.NoError(t, err)
	number := regexp.MustCompile(`(\d+\.\d)(?: to (\d+\.\d))? Ω a metre( or more| or less)?`)
	for _, milli := range []int{1500, 2700, 5400, 9000} {
		t.Run(fmt.Sprint(milli), func(t *testing.T) {
			st, err := strip.New(p, strip.Fault{Kind: strip.Sag, N: milli})
			require.NoError(t, err)
			s := base.Clone()
			finish(t, s, st)
			f := s.Findings()[0]
			require.NotEmpty(t, f.Causes, f.Title)
			require.Equal(t, strip.Sag, f.Causes[0].Faults[0].Kind, f.Title)
			if strings.Contains(f.Title, "not known") {
				return
			}
			m := number.FindStringSubmatch(f.Title)
			require.NotNil(t, m, f.Title)
			low, _ := strconv.ParseFloat(m[1], 64)
			high := low
			if m[2] != "" {
				high, _ = strconv.ParseFloat(m[2], 64)
			}
			really := float64(milli) / 1000
			if m[3] != " or less" {
				assert.GreaterOrEqual(t, really, low/1.25, f.Title) // as fine as strengths are told apart
			}
			if m[3] != " or more" {
				assert.LessOrEqual(t, really, high*1.25, f.Title)
			}
		})
	}
}

// Of two dark pixels one is named, with a word that something else is wrong, and
// the other is found when it is mended.
func TestTwoDarkPixelsAreNamedOneByOne(t *testing.T) {
	p := prop.Porthole()
	base, err := New(p, Options{})
	require.NoError(t, err)
	for _, at := range [][2]int{{3, 50}, {60, 90}, {10, 130}} {
		left := []strip.Fault{{Kind: strip.DeadPixel, Pixel: at[0]}, {Kind: strip.DeadPixel, Pixel: at[1]}}
		for round := range 2 {
			st, err := strip.New(p, left...)
			require.NoError(t, err)
			s := base.Clone()
			finish(t, s, st)
			f := s.Findings()[0]
			if round == 0 && len(f.Causes[0].Faults) == 1 {
				assert.True(t, f.More, "%v: %s", at, f.Title)
				assert.Contains(t, f.Title, "Something else is wrong")
			}
			left = mended(t, s.field, left, f)
		}
		assert.Empty(t, left, "%v", at)
	}
}

// A place that no look confirmed, since the builder was not sure of the one that would have, is likely at
// most: of two faults the other one moves it. Lights in pairs and a dark pixel, counted as single
// lights, are a dark pixel at half the way.
func TestAnUnsureConfirmationLeavesAPlaceLikely(t *testing.T) {
	p := prop.Porthole()
	base, err := New(p, Options{})
	require.NoError(t, err)
	dead := strip.Fault{Kind: strip.DeadPixel, Pixel: 80}
	for _, faults := range [][]strip.Fault{{dead}, {dead, {Kind: strip.Grouped, N: 2}}} {
		st, err := strip.New(p, faults...)
		require.NoError(t, err)
		for _, unsure := range []bool{false, true} {
			s, asked := base.Clone(), false
			var b builder
			for pr, ok := s.Next(); ok; pr, ok = s.Next() {
				k := key(s.field, &pr, st, &b)
				if pr.Spec.Kind == AskConfirm && unsure {
					asked, k = true, NotSure
				}
				require.NoError(t, s.Answer(k))
			}
			f := s.Findings()[0]
			assert.Equal(t, unsure, asked)
			assert.Equal(t, !unsure, f.Sure.Firm(), "%v: %s", faults, f.Title)
			assert.Equal(t, unsure, f.Percent <= 94, "%v: %s, %d %%", faults, f.Title, f.Percent)
		}
	}
}

// Where a pixel stays lit on a prop whose universe does not come, the universe is
// named, and not a supply that is missing.
func TestLitWithoutData(t *testing.T) {
	p := prop.Porthole()
	stuck := strip.Fault{Kind: strip.StuckOn, Pixel: 16}
	st, err := strip.New(p, strip.Fault{Kind: strip.WrongAddress, N: 2}, stuck)
	require.NoError(t, err)
	s, err := New(p, Options{})
	require.NoError(t, err)
	finish(t, s, st)
	f := s.Findings()[0]
	require.NotEmpty(t, f.Causes, f.Title)
	address := false
	for _, c := range f.Causes {
		for _, ft := range c.Faults { // another source has none
			assert.NotEqual(t, strip.NoSupply, ft.Kind, "a pixel is lit")
			address = address || ft.Kind == strip.WrongAddress
		}
	}
	assert.True(t, address, "%v", f.Causes)
}

// Findings stand in the order of their share, what is unknown too; and beside
// it, what contradicts an answer is possible at best and says which. Three faults
// at once, and one fault with answers by lot; what is unknown leads in some and
// not in others.
func TestFindingsStandByShare(t *testing.T) {
	p := prop.Porthole()
	base, err := New(p, Options{})
	require.NoError(t, err)
	for _, set := range [][]string{{"grouped by 2", "mirrored", "slot-shift by 1"}, {"dead-channel pixel 135 colour blue", "runs-parallel run 1 run 3", "run-channel run 3 colour green"}} {
		var faults []strip.Fault
		for _, text := range set {
			ft, err := strip.ParseFault(text, p)
			require.NoError(t, err)
			faults = append(faults, ft)
		}
		st, err := strip.New(p, faults...)
		require.NoError(t, err)
		s := base.Clone()
		finish(t, s, st)
		at := unknownAmong(t, s.Findings())
		assert.NotEqual(t, -1, at, "%v", set)
		for i, f := range s.Findings() {
			if i != at {
				assert.Equal(t, Possible, f.Sure, "%v: %s", set, f.Title)
				assert.NotEmpty(t, f.Against, "%v: %s", set, f.Title)
			}
		}
	}
	leads, follows := 0, 0
	for seed := uint64(0); seed < 60 && (leads == 0 || follows == 0); seed++ {
		s := guesser(t, ringProp("small", 4, 3), seed, Options{Most: 25}, func(*Session) {})
		switch at := unknownAmong(t, s.Findings()); {
		case at == 0:
			leads++
		case at > 0:
			follows++
		}
	}
	assert.Positive(t, leads)
	assert.Positive(t, follows)
}

// unknownAmong is where a fault that is none of the list stands among findings,
// which are in order; -1 when it does not.
func unknownAmong(t *testing.T, found []Finding) int {
	t.Helper()
	for i, f := range found[1:] {
		assert.LessOrEqual(t, f.Share, found[i].Share, f.Title)
	}
	at := slices.IndexFunc(found, func(f Finding) bool { return f.Unknown != nil })
	for i, f := range found {
		assert.True(t, i == at || f.Unknown == nil, "%s stands twice", f.Title)
	}
	return at
}

// Of two faults each has its look-alikes: a hidden first pixel looks like a start slot that
// is off, lost supply like an open joint. What is named alone would be mended alone, so every
// pair in which one of the two is another fault of the same light is named too.
func TestLookAlikesOfTwoFaultsAreNamed(t *testing.T) {
	p := prop.Porthole()
	s, err := New(p, Options{})
	require.NoError(t, err)
	faults := []strip.Fault{{Kind: strip.RailLost, Pixel: 107}, {Kind: strip.HiddenFirst}}
	st, err := strip.New(p, faults...)
	require.NoError(t, err)
	finish(t, s, st)
	f := s.Findings()[0]
	require.Len(t, f.Causes[0].Faults, 2, f.Title)
	var named []string
	m := stripBuilder{field: s.field}
	want, ok := m.lightOf(faults)
	require.True(t, ok)
	for _, c := range f.Causes {
		got, ok := m.lightOf(c.Faults)
		assert.True(t, ok && got == want, c.Text)
		named = append(named, fmt.Sprint(c.Faults[0].Kind, " ", c.Faults[1].Kind))
	}
	assert.ElementsMatch(t, []string{
		fmt.Sprint(strip.SlotShift, " ", strip.OpenJoint), fmt.Sprint(strip.HiddenFirst, " ", strip.OpenJoint),
		fmt.Sprint(strip.SlotShift, " ", strip.RailLost), fmt.Sprint(strip.SlotShift, " ", strip.DeadStop),
	}, named)
}

// All is dark where the run that is really first is soldered in backwards, whichever run that is. The
// finding has a cause for it beside no supply, last in the list; a prop of one run has none.
func TestADarkPropMayBeginElsewhere(t *testing.T) {
	for _, row := range []struct {
		p      *prop.Prop
		faults string
		wants  bool
	}{
		{prop.Porthole(), "runs-swapped run 1 run 3, run-backwards run 3", true},
		{prop.Porthole(), "mirrored, run-backwards run 3", true},
		{ringProp("two", 5, 9), "runs-swapped run 1 run 2, run-backwards run 2", true},
		{prop.Porthole(), "run-backwards run 1", true},
		{single("line", 9), "run-backwards run 1", false},
		{prop.Porthole(), "run-backwards run 2", false},
	} {
		s, err := New(row.p, Options{})
		require.NoError(t, err)
		faults, err := strip.ParseFaults(row.faults, row.p)
		require.NoError(t, err)
		st, err := strip.New(row.p, faults...)
		require.NoError(t, err)
		finish(t, s, st)
		f := s.Findings()[0]
		want := printOfFaults(t, s.field, faults...)
		assert.True(t, slices.ContainsFunc(f.Causes, func(c Cause) bool { return printOfFaults(t, s.field, c.Faults...) == want }), "%s: %s", row.faults, f.Title)
		last := f.Causes[len(f.Causes)-1]
		assert.Equal(t, row.wants, strings.Contains(last.Text, "goes to another run than planned"), "%s: %s", row.faults, last.Text)
		if row.wants {
			assert.Equal(t, want, printOfFaults(t, s.field, last.Faults...), row.faults)
		}
	}
}
