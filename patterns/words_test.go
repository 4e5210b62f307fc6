package patterns_test

import (
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/patterns"
)

// A chip is offered the colours whose channels it has, and all of those.
func TestPaletteHasWhatTheChipCanShow(t *testing.T) {
	for _, ch := range chips {
		offered := map[string]bool{}
		for _, n := range patterns.PaletteFor(ch) {
			offered[n.Name] = true
		}
		for _, n := range patterns.Palette {
			can := true
			for _, c := range []patterns.Channel{patterns.White, patterns.Cool} {
				has := false
				for _, x := range ch {
					has = has || x == c
				}
				can = can && (n.Colour.Get(c) == 0 || has)
			}
			assert.Equal(t, can, offered[n.Name], "%s for %v", n.Name, ch)
		}
	}
}

func TestColourWords(t *testing.T) {
	assert.Equal(t, "red", red.Words())
	assert.Equal(t, "dark", dark.Words())
	assert.Equal(t, "red 12 white 3", patterns.Colour{R: 12, W: 3}.Words())
	assert.Equal(t, "blue 1", patterns.Colour{B: 1}.Words())
}

// What the words say of the tail is what the frame has: so many pixels, no
// more than a quarter of the strip.
func TestSweepTailIsAsLongAsItSays(t *testing.T) {
	says := regexp.MustCompile(`tail of up to (\d+)`)
	for _, n := range []int{4, 8, 20, 47, 48, 51, 52, 100, 400} {
		s := patterns.Settings{Pixels: n}
		at := patterns.Moment{Step: n - 1}
		m := says.FindStringSubmatch(patterns.Sweep.Expect(s, at))
		require.NotNil(t, m)
		lit := -1 // but the head
		for _, c := range patterns.Sweep.Frame(nil, s, at) {
			if !c.Dark() {
				lit++
			}
		}
		assert.Equal(t, m[1], strconv.Itoa(lit), "%d pixels", n)
		assert.LessOrEqual(t, lit, max(1, n/4))
		assert.LessOrEqual(t, lit, 12, "short enough to see which end is the head")
	}
}

func TestOnePixelAndFive(t *testing.T) {
	for _, p := range []patterns.Pattern{patterns.Single, patterns.Chase, patterns.CountUp, patterns.Even} {
		assert.Equal(t, patterns.Frame{white}, p.Frame(nil, patterns.Settings{Pixels: 1}, patterns.Moment{}), p.ID)
	}
	at := patterns.Moment{}
	assert.Contains(t, patterns.Ruler.Expect(patterns.Settings{Pixels: 4}, at), "All dark: the first mark is on pixel 5, and there are only 4")
	assert.Contains(t, patterns.Ruler.Expect(patterns.Settings{Pixels: 5}, at), "The last pixel is mark 5")
	assert.NotContains(t, patterns.Ruler.Expect(patterns.Settings{Pixels: 9}, at), "tenth")
	assert.Contains(t, patterns.Ruler.Expect(patterns.Settings{Pixels: 12}, at), "2 pixels follow the last mark, 10")
	assert.NotContains(t, patterns.Ruler.Expect(patterns.Settings{Pixels: 99}, at), "hundredth")
	assert.Contains(t, patterns.Ruler.Expect(patterns.Settings{Pixels: 100}, at), "hundredth red")
}

// The screens step through the speeds one way and back, none twice, up to the
// fastest.
func TestSpeedsAscend(t *testing.T) {
	for i := 1; i < len(patterns.Speeds); i++ {
		assert.Greater(t, patterns.Speeds[i], patterns.Speeds[i-1])
	}
	assert.EqualValues(t, patterns.MaxSpeed, patterns.Speeds[len(patterns.Speeds)-1])
	assert.Contains(t, patterns.Speeds, 1.0, "one step a second can be counted along")
	for i := 1; i < len(patterns.Levels); i++ {
		assert.Greater(t, patterns.Levels[i], patterns.Levels[i-1])
	}
}

// The tail reaches the first pixel, too.
func TestSweepTailAtTheStart(t *testing.T) {
	f := patterns.Sweep.Frame(nil, patterns.Settings{Pixels: 20, Colour: red}, patterns.Moment{Step: 1})
	assert.Equal(t, white, f[1])
	assert.True(t, f[0].R > 0 && f[0].G == 0, "%+v", f[0])
	assert.True(t, f[2].Dark())
}

// Every pixel that the words on the ends name has the colour they say, and no
// other is lit.
func TestEndsAreAsTheWordsSay(t *testing.T) {
	said := regexp.MustCompile(`pixels? (\d+)(?: and (\d+))? (green|red)`)
	for _, starts := range [][]int{nil, {0, 1}, {0, 2}, {0, 10, 30}, {0, 36, 84}} {
		s := patterns.Settings{Pixels: 144, Starts: starts}
		want := make(patterns.Frame, s.Pixels)
		colour := map[string]patterns.Colour{"green": green, "red": red}
		for _, m := range said.FindAllStringSubmatch(patterns.Ends.Expect(s, patterns.Moment{}), -1) {
			for _, n := range m[1:3] {
				if i, err := strconv.Atoi(n); err == nil {
					want[i-1] = colour[m[3]]
				}
			}
		}
		assert.Equal(t, want, patterns.Ends.Frame(nil, s, patterns.Moment{}), "%v", starts)
	}
}
