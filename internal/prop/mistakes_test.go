package prop

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Only feet and inches add up: anything else written twice is a mistake.
func TestQuantitiesAreWrittenOnce(t *testing.T) {
	for _, row := range []struct {
		q  quantity
		in string
	}{
		{amps, "10 A 5 A"}, {volts, "5 V 12 V"}, {ohms, "1 ohm 50 mohm"}, {shares, "80 % 5 %"}, {angles, "90 deg 5 deg"},
		{lengths, "2 m 36 cm"}, {lengths, "9 in 7 ft"}, {lengths, "7 ft 9 in 3 in"}, {lengths, "1 yd 2 ft"}, {lengths, "7 ft 2 ft"},
	} {
		_, _, err := row.q.parse(row.in)
		require.Error(t, err, row.in)
		assert.Contains(t, err.Error(), "more than one value", row.in)
	}
	v, _, err := lengths.parse("7 ft 9 1/2 in")
	require.NoError(t, err)
	assert.InDelta(t, 93.5*inch, v, 1e-12)
}

// A count is rounded down, without slack: 1.9999 m at 60 a metre is 119.994.
func TestCountsHaveNoSlack(t *testing.T) {
	chip := Chip{LightsPerMetre: 60, LightsPerPixel: 1}
	assert.Equal(t, 119, FitLength(1.9999, chip).Whole)
	assert.Equal(t, 120, FitLength(2, chip).Whole)
	for n := 1; n < 2000; n++ {
		assert.Equal(t, n, FitLength(float64(n)/60, chip).Whole, "binary fractions do not lose a pixel")
	}
}

// sound is a file without a mistake, for tests that put one in.
const sound = `name = "Test"
[strip]
chip = "WS2812B"
[supply]
amps = "10 A"
[address]
host = "multicast"
universe = 1
[[run]]
name = "a"
pixels = 10
`

// What a syntax error leaves readable is judged all the same, and what it
// hides is not reported as missing.
func TestASyntaxErrorHidesNothingElse(t *testing.T) {
	for _, row := range []struct {
		name, from, to string
		lines          []string // what each problem holds, in order
	}{
		{"typographic quotes", `name = "Test"`, `name = “Test”`, []string{`t.toml line 1: this line has typographic quotes: type plain ones (")`}},
		{"header without its bracket", "[supply]", "[supply", []string{"line 4: this is not TOML"}},
		{"header with a slip too", "[supply]", "[suply", []string{"line 4: this is not TOML"}},
		{"double header broken", "[[run]]", "[[run]", []string{"line 9: this is not TOML"}},
		{"value without quotes", `amps = "10 A"`, `amps = 10 A`, []string{"line 5: this value has no quotes"}},
		{"and another thing wrong", "amps = \"10 A\"\n", "amps = 10 A\nvolts = \"twelve\"\n", []string{"line 5: this value has no quotes", "line 6: supply, volts"}},
		{"and a table missing", "amps = \"10 A\"\n[address]\nhost = \"multicast\"\nuniverse = 1\n", "amps = 10 A\n", []string{"t.toml: [address]: is missing", "line 5: this value has no quotes"}},
		{"and a key missing", "chip = \"WS2812B\"\n[supply]\namps = \"10 A\"\n", "[supply]\namps = 10 A\n", []string{"line 2: strip, chip: is missing", "line 4: this value has no quotes"}},
	} {
		require.Contains(t, sound, row.from)
		_, _, err := Parse([]byte(strings.Replace(sound, row.from, row.to, 1)), "t.toml")
		require.Error(t, err, row.name)
		lines := strings.Split(err.Error(), "\n")
		if assert.Len(t, lines, len(row.lines), "%s:\n%s", row.name, err) {
			for i, want := range row.lines {
				assert.Contains(t, lines[i], want, row.name)
			}
		}
	}
}

func TestApartOnTheFirstRunIsDoubted(t *testing.T) {
	_, doc, err := Parse([]byte(sound+"apart = true\n"), "t.toml")
	require.NoError(t, err)
	assert.Equal(t, "t.toml line 12: run 1, apart: says nothing of the first run: there is none before it: remove it, or move it to the run whose plus stands apart", doc.Doubts().Error())
	_, doc, err = Parse([]byte(sound+"[[run]]\npixels = 3\napart = true\n"), "t.toml")
	require.NoError(t, err)
	assert.Empty(t, doc.Doubts())
}

// The slips made most by hand have words of their own, with the line as it should be.
func TestSlipsOfTheHand(t *testing.T) {
	for _, row := range []struct{ from, to, says string }{
		{`amps = "10 A"`, `amps = 10 A`, `t.toml line 5: this value has no quotes: write amps = "10 A"`},
		{`amps = "10 A"`, `amps = 7.5 A # plate`, `t.toml line 5: this value has no quotes: write amps = "7.5 A"`},
		{`amps = "10 A"`, `amps : "10 A"`, `t.toml line 5: this line has a colon where an equals sign belongs: write amps = "10 A"`},
		{`universe = 1`, `universe: 1`, `t.toml line 8: this line has a colon where an equals sign belongs: write universe = 1`},
		{`universe = 1`, "universe = 1\nword of mouth: 1", `t.toml line 9: this is not TOML`},
		{`amps = "10 A"`, `amps = "10 A`, `t.toml line 5: this is not TOML`},
	} {
		_, _, err := Parse([]byte(strings.Replace(sound, row.from, row.to, 1)), "t.toml")
		require.Error(t, err, row.to)
		assert.Equal(t, 1, strings.Count(err.Error(), "t.toml"), "one slip, one sentence: %s", err)
		assert.Contains(t, err.Error(), row.says)
	}
	_, _, err := Parse([]byte("# a\r"+strings.ReplaceAll(sound, "\n", "\r")), "t.toml")
	require.ErrorContains(t, err, "the lines of this file end in CR alone: save it with the line ends LF or CRLF")
	_, _, err = Parse([]byte(strings.ReplaceAll(sound, "\n", "\r\n")), "t.toml")
	require.NoError(t, err)
}

// A value over the limit is told the limit: a sample alone would be copied.
func TestTooLargeNamesTheMost(t *testing.T) {
	for _, row := range []struct{ from, to, says string }{
		{`amps = "10 A"`, `amps = "10000 A"`, `"10000 A" is too large: give at most 1000 A, such as "5 A"`},
		{`amps = "10 A"`, "amps = \"10 A\"\nvolts = \"230 V\"", `"230 V" is too large: give at most 60 V`},
		{`amps = "10 A"`, "amps = \"10 A\"\ncontinuous = \"180 %\"", `"180 %" is too large: give at most 100 %`},
		{`amps = "10 A"`, "amps = \"10 A\"\ntemperature = \"400 C\"", `"400 C" is too large: write -50 C to 120 C`},
		{`pixels = 10`, "pixels = 10\nlead_in = \"2 km\"", `unit "km"`},
		{`pixels = 10`, "pixels = 10\nlead_in = \"2000 m\"", `"2000 m" is too large: give at most `},
		{`chip = "WS2812B"`, "chip = \"WS2812B\"\nrail = \"200 ohm/m\"", `"200 ohm/m" is too large: give at most 100 ohm/m, such as "0.2 ohm/m"`},
	} {
		_, _, err := Parse([]byte(strings.Replace(sound, row.from, row.to, 1)), "t.toml")
		require.ErrorContains(t, err, row.says, row.to)
	}
}
