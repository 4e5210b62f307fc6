package patterns_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/patterns"
	"example.org/ringout/patterns/flash"
)

// brightest is the index of the one pixel that is brighter than every other, or -1.
func brightest(f patterns.Frame) int {
	best, at, alike := -1.0, -1, false
	for i, c := range f {
		switch l := flash.Luminance(c); {
		case l > best:
			best, at, alike = l, i, false
		case l == best:
			alike = true
		}
	}
	if alike {
		return -1
	}
	return at
}

func lit(f patterns.Frame) int {
	n := 0
	for _, c := range f {
		if !c.Dark() {
			n++
		}
	}
	return n
}

// The number written large beside the drawing is the pixel that stands out, or of a
// pattern that Counts how many are lit. Where every step is a pixel, the step's pixel
// stands out, and there are as many steps.
func TestNumberIsWhatIsLit(t *testing.T) {
	for _, p := range patterns.All() {
		for _, n := range []int{2, 3, 4, 5, 20, 48, 100} {
			for _, back := range []bool{false, true} {
				numbersHold(t, p, patterns.Settings{Pixels: n, Reverse: back, Channels: rgbw})
			}
		}
	}
	s := patterns.Settings{Pixels: 9}
	for k := range 9 {
		require.Equal(t, k+1, lit(patterns.CountUp.Frame(nil, s, patterns.Moment{Step: k})), "one more each step")
	}
}

func numbersHold(t *testing.T, p patterns.Pattern, s patterns.Settings) {
	steps := patterns.Steps(p, s)
	if p.ByPixel {
		require.Equal(t, s.Pixels, steps, "%s: a step for each pixel", p.ID)
	} else if p.Number != nil {
		require.GreaterOrEqual(t, steps, s.Pixels, "%s: every pixel has its step", p.ID)
	}
	for k := range min(steps, s.Pixels) {
		at := patterns.Moment{Step: k}
		f := p.Frame(nil, s, at)
		pixel := k
		if s.Reverse {
			pixel = s.Pixels - 1 - k
		}
		if p.ByPixel {
			require.Equal(t, pixel, brightest(f), "%s is ByPixel: step %d of %+v", p.ID, k, s)
		}
		switch {
		case p.Number == nil:
			require.False(t, p.Counts, "%s Counts: it has a Number", p.ID)
		case p.Counts:
			require.Equal(t, lit(f), p.Number(s, at), "%s Counts: step %d of %+v", p.ID, k, s)
		default:
			require.Equal(t, brightest(f)+1, p.Number(s, at), "%s: Number is a pixel, or it Counts; step %d of %+v", p.ID, k, s)
		}
	}
}

// Walks visit every pixel once, from the end that they say they start from,
// and every step shows something else.
func TestWalksVisitEveryPixel(t *testing.T) {
	for _, p := range []patterns.Pattern{patterns.Chase, patterns.Single} {
		for _, back := range []bool{false, true} {
			s := patterns.Settings{Pixels: 30, Reverse: back}
			require.Equal(t, 30, patterns.Steps(p, s))
			for k := range 30 {
				f := p.Frame(nil, s, patterns.Moment{Step: k})
				require.Equal(t, 1, lit(f))
				want := k
				if back {
					want = 29 - k
				}
				require.Equal(t, want, brightest(f))
			}
		}
	}
}

// Every slot of the chip is driven in wire order and alone; a chip that is not
// known counts as red, green, blue.
func TestColoursDriveEachSlotOnce(t *testing.T) {
	for _, ch := range append(chips, nil) {
		s := patterns.Settings{Pixels: 3, Channels: ch}
		if ch == nil {
			ch = []patterns.Channel{patterns.Red, patterns.Green, patterns.Blue}
		}
		require.Equal(t, len(ch), patterns.Steps(patterns.Colours, s))
		for k, c := range ch {
			at := patterns.Moment{Step: k}
			for _, px := range patterns.Colours.Frame(nil, s, at) {
				for other := range patterns.Channel(patterns.NumChannels) {
					want := uint8(0)
					if other == c {
						want = 255
					}
					require.Equal(t, want, px.Get(other), "%v of step %d of %v", other, k, ch)
				}
			}
			require.Contains(t, patterns.Colours.Expect(s, at), fmt.Sprintf("slot %d of %d", k+1, len(ch)))
		}
	}
	one := patterns.Settings{Pixels: 1, Channels: []patterns.Channel{patterns.White}}
	assert.Equal(t, patterns.Frame{{W: 255}}, patterns.Colours.Frame(nil, one, patterns.Moment{}), "a chip of one slot")
}

// Every fifth pixel of any strip has a mark and no other has one, except beside
// the hundreds; a mark never falls off the strip, whichever way it is counted.
func TestRulerOnEveryLength(t *testing.T) {
	for n := range 310 {
		for _, back := range []bool{false, true} {
			f := patterns.Ruler.Frame(nil, patterns.Settings{Pixels: n, Reverse: back}, patterns.Moment{})
			require.Len(t, f, n)
			for i := 1; i <= n; i++ {
				px := f[i-1]
				if back {
					px = f[n-i]
				}
				want := dark
				switch m := i % 100; {
				case i > 1 && m <= 1 && i-m > 0, m == 99 && i < n:
					want = red
				case i%10 == 0:
					want = green
				case i%5 == 0:
					want = blue56
				}
				require.Equal(t, want, px, "pixel %d of %d, back %v", i, n, back)
			}
		}
	}
	says := func(n int, back bool) string {
		return patterns.Ruler.Expect(patterns.Settings{Pixels: n, Reverse: back}, patterns.Moment{})
	}
	assert.Contains(t, says(10, false), "From the data end: every fifth pixel dim blue, tenth bright green. The last pixel is mark 10.")
	assert.Contains(t, says(10, true), "From the far end")
	assert.Contains(t, says(3, false), "only 3")
	assert.Contains(t, says(22, false), "green. 2 pixels follow the last mark, 20.")
	assert.Contains(t, says(9, false), "blue. 4 pixels follow the last mark, 5.")
}

// Patterns that have no steps stay as they are, and all take any length.
func TestEveryLengthHasAFrame(t *testing.T) {
	for _, p := range patterns.All() {
		for n := range 130 {
			for _, back := range []bool{false, true} {
				s := patterns.Settings{Pixels: n, Reverse: back, Channels: grb}
				for _, k := range []int{0, 1, n / 2, n - 1, n, n + 1, n + 13, -1} {
					f := p.Frame(make(patterns.Frame, 0, n), s, patterns.Moment{Step: k})
					require.Len(t, f, n, p.ID)
					require.Equal(t, n, cap(f), "%s makes a new frame where the old one has room", p.ID)
					require.NotEmpty(t, p.Expect(s, patterns.Moment{Step: k}), p.ID)
				}
			}
		}
		s := patterns.Settings{Pixels: 9, Channels: grb}
		if p.Stepped {
			require.Greater(t, patterns.Steps(p, s), 1, p.ID)
		} else {
			require.Equal(t, 1, patterns.Steps(p, s), p.ID)
			require.Equal(t, p.Frame(nil, s, patterns.Moment{}), p.Frame(nil, s, patterns.Moment{Step: 5}), p.ID)
		}
	}
	assert.Empty(t, patterns.Even.Frame(nil, patterns.Settings{Pixels: -1}, patterns.Moment{}))
}

// The tail fades evenly from at most half of the head to one part above dark,
// and runs off the strip pixel by pixel when the head has left.
func TestSweepFadesEvenlyAndRunsOff(t *testing.T) {
	for _, n := range []int{4, 8, 24, 48, 144} {
		tail := min(12, n/4)
		s := patterns.Settings{Pixels: n, Colour: white}
		require.Equal(t, n+tail, patterns.Steps(patterns.Sweep, s))
		for step := range n + tail {
			f := patterns.Sweep.Frame(nil, s, patterns.Moment{Step: step})
			for i, px := range f {
				want := 0.0
				switch back := step - i; {
				case back == 0:
					want = 255
				case back > 0 && back <= tail:
					want = 127.5 * float64(tail+1-back) / float64(tail+1)
				}
				require.InDelta(t, want, float64(px.G), 1, "pixel %d at step %d of %d", i, step, n)
			}
		}
		gone := patterns.Sweep.Expect(s, patterns.Moment{Step: n})
		require.Contains(t, gone, "has run off the end")
		require.NotContains(t, patterns.Sweep.Expect(s, patterns.Moment{Step: n - 1}), "run off")
		require.Contains(t, patterns.Sweep.Expect(s, patterns.Moment{Step: n - 1}), fmt.Sprintf("pixel at %d of %d", n, n))
		require.Equal(t, 1, lit(patterns.Sweep.Frame(nil, s, patterns.Moment{Step: n + tail - 1})), "one of the tail is left at the last step")
	}
}

// The newest pixel of a count is full and the others a quarter of it.
func TestCountUpDimsAllButTheNewest(t *testing.T) {
	s := patterns.Settings{Pixels: 6, Colour: patterns.Colour{R: 200, W: 2}}
	f := patterns.CountUp.Frame(nil, s, patterns.Moment{Step: 3})
	assert.Equal(t, s.Colour, f[3])
	assert.Equal(t, patterns.Colour{R: 50, W: 1}, f[0], "a lit channel stays lit")
	assert.Equal(t, 4, lit(f))
	at := func(k int) string { return patterns.CountUp.Expect(s, patterns.Moment{Step: k}) }
	assert.Contains(t, at(0), "Only the first pixel from the data end")
	assert.Contains(t, at(1), "2 of 6 pixels are lit from the data end")
	assert.Contains(t, at(4), "5 of 6")
	assert.Contains(t, at(5), "All 6 pixels")
}

// What is said of one pixel does not speak of others; of two it does.
func TestWordsForOnePixelAndTwo(t *testing.T) {
	for _, p := range []patterns.Pattern{patterns.Chase, patterns.Single, patterns.CountUp, patterns.Even} {
		one := p.Expect(patterns.Settings{Pixels: 1}, patterns.Moment{})
		assert.Equal(t, "The only pixel is lit, white.", one, p.ID)
		two := p.Expect(patterns.Settings{Pixels: 2}, patterns.Moment{})
		assert.NotContains(t, two, "The only pixel", p.ID)
	}
	for _, p := range patterns.All() { // what is said of many is not said of one, nor the reverse
		one := p.Expect(patterns.Settings{Pixels: 1, Channels: []patterns.Channel{patterns.Red}}, patterns.Moment{})
		assert.NotRegexp(t, `\b(Every pixel|All [0-9]+ pixels)\b`, one, p.ID)
		many := p.Expect(patterns.Settings{Pixels: 12, Channels: []patterns.Channel{patterns.Red}}, patterns.Moment{})
		assert.NotContains(t, many, "The only pixel", p.ID)
	}
	for _, back := range []bool{false, true} {
		from := map[bool]string{false: "from the data end to the far end", true: "from the far end to the data end"}[back]
		s := patterns.Settings{Pixels: 9, Reverse: back}
		assert.Contains(t, patterns.Chase.Expect(s, patterns.Moment{}), from)
		assert.Contains(t, patterns.Sweep.Expect(s, patterns.Moment{}), from)
		assert.Contains(t, patterns.Sweep.Expect(s, patterns.Moment{Step: 9}), from)
	}
	assert.Contains(t, patterns.Ends.Expect(patterns.Settings{Pixels: 3}, patterns.Moment{}), "pixel 1 green, pixel 3 red")
	assert.Contains(t, patterns.Ends.Expect(patterns.Settings{Pixels: 4}, patterns.Moment{}), "pixel 1 green, pixels 3 and 4 red")
	assert.NotContains(t, patterns.Ends.Expect(patterns.Settings{Pixels: 4, Starts: []int{0}}, patterns.Moment{}), "Run")
	assert.Contains(t, patterns.Ends.Expect(patterns.Settings{Pixels: 4, Starts: []int{0, 3}}, patterns.Moment{}), "Run 1: pixel 1 green, pixel 3 red. Run 2: pixel 4 green. All others dark.")
}

// Of many runs what to expect says what they have in common, and lists where they begin.
func TestEndsOfManyRuns(t *testing.T) {
	starts := func(n, each int) (out []int) {
		for r := range n {
			out = append(out, r*each)
		}
		return out
	}
	assert.Equal(t, "In each of 7 runs the first pixel is green, the last two are red. All others dark. Runs begin at 1, 6, 11, 16, 21, 26 and 1 more.",
		patterns.Ends.Expect(patterns.Settings{Pixels: 35, Starts: starts(7, 5)}, patterns.Moment{}))
	assert.Contains(t, patterns.Ends.Expect(patterns.Settings{Pixels: 21, Starts: starts(7, 3)}, patterns.Moment{}), "red, in runs under 4 pixels the last one. ")
	assert.Contains(t, patterns.Ends.Expect(patterns.Settings{Pixels: 150, Starts: starts(30, 5)}, patterns.Moment{}), "In each of 30 runs")
	assert.Contains(t, patterns.Ends.Expect(patterns.Settings{Pixels: 150, Starts: starts(30, 5)}, patterns.Moment{}), ", 26 and 24 more.")
	assert.Contains(t, patterns.Ends.Expect(patterns.Settings{Pixels: 30, Starts: starts(6, 5)}, patterns.Moment{}), "Run 6: pixel 26 green")
}

// Starts that a file has wrong (a run that begins off the strip) are left out
// and do no harm to those that are right.
func TestEndsOfRunsThatAreNotThere(t *testing.T) {
	for _, starts := range [][]int{{-1, 4}, {0, 4, 8}, {0, 4, 9}, {0, 4, 4}} {
		s := patterns.Settings{Pixels: 8, Starts: starts}
		f := patterns.Ends.Frame(nil, s, patterns.Moment{})
		require.Len(t, f, 8)
		said := patterns.Ends.Expect(s, patterns.Moment{})
		if starts[0] == 0 && starts[1] == 4 && len(starts) == 3 && starts[2] == 4 {
			require.Contains(t, said, "Run 3: pixel 5 green", "an empty run has no ends")
			require.NotContains(t, said, "Run 2")
			continue
		}
		require.NotContains(t, said, "9", "there is no ninth pixel")
		if starts[0] < 0 {
			require.NotContains(t, said, "Run 1")
			require.Equal(t, dark, f[0])
			require.Equal(t, green, f[4])
		}
	}
}

// By one to ten, then in steps of no more than a half of what there was, all
// of them numbers that read well: fives from 15 on, tens from 50 on.
func TestLevelsReadWell(t *testing.T) {
	l := patterns.Levels
	require.Zero(t, l[0])
	require.EqualValues(t, 100, l[len(l)-1])
	for i := 1; i < len(l); i++ {
		switch {
		case l[i] <= 10:
			require.Equal(t, l[i-1]+1, l[i])
		case l[i] >= 50:
			require.Zero(t, math.Mod(l[i], 10), "%g", l[i])
		case l[i] >= 15:
			require.Zero(t, math.Mod(l[i], 5), "%g", l[i])
		}
		require.LessOrEqual(t, l[i]-l[i-1], max(1, l[i-1]/2))
	}
	require.Contains(t, l, 20.0, "the level at the start")
}

// The next level or speed is the nearest one of the list on the side asked
// for, and the last of the list where there is none.
func TestNextIsTheNearest(t *testing.T) {
	nearest := func(list []float64, v float64, up bool) float64 {
		best := math.NaN()
		for _, x := range list {
			if up && x > v && !(best < x) || !up && x < v && !(best > x) {
				best = x
			}
		}
		if math.IsNaN(best) {
			best = list[0]
			if up {
				best = list[len(list)-1]
			}
		}
		return best
	}
	rapid.Check(t, func(t *rapid.T) {
		up := rapid.Bool().Draw(t, "up")
		dir := map[bool]int{true: 1, false: -1}[up]
		tenths := rapid.IntRange(-20, 1020).Draw(t, "tenths of a percent")
		clean := min(max(float64(tenths), 0), 1000) / 10
		if got := patterns.NextLevel(float64(tenths)/1000, dir); math.Abs(got-nearest(patterns.Levels, clean, up)/100) > 1e-12 {
			t.Fatalf("%g %% goes to %g", clean, got)
		}
		s := patterns.Settings{Pixels: 400, Speed: float64(rapid.IntRange(0, 450).Draw(t, "speed")) / 10}
		if got := patterns.NextSpeed(patterns.Chase, s, dir); got != nearest(patterns.Speeds, s.Speed, up) {
			t.Fatalf("%g steps a second goes to %g", s.Speed, got)
		}
	})
	assert.Equal(t, 0.0, patterns.NextLevel(math.NaN(), -1))
}

// One pixel comes back no more than twice a second, a sweep passes once, a
// short strip takes three steps in two seconds, and all pixels at once change
// twice a second. No limit is stricter than that.
func TestSpeedLimits(t *testing.T) {
	for _, row := range []struct {
		p      patterns.Pattern
		pixels int
		want   float64
	}{
		{patterns.Chase, 4, 1.5}, {patterns.Chase, 5, 10}, {patterns.Chase, 19, 38}, {patterns.Chase, 20, 40}, {patterns.Chase, 500, 40},
		{patterns.Single, 4, 1.5}, {patterns.CountUp, 5, 10}, {patterns.Sweep, 4, 1.5}, {patterns.Sweep, 5, 5}, {patterns.Sweep, 39, 39}, {patterns.Sweep, 41, 40},
		{patterns.Colours, 3, 2}, {patterns.Colours, 300, 2}, {patterns.Even, 3, 40},
	} {
		s := patterns.Settings{Pixels: row.pixels, Speed: 1e6}
		assert.Equal(t, row.want, patterns.SpeedLimit(row.p, s), "%s on %d", row.p.ID, row.pixels)
		assert.Equal(t, row.want, patterns.ClampSpeed(row.p, s))
		s.Speed = row.want / 2
		assert.Equal(t, row.want/2, patterns.ClampSpeed(row.p, s))
	}
	assert.Zero(t, patterns.ClampSpeed(patterns.Chase, patterns.Settings{Pixels: 9, Speed: -1}))
}

// Words name the channels that are lit, with their values, and no other.
func TestWordsOfAnyColour(t *testing.T) {
	names := map[patterns.Channel]string{patterns.Red: "red", patterns.Green: "green", patterns.Blue: "blue", patterns.White: "white", patterns.Cool: "cool white"}
	for _, n := range patterns.Palette {
		assert.Equal(t, n.Name, n.Colour.Words())
	}
	rapid.Check(t, func(t *rapid.T) {
		var c patterns.Colour
		want := ""
		for ch := range patterns.Channel(patterns.NumChannels) {
			v := rapid.SampledFrom([]uint8{0, 1, 2, 100, 254}).Draw(t, names[ch])
			c = c.With(ch, v)
			if c.Get(ch) != v {
				t.Fatalf("%v is %d, not %d", ch, c.Get(ch), v)
			}
			if v > 0 {
				want += fmt.Sprintf(" %s %d", names[ch], v)
			}
			if ch.String() != names[ch] || ch.Letter() != "RGBWC"[ch] {
				t.Fatalf("channel %d is %s, %c", ch, ch, ch.Letter())
			}
		}
		if want != "" && c.Words() != want[1:] {
			t.Fatalf("%+v is %q", c, c.Words())
		}
	})
}

// A pattern has as many steps as it counts, one at least: where one loops the
// first comes after the last, also before the beginning; others hold at either end.
func TestStepsOfAPattern(t *testing.T) {
	for counted, want := range map[int]int{-3: 1, 0: 1, 1: 1, 2: 2, 7: 7} {
		p := patterns.Pattern{Count: func(patterns.Settings) int { return counted }}
		require.Equal(t, want, patterns.Steps(p, patterns.Settings{}))
		for step := -20; step <= 20; step++ {
			p.Loops = false
			require.Equal(t, min(max(step, 0), want-1), patterns.StepAt(p, patterns.Settings{}, step))
			p.Loops = true
			at := patterns.StepAt(p, patterns.Settings{}, step)
			require.True(t, at >= 0 && at < want && (step-at)%want == 0, "step %d of %d is %d", step, want, at)
		}
	}
	require.Equal(t, 1, patterns.Steps(patterns.Pattern{}, patterns.Settings{}), "none is counted")
}
