package strip

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// Values at the limits of what a fault may have.
func TestLimitsOfFaults(t *testing.T) {
	p := bench("GRB", 36, 48)
	p.Address.Universe, p.Address.Slot = 5, 100
	for text, ok := range map[string]bool{
		"resistance run 2 by 0": false, "resistance run 2 by 1": true, "resistance run 2 by 1000000": true, "resistance run 2 by 1000001": false,
		"sag by -1": false, "sag by 0": true, "sag by 1000000": true, "sag by 1000001": false, "sag": true, "grouped by 1": false, "grouped by 2": true, "grouped by 100000": true, "grouped by 100001": false,
		"count run 1 by 0": false, "count run 1 by -35": true, "count run 1 by -36": false, "count run 1 by 99964": true, "count run 1 by 99965": false,
		"wrong-address by 0": false, "wrong-address by -4": true, "wrong-address by -5": false, "wrong-address by 63994": true, "wrong-address by 63995": false,
		"slot-shift by 0": false, "slot-shift by -100": true, "slot-shift by -101": false, "slot-shift by 411": true, "slot-shift by 412": false,
		"wrong-chip slots 2": false, "wrong-chip slots 3": false, "wrong-chip slots 4": true, "wrong-chip slots 5": true, "wrong-chip slots 6": false, "wrong-chip slots 4 order GRBW": true, "wrong-chip slots 4 order GRB": false,
		"open-joint pixel 0": false, "open-joint pixel 1": true, "open-joint pixel 84": true, "open-joint pixel 85": false, "run-mirrored run 1": true, "run-mirrored run 2": true, "run-mirrored run 3": false, "run-mirrored run 0": false,
		"dead-channel pixel 3 colour white": false, "dead-channel pixel 3 colour blue": true, "dead-channel pixel 3 colour B": true, "runs-swapped run 1 run 1": false, "runs-swapped run 2 run 1": true,
		"universes-swapped universe 5 universe 5": false, "universes-swapped universe 5 universe 6": false, "wrong-packing": false, "count run a by 1": true, "count run \"b\" by 1": true, "count run c by 1": false,
	} {
		_, err := ParseFault(text, p)
		assert.Equal(t, ok, err == nil, "%s: %v", text, err)
	}
	_, err := ParseFault("count run c by 1", p)
	assert.ErrorContains(t, err, "its runs are 1 a, 2 b")
	two := bench("GRB", 171)
	two.Address.Universe = 7
	for text, ok := range map[string]bool{"universes-swapped universe 7 universe 8": true, "universes-swapped universe 8 universe 7": true, "universes-swapped universe 6 universe 7": false, "universes-swapped universe 7 universe 9": false, "wrong-packing": true} {
		_, err := ParseFault(text, two)
		assert.Equal(t, ok, err == nil, "%s: %v", text, err)
	}
	apart := bench("GRB", 3, 3)
	apart.Runs[1].Apart, apart.Runs[0].Apart = true, true
	_, err = ParseFault("resistance run 2 by 5", apart)
	assert.ErrorContains(t, err, "its plus is not joined")
	_, err = ParseFault("resistance run 1 by 5", apart)
	assert.NoError(t, err)
}

// countsIn are the counts that a run may have. The highest stands for all above
// it as well, unless the plan could have no more.
func countsIn(t *testing.T, p *prop.Prop, run int) (out []int) {
	t.Helper()
	for _, f := range Every(Count, p) {
		if f.Run != run {
			continue
		}
		require.Equal(t, Fault{Kind: Count, Run: run, N: f.N, OrMore: f.OrMore}, f)
		if len(out) > 0 {
			require.Greater(t, f.N, out[len(out)-1])
		}
		out = append(out, f.N)
		if f.OrMore {
			return out
		}
	}
	assert.Equal(t, prop.MaxPixels, p.Pixels())
	return out
}

// numbers are the whole numbers from one to another.
func numbers(from, to int) (out []int) {
	for n := from; n <= to; n++ {
		out = append(out, n)
	}
	return out
}

// What a prop may have of each kind, counted by hand.
func TestEveryFaultAPropMayHave(t *testing.T) {
	p := bench("GRB", 5, 30)
	p.Address.Universe, p.Address.Slot = 2, 3
	values := func(k Kind) (out []int) {
		for _, f := range Every(k, p) {
			require.Equal(t, k, f.Kind)
			out = append(out, f.N)
		}
		return out
	}
	assert.Equal(t, append(numbers(-4, -1), append(numbers(1, 30), 31)...), countsIn(t, p, 0), "any fewer, and as many more as come after it; 31 stands for all above")
	assert.Equal(t, append(numbers(-29, -1), append(numbers(1, 10), 11)...), countsIn(t, p, 1), "nothing lights more at the very end")
	for n, apart := range map[int]int{1: 0, 2: 1, 5: 4, 10: 9, 11: 10, 12: 10, 300: 10} {
		few := bench("GRB", 7, n)
		assert.Equal(t, apart, CountsApart(few), "%d", n)
		assert.Equal(t, append(numbers(1-n, -1), numbers(1, apart+1)...), countsIn(t, few, 1), "told apart by a pixel that the plan has too")
	}
	assert.Empty(t, Every(Count, bench("GRB", 1)))
	long := bench("GRB", 2000, 9000, 5)
	assert.LessOrEqual(t, len(Every(Count, long)), 12000, "very long props have the smaller changes")
	assert.Greater(t, len(Every(Count, long)), 10000)
	assert.Contains(t, countsIn(t, long, 2), -4, "all there are, where they are small")
	assert.Equal(t, 9006, slices.Max(countsIn(t, long, 0)), "and what is dark however many there are")
	full := bench("GRB", prop.MaxPixels-20, 20)
	assert.Equal(t, 20, slices.Max(countsIn(t, full, 0)), "no prop has more pixels than can be planned")
	assert.Equal(t, []int{-3, -2, -1, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}, values(SlotShift))
	far := bench("GRB", 5)
	far.Address.Slot = 508
	assert.Equal(t, 3, slices.MaxFunc(Every(SlotShift, far), func(a, b Fault) int { return a.N - b.N }).N, "slot 512 is the last")
	assert.Equal(t, []int{1, -1}, values(WrongAddress), "one universe, one to either side")
	p.Address.Universe = 1
	assert.Equal(t, []int{1}, values(WrongAddress))
	p.Address.Universe = 63999
	assert.Equal(t, []int{-1}, values(WrongAddress))
	many := bench("GRB", 5000)
	many.Address.Universe = 100
	assert.Len(t, Every(WrongAddress, many), 24, "a dozen to either side")
	assert.Equal(t, []int{2, 3, 4, 6}, values(Grouped))
	assert.Len(t, Every(WrongOrder, bench("GRB", 3)), 5)
	assert.Len(t, Every(WrongOrder, bench("GRBW", 3)), 23)
	// Of five letters: ten exchanges of two, and the three colours turned with
	// both whites where they are, five, of which three are exchanges.
	assert.Len(t, Every(WrongOrder, bench("RGBWC", 3)), 10+5-3)
	assert.Equal(t, []int{4}, values(WrongChip))
	assert.Equal(t, 3, Every(WrongChip, bench("GRBW", 3))[0].N)
	assert.Len(t, Every(DeadChannel, bench("GRBW", 3)), 4)
	assert.Len(t, Every(StuckChannel, bench("GRBW", 3)), 3, "a white that stays lit hides the others")
	assert.Len(t, Every(RunsSwapped, bench("GRB", 1, 1, 1)), 3)
	assert.Len(t, pairs(12), 66)
	assert.Len(t, pairs(13), 12, "of many only neighbours")
	for _, ab := range pairs(13) {
		assert.Equal(t, 1, ab[1]-ab[0])
	}
	assert.Equal(t, []int{1, 2, 3}, universesOf(bench("GRB", 400)))
	for _, n := range sagOhms[1:] {
		i := slices.Index(sagOhms, n)
		assert.InDelta(t, 1.5, float64(n)/float64(sagOhms[i-1]), 0.11, "each about 1.5 times the one before")
	}
}

// How likely faults are beside others of their kind.
func TestWeightsOfFaults(t *testing.T) {
	p := bench("RGBW", 5, 5)
	w := func(f Fault) float64 { return f.Weight(p) }
	assert.Equal(t, 20*w(Fault{Kind: OpenJoint, Pixel: 3}), w(Fault{Kind: OpenJoint, Pixel: 5}), "a joint made by hand")
	assert.Equal(t, w(Fault{Kind: OpenJoint, Pixel: 0}), w(Fault{Kind: OpenJoint, Pixel: 5}))
	assert.Equal(t, w(Fault{Kind: DeadPixel, Pixel: 3}), w(Fault{Kind: DeadPixel, Pixel: 5}))
	assert.Greater(t, w(Fault{Kind: Count, N: 1}), w(Fault{Kind: Count, N: 2}))
	assert.Equal(t, w(Fault{Kind: Count, N: -3}), w(Fault{Kind: Count, N: 3}))
	assert.InDelta(t, 10, w(Fault{Kind: WrongOrder, Pixel: 3, Order: "GRBW"})/w(Fault{Kind: WrongOrder, Pixel: 3, Order: "WRGB"}), 1e-9)
	for _, k := range Kinds() {
		facts := FactsOf(k)
		want := 1.0
		if facts.Scope == FromPixel || facts.Scope == ChipsFrom {
			want = 20
		}
		assert.Equal(t, want, facts.JointWeight(), k)
	}
}

// The pixels that a fault concerns, by hand.
func TestPlacesOfFaults(t *testing.T) {
	p := bench("GRB", 5, 7)
	for _, row := range []struct {
		f    Fault
		want []prop.Span
	}{
		{Fault{Kind: NoSupply}, nil}, {Fault{Kind: OpenJoint, Pixel: 3}, []prop.Span{{First: 3, Last: 3}}}, {Fault{Kind: DeadPixel, Pixel: 11}, []prop.Span{{First: 11, Last: 11}}},
		{Fault{Kind: WrongChip, Pixel: 4}, []prop.Span{{First: 4, Last: 11}}}, {Fault{Kind: Count, Run: 1}, []prop.Span{{First: 5, Last: 11}}}, {Fault{Kind: RunMirrored}, []prop.Span{{First: 0, Last: 4}}},
		{Fault{Kind: RunsSwapped, Run: 1, Run2: 0}, []prop.Span{{First: 5, Last: 11}, {First: 0, Last: 4}}}, {Fault{Kind: Count, Run: 2}, []prop.Span{{First: 0, Last: -1}}}, {Fault{Kind: Count, Run: -1}, []prop.Span{{First: 0, Last: -1}}},
	} {
		assert.Equal(t, row.want, row.f.Places(p), "%v", row.f)
	}
}

// What of a prop's faults lies on a run that is on the bench by itself.
func TestFaultsOfARunAlone(t *testing.T) {
	for _, row := range []struct {
		f     Fault
		stays bool
		pixel int
	}{
		{Fault{Kind: NoSupply}, true, 0}, {Fault{Kind: RunMirrored, Run: 1}, true, 0}, {Fault{Kind: RunMirrored, Run: 0}, false, 0}, {Fault{Kind: Resistance, Run: 1}, false, 0}, {Fault{Kind: RunsSwapped, Run: 1}, false, 0},
		{Fault{Kind: OpenJoint, Pixel: 5}, false, 5}, {Fault{Kind: OpenJoint, Pixel: 6}, true, 6}, {Fault{Kind: OpenJoint, Pixel: 4}, false, 4}, {Fault{Kind: OpenJoint, Pixel: 11}, true, 11}, {Fault{Kind: OpenJoint, Pixel: 12}, false, 12},
		{Fault{Kind: DeadPixel, Pixel: 5}, true, 5}, {Fault{Kind: DeadPixel, Pixel: 4}, false, 4}, {Fault{Kind: WrongChip, Pixel: 2}, true, 5}, {Fault{Kind: WrongChip, Pixel: 7}, true, 7}, {Fault{Kind: WrongChip, Pixel: 12}, false, 12},
	} {
		f, stays := row.f.onRun(1, 5, 11)
		assert.Equal(t, row.stays, stays, "%v", row.f)
		assert.Equal(t, row.pixel, f.Pixel)
	}
	f, stays := Fault{Kind: Resistance}.onRun(0, 0, 4)
	assert.True(t, stays, "%v", f)
	_, stays = Fault{Kind: OpenJoint}.onRun(0, 0, 4)
	assert.True(t, stays, "the lead from the controller is there")
}

// A count that may be higher as well is written, read, said and drawn so, and
// the plan does not follow it.
func TestOrMore(t *testing.T) {
	p := bench("GRB", 96, 40)
	f, err := ParseFault("count run 1 by 41 or more", p)
	require.NoError(t, err)
	assert.Equal(t, Fault{Kind: Count, N: 41, OrMore: true}, f)
	assert.Equal(t, "count run 1 by 41 or more", f.String())
	assert.Contains(t, f.Sentence(p), "at least 41 pixels more than planned: 137 or more instead of 96")
	assert.Equal(t, []string{"137 or more, not 96", "137 or more"}, f.Large(p))
	assert.False(t, f.Built(&prop.Found{}, p))
	same := mustStrip(t, p, Fault{Kind: Count, N: 41})
	assert.Equal(t, same.Fingerprint(), mustStrip(t, p, f).Fingerprint(), "it is simulated with the least")
	for text, want := range map[string]string{"count run 1 by 41 or less": `after "or" comes "more", not "less"`, "count run 1 by 41 or": `lacks a value after "or"`,
		"open-joint pixel 3 or more": `does not know the word "or"`, "count run 1 by -3 or more": "cannot have -3 or more"} {
		_, err := ParseFault(text, p)
		assert.ErrorContains(t, err, want)
	}
}

// In large letters a wrong address is the universe that answers, beside the planned one.
func TestAnotherUniverseInLargeLetters(t *testing.T) {
	p := bench("GRB", 9)
	p.Address.Universe = 10
	for n, want := range map[int][]string{1: {"Universe 11, not 10", "Universe is 11"}, -3: {"Universe 7, not 10", "Universe is 7"}} {
		f := Fault{Kind: WrongAddress, N: n}
		assert.Equal(t, want, f.Large(p))
		assert.Contains(t, f.Sentence(p), fmt.Sprintf("on universe %d instead of 10", 10+n))
	}
}
