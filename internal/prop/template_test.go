package prop

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestTemplateReadsBack(t *testing.T) {
	for _, chip := range KnownChips() {
		a := Answers{Name: `Buoy "2"`, Chip: chip.Name, Amps: "8 A", Host: "10.0.0.7", Universe: 3, Slot: 100, Inches: true}
		a.Runs = []AnswerRun{
			{Name: "rim", Shape: Ring, Pixels: 20},
			{Name: "star", Shape: Star, Points: 5, Pixels: 10},
			{Pixels: 3},
		}
		text := Template(a)
		p, d, err := Parse([]byte(text), "t.toml")
		require.NoError(t, err, text)
		assert.Empty(t, d.Doubts())
		assert.Equal(t, chip.Chip, p.Chip, "figures come from the table")
		assert.Equal(t, []int{20, 10, 3}, []int{p.Runs[0].Pixels, p.Runs[1].Pixels, p.Runs[2].Pixels})
		assert.Equal(t, Address{Host: "10.0.0.7", Universe: 3, Slot: 99, Packing: Whole, Priority: 100}, p.Address)
		assert.Equal(t, `Buoy "2"`, p.Name)
		assert.True(t, p.Inches)
	}
	p, _, err := Parse([]byte(Template(Answers{})), "t.toml")
	require.NoError(t, err, "no answers at all give a file too")
	assert.Equal(t, 50, p.Pixels())
	assert.False(t, p.Inches)
}

func TestTemplateFromLengths(t *testing.T) {
	// Source: common practice, four rings at 30 a metre; counts rounded down.
	a := Answers{Density: "30 per metre", Runs: []AnswerRun{
		{Name: "a", Shape: Ring, Length: "93 in"}, {Name: "b", Shape: Ring, Length: "81 1/2 in"},
		{Name: "c", Shape: Ring, Length: "69 in"}, {Name: "d", Shape: Ring, Length: "56.5 in"}}}
	p, _, err := Parse([]byte(Template(a)), "t.toml")
	require.NoError(t, err)
	assert.Equal(t, []int{70, 62, 52, 43}, []int{p.Runs[0].Pixels, p.Runs[1].Pixels, p.Runs[2].Pixels, p.Runs[3].Pixels})
	plan, err := PlanCuts(TubePieces(p), 25*foot)
	require.NoError(t, err)
	assert.Len(t, plan.Reels, 1)
	assert.Zero(t, plan.Reels[0].Left)
}

// An answer at fault is told by line, and never writes text that breaks out of
// its place.
func TestTemplateWithWildAnswers(t *testing.T) {
	_, _, err := Parse([]byte(Template(Answers{Name: "x", Amps: "much"})), "t.toml")
	assert.ErrorContains(t, err, `supply, amps: "much" has no number where one is needed`)
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.String().Draw(t, "name")
		text := Template(Answers{Name: name, Amps: rapid.String().Draw(t, "amps"), Host: rapid.String().Draw(t, "host"),
			Runs: []AnswerRun{{Name: rapid.String().Draw(t, "run"), Pixels: 5}}})
		_, d, _ := Parse([]byte(text), "t.toml")
		if d.tree == nil || len(d.tree.bad) > 0 {
			t.Fatalf("not TOML: %v\n%s", d.tree.bad, text)
		}
		if got := len(d.tree.all("run")); got != 1 {
			t.Fatalf("%d runs", got)
		}
	})
}
