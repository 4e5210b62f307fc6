package checkout

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// The scale is the one that the words promise: README, "How sure".
func TestCertaintyScale(t *testing.T) {
	rows := []struct {
		posterior    float64
		contradicted bool
		sure         Confidence
		percent      int
		firm         bool
	}{
		{1, false, Certain, 99, true},
		{0.9995, false, Certain, 99, true},
		{0.9994, false, VeryLikely, 99, true},
		{0.95, false, VeryLikely, 95, true},
		{0.9499, false, Likely, 94, false},
		{0.8, false, Likely, 80, false},
		{0.7999, false, Possible, 79, false},
		{0, false, Possible, 1, false},
		{1, true, Likely, 94, false},
		{0.85, true, Likely, 85, false},
		{0.5, true, Possible, 50, false},
	}
	for _, r := range rows {
		sure, percent := Certainty(r.posterior, r.contradicted)
		assert.Equal(t, r.sure, sure, "%+v", r)
		assert.Equal(t, r.percent, percent, "%+v", r)
		assert.Equal(t, r.firm, sure.Firm(), "%+v", r)
	}
	assert.Equal(t, "very likely, 97 %", Finding{Sure: VeryLikely, Percent: 97}.Certainty())
	assert.Equal(t, "very likely, 97 %", Finding{Sure: VeryLikely, Percent: 97, Causes: make([]Cause, 1)}.Certainty())
	assert.Equal(t, "one of 3 causes that look alike: very likely, 97 %", Finding{Sure: VeryLikely, Percent: 97, Causes: make([]Cause, 3)}.Certainty())
	assert.Equal(t, "certain", Finding{Sure: Certain, Percent: 99}.Certainty(), "99 % would leave room for something else")
	assert.Equal(t, "not settled", Finding{Sure: Unsettled, Percent: 99}.Certainty())
}

func TestMoreIsNeverLessSure(t *testing.T) {
	rank := map[Confidence]int{Possible: 0, Likely: 1, VeryLikely: 2, Certain: 3}
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(0, 1).Draw(t, "a"), rapid.Float64Range(0, 1).Draw(t, "b")
		against := rapid.Bool().Draw(t, "against")
		sa, pa := Certainty(min(a, b), against)
		sb, pb := Certainty(max(a, b), against)
		assert.LessOrEqual(t, rank[sa], rank[sb])
		assert.LessOrEqual(t, pa, pb)
		assert.LessOrEqual(t, pb, 99)
	})
}
