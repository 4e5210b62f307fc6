package patterns_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"example.org/ringout/patterns"
)

func TestDimValue(t *testing.T) {
	rows := []struct {
		v      uint8
		level  float64
		want   uint8
		source string
	}{
		{255, 0.03, 8, "by hand: 7.65 rounds to 8"},
		{255, 0.01, 3, "by hand: 2.55 rounds to 3"},
		{255, 0.2, 51, "by hand: 51.0"},
		{128, 0.5, 64, "by hand: 64.0"},
		{255, 1, 255, "as it is"},
		{16, 0.03, 1, "by hand: 0.48 would round to 0, held at 1"},
		{1, 0.001, 1, "held at 1"},
		{255, 0, 0, "level 0 is dark"},
		{0, 1, 0, "dark stays dark"},
		{200, math.NaN(), 0, "not a number is 0"},
		{200, math.Inf(1), 200, "no more than full"},
		{200, -1, 0, "no less than dark"},
	}
	for _, r := range rows {
		assert.Equal(t, r.want, patterns.DimValue(r.v, r.level), "%d at %g: %s", r.v, r.level, r.source)
	}
}

func TestDimKeepsOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Uint8().Draw(t, "a"), rapid.Uint8().Draw(t, "b")
		l, m := rapid.Float64Range(0, 1).Draw(t, "l"), rapid.Float64Range(0, 1).Draw(t, "m")
		lo, hi := min(a, b), max(a, b)
		if patterns.DimValue(lo, l) > patterns.DimValue(hi, l) {
			t.Fatal("a brighter value came out darker")
		}
		if patterns.DimValue(a, min(l, m)) > patterns.DimValue(a, max(l, m)) {
			t.Fatal("a higher level came out darker")
		}
		if l > 0 && (patterns.DimValue(a, l) == 0) != (a == 0) {
			t.Fatal("a lit channel went out, or a dark one came on")
		}
	})
}

func TestLevelSteps(t *testing.T) {
	l := 0.0
	for i := 1; i < len(patterns.Levels); i++ {
		l = patterns.NextLevel(l, 1)
		assert.InDelta(t, patterns.Levels[i]/100, l, 1e-12)
	}
	assert.Equal(t, 1.0, patterns.NextLevel(1, 1))
	for i := len(patterns.Levels) - 2; i >= 0; i-- {
		l = patterns.NextLevel(l, -1)
		assert.InDelta(t, patterns.Levels[i]/100, l, 1e-12)
	}
	assert.Equal(t, 0.0, patterns.NextLevel(0, -1))
	assert.InDelta(t, 0.04, patterns.NextLevel(0.031, 1), 1e-12)
}

func TestSpeedSteps(t *testing.T) {
	s := patterns.Settings{Pixels: 5, Speed: 8}
	assert.Equal(t, 10.0, patterns.NextSpeed(patterns.Chase, s, 1), "5 pixels twice a second")
	s.Speed = 10
	assert.Equal(t, 10.0, patterns.NextSpeed(patterns.Chase, s, 1))
	assert.Equal(t, 8.0, patterns.NextSpeed(patterns.Chase, s, -1))
	s.Speed = math.NaN()
	assert.Zero(t, patterns.ClampSpeed(patterns.Chase, s))
}

// Speeds go up by a third at least, which is seen, and by not more than two and
// a half times, so that none is far from what is wanted (common practice).
func TestSpeedsAreWellApart(t *testing.T) {
	for i := 1; i < len(patterns.Speeds); i++ {
		ratio := patterns.Speeds[i] / patterns.Speeds[i-1]
		assert.GreaterOrEqual(t, ratio, 4/3.0-1e-9, "%g after %g", patterns.Speeds[i], patterns.Speeds[i-1])
		assert.LessOrEqual(t, ratio, 2.5, "%g after %g", patterns.Speeds[i], patterns.Speeds[i-1])
	}
}
