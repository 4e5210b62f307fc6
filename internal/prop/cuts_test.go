package prop

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func inchPieces(in ...float64) []Piece {
	var out []Piece
	for i, v := range in {
		out = append(out, Piece{fmt.Sprintf("piece %d", i+1), v * inch, true})
	}
	return out
}

func TestFourRingsFromOneCoil(t *testing.T) {
	// Source: common practice; 93 + 81.5 + 69 + 56.5 = 300 in = 25 ft by hand.
	plan, err := PlanCuts(inchPieces(nestInches...), 25*foot)
	require.NoError(t, err)
	require.Len(t, plan.Reels, 1)
	assert.True(t, plan.Proven)
	assert.Zero(t, plan.Reels[0].Left)
	assert.Equal(t, []string{"piece 1", "piece 2", "piece 3", "piece 4"}, names(plan.Reels[0].Pieces))
}

func names(ps []Piece) (out []string) {
	for _, p := range ps {
		out = append(out, p.Name)
	}
	return out
}

func TestCutsBeatFirstFit(t *testing.T) {
	// By hand: 10+8+3 = 21 and 9+7+4 = 20 take two reels of 21 in. Longest
	// first on the first reel with room makes 10+9, 8+7+4 and 3: three.
	pieces := inchPieces(10, 9, 8, 7, 4, 3)
	plan, err := PlanCuts(pieces, 21*inch)
	require.NoError(t, err)
	assert.Len(t, plan.Reels, 2)
	assert.Equal(t, 2, plan.AtLeast)
	assert.Len(t, firstFit(pieces, hundredths(21*inch)), 3, "the row must be one that first fit gets wrong")
}

func TestManyEqualPieces(t *testing.T) {
	var in []float64
	for range 60 {
		in = append(in, 40, 30, 20)
	}
	plan, err := PlanCuts(inchPieces(in...), 100*inch)
	require.NoError(t, err)
	assert.True(t, plan.Proven)
	assert.Len(t, plan.Reels, 54, "by hand: 60 x 90 in are 54 reels of 100 in, and 40+40+20 and 30+30+20+20 leave nothing over")
	checkPlan(t, plan, len(in))
}

func TestVeryManyDifferentPiecesAreSaidToBeUnproven(t *testing.T) {
	var in []float64
	for i := range 40 {
		in = append(in, 34+float64(i)/10)
	}
	plan, err := PlanCuts(inchPieces(in...), 100*inch)
	require.NoError(t, err)
	checkPlan(t, plan, 40)
	assert.False(t, plan.Proven, "two fit a reel, so 20 are needed; the bound by length says less")
}

type failer interface {
	Helper()
	Fatalf(string, ...any)
}

// checkPlan: every piece once, no reel overdrawn, the rests right.
func checkPlan(t failer, plan CutPlan, pieces int) {
	t.Helper()
	seen := map[string]bool{}
	for _, r := range plan.Reels {
		sum := 0.0
		for _, p := range r.Pieces {
			if seen[p.Name] {
				t.Fatalf("%s is cut twice", p.Name)
			}
			seen[p.Name] = true
			sum += p.Metres
		}
		if sum > plan.Reel+1e-5*float64(len(r.Pieces)) || math.Abs(plan.Reel-sum-r.Left) > 1e-4 {
			t.Fatalf("a reel of %v m gives %v m and leaves %v m", plan.Reel, sum, r.Left)
		}
	}
	if len(seen) != pieces {
		t.Fatalf("%d of %d pieces are cut", len(seen), pieces)
	}
}

// everyWay is the fewest reels, and with those the longest rest on one of
// them, by trying every way to spread the pieces.
func everyWay(pieces []int, reel int) (reels, rest int) {
	reels = len(pieces) + 1
	var used []int
	var walk func(i int)
	walk = func(i int) {
		if len(used) > reels {
			return
		}
		if i == len(pieces) {
			longest := 0
			for _, u := range used {
				longest = max(longest, reel-u)
			}
			if len(used) < reels || longest > rest {
				reels, rest = len(used), longest
			}
			return
		}
		for k := range used {
			if used[k]+pieces[i] <= reel {
				used[k] += pieces[i]
				walk(i + 1)
				used[k] -= pieces[i]
			}
		}
		used = append(used, pieces[i])
		walk(i + 1)
		used = used[:len(used)-1]
	}
	walk(0)
	return reels, rest
}

func TestCutsAgainstEveryWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		reel := rapid.IntRange(50, 120).Draw(t, "reel")
		sizes := rapid.SliceOfN(rapid.IntRange(5, reel), 1, 8).Draw(t, "pieces")
		var in []float64
		for _, s := range sizes {
			in = append(in, float64(s))
		}
		plan, err := PlanCuts(inchPieces(in...), float64(reel)*inch)
		if err != nil {
			t.Fatal(err)
		}
		checkPlan(t, plan, len(sizes))
		reels, rest := everyWay(sizes, reel)
		got := plan.Reels[len(plan.Reels)-1].Left / inch
		if len(plan.Reels) != reels || math.Abs(got-float64(rest)) > 0.01 || !plan.Proven || plan.AtLeast > reels {
			t.Fatalf("%v from reels of %d: %d reels with %v left, every way gives %d with %d (bound %d)", sizes, reel, len(plan.Reels), got, reels, rest, plan.AtLeast)
		}
	})
}

func TestCutsRefuse(t *testing.T) {
	rows := []struct {
		pieces []Piece
		reel   float64
		want   string
	}{
		{[]Piece{{"outer ring", -1, false}}, 5, `piece "outer ring" has no length: give it one`},
		{[]Piece{{"outer ring", 1, false}}, 0, `the reel has no length: give its length, such as "5 m" or "25 ft"`},
	}
	for _, row := range rows {
		_, err := PlanCuts(row.pieces, row.reel)
		assert.EqualError(t, err, row.want)
	}
	plan, err := PlanCuts(nil, 5)
	assert.NoError(t, err)
	assert.Empty(t, plan.Reels)
}

// One piece longer than the reel leaves the plan of the others as it is.
func TestPiecesLongerThanAReel(t *testing.T) {
	long := []Piece{{"outer ring", 200 * inch, true}, {"spire", 33 * foot, true}}
	fits := []Piece{{"a", 10 * foot, true}, {"b", 6 * foot, true}, {"c", 9 * foot, true}}
	plan, err := PlanCuts(append(append([]Piece(nil), fits[:1]...), append(long, fits[1:]...)...), 16*foot)
	require.NoError(t, err)
	without, err := PlanCuts(fits, 16*foot)
	require.NoError(t, err)
	assert.Equal(t, long, plan.TooLong)
	assert.Equal(t, without.Reels, plan.Reels)
	assert.Equal(t, without.AtLeast, plan.AtLeast)
	assert.Equal(t, "outer ring is 16 ft 8 in long and a reel holds 16 ft: make it of 2 runs with joints between, or take a longer reel; it is not in this plan", plan.SayTooLong(long[0]))
	assert.Contains(t, plan.SayTooLong(long[1]), "make it of 3 runs")
	plan, err = PlanCuts(long[:1], 16*foot)
	require.NoError(t, err)
	assert.Empty(t, plan.Reels)
	assert.Len(t, plan.TooLong, 1)
}

func TestPortholeCutsAndJoints(t *testing.T) {
	p := Porthole()
	plan, err := PlanCuts(StripPieces(p), p.Reel)
	require.NoError(t, err)
	// By hand: 144 pixels at 60 a metre are 2.4 m, one reel of 5 m leaves 2.6.
	require.Len(t, plan.Reels, 1)
	assert.InDelta(t, 2.6, plan.Reels[0].Left, 1e-9)

	joints := Joints(p)
	require.Len(t, joints, 3)
	assert.Equal(t, "controller to inner ring", joints[0].Name(p))
	assert.Equal(t, Joint{From: 0, To: 1, LastPixel: 35, FirstPixel: 36, Lead: 0.6, Conductors: 3}, joints[1])
	assert.Equal(t, "middle ring to outer ring", joints[2].Name(p))

	m := MaterialsFor(p)
	// By hand: leads 0.3 m x 2 wires, as feeds bring the plus, and 1.2 m x 3 = 4.2 m of 20 AWG; feeds
	// 2 x 1.5 m out and back = 6 m of 18 AWG; pads 2 + 6 + 6 at joints and 2 x 2
	// at feeds; ends 1 + 2 + 2 at joints and 2 at feeds, 6 cm each.
	require.Len(t, m.Wires, 2)
	assert.Equal(t, Wire{AWG: 20}, m.Wires[0].Wire)
	assert.InDelta(t, 4.2, m.Wires[0].Metres, 1e-9)
	assert.Equal(t, Wire{AWG: 18}, m.Wires[1].Wire)
	assert.InDelta(t, 6, m.Wires[1].Metres, 1e-9)
	assert.Equal(t, 18, m.SolderPads)
	assert.InDelta(t, 0.36, m.PadSleeves, 1e-9)
	assert.InDelta(t, 7*0.06, m.EndSleeves, 1e-9)

	// Leads of 10 to 12 in are normal (common practice); the demo's are.
	for _, r := range p.Runs {
		assert.GreaterOrEqual(t, r.LeadIn, 10*inch)
		assert.LessOrEqual(t, r.LeadIn, 12*inch)
	}
}

func TestClockedAndApartLeads(t *testing.T) {
	p := Porthole()
	p.Chip, _ = ChipByName("APA102") // format documents: data and clock
	p.Runs[2].Apart = true           // ground and the signals go on, supply does not
	j := Joints(p)
	assert.Equal(t, 4, j[1].Conductors)
	assert.Equal(t, 3, j[2].Conductors)
	assert.True(t, j[2].SupplyApart)
}

func BenchmarkPlanCuts20Different(b *testing.B) {
	var in []float64
	for i := range 20 {
		in = append(in, 30+float64(i*i%37)+float64(i)/8)
	}
	pieces := inchPieces(in...)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := PlanCuts(pieces, 100*inch); err != nil {
			b.Fatal(err)
		}
	}
}
