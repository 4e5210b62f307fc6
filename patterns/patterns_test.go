package patterns_test

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/patterns"
	"example.org/ringout/patterns/flash"
)

var (
	rgbw   = []patterns.Channel{patterns.Green, patterns.Red, patterns.Blue, patterns.White}
	grb    = []patterns.Channel{patterns.Green, patterns.Red, patterns.Blue}
	bulb   = []patterns.Channel{patterns.Red, patterns.Green, patterns.Blue, patterns.Cool, patterns.White}
	chips  = [][]patterns.Channel{grb, rgbw, bulb}
	dark   = patterns.Colour{}
	white  = patterns.Colour{R: 255, G: 255, B: 255}
	red    = patterns.Colour{R: 255}
	green  = patterns.Colour{G: 255}
	blue56 = patterns.Colour{B: 56}
)

// WCAG 2.3.1: every pattern walks by itself at every speed the screens offer,
// in every colour they offer, on short strips and longer ones, and never
// flashes. The frames are looked at in the very moments they change.
func TestNothingFlashes(t *testing.T) {
	lengths := []int{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 16, 19, 20, 21, 24, 36, 48, 60, 144}
	for _, p := range patterns.All() {
		t.Run(p.ID, func(t *testing.T) {
			for _, n := range lengths {
				for _, ch := range chips {
					for _, col := range append([]patterns.NamedColour{{}}, patterns.PaletteFor(ch)...) {
						for _, v := range patterns.Speeds {
							s := patterns.Settings{Pixels: n, Channels: ch, Colour: col.Colour, Speed: v}
							holdsStill(t, p, s)
						}
					}
				}
			}
		})
	}
}

func holdsStill(t *testing.T, p patterns.Pattern, s patterns.Settings) {
	v := patterns.ClampSpeed(p, s)
	require.Positive(t, v)
	m := flash.NewMeter(s.Pixels, 5) // one less than the rule: the show keeps room for going dark
	var f patterns.Frame
	for k := range int(3*v) + 8 { // three seconds and more
		at := time.Duration(float64(k) / v * float64(time.Second))
		f = p.Frame(f, s, patterns.Moment{T: at, Step: patterns.StepAt(p, s, k)})
		if r := m.Add(f, at); r.TooFast() {
			t.Fatalf("%s on %d pixels at %g (%g) steps a second in %+v flashes at %v: %+v",
				p.ID, s.Pixels, s.Speed, v, s.Colour, at, r)
		}
	}
}

// The limits are needed: without them short strips would flash.
func TestLimitsAreNeeded(t *testing.T) {
	for _, p := range []patterns.Pattern{patterns.Chase, patterns.Sweep, patterns.Colours} {
		s := patterns.Settings{Pixels: 4, Channels: grb}
		m := flash.NewMeter(4, flash.Changes)
		fast := false
		for k := range 80 {
			f := p.Frame(nil, s, patterns.Moment{Step: patterns.StepAt(p, s, k)})
			fast = fast || m.Add(f, time.Duration(k)*time.Second/patterns.MaxSpeed).TooFast()
		}
		assert.True(t, fast, p.ID)
	}
}

func TestFrames(t *testing.T) {
	q := patterns.Colour{R: 63, G: 63, B: 63}
	rows := []struct {
		name string
		p    patterns.Pattern
		s    patterns.Settings
		step int
		want patterns.Frame
		says string
	}{
		{"chase, third", patterns.Chase, patterns.Settings{Pixels: 4}, 2, patterns.Frame{dark, dark, white, dark}, "pixel 3 of 4"},
		{"chase, backwards", patterns.Chase, patterns.Settings{Pixels: 4, Reverse: true}, 0, patterns.Frame{dark, dark, dark, white}, "pixel 4 of 4"},
		{"single, in red", patterns.Single, patterns.Settings{Pixels: 3, Colour: red}, 1, patterns.Frame{dark, red, dark}, "pixel 2 of 3 is lit, red"},
		{"single, held at the end", patterns.Single, patterns.Settings{Pixels: 3}, 99, patterns.Frame{dark, dark, white}, "pixel 3 of 3"},
		{"count up, first", patterns.CountUp, patterns.Settings{Pixels: 3}, 0, patterns.Frame{white, dark, dark}, "Only the first pixel"},
		{"count up, two", patterns.CountUp, patterns.Settings{Pixels: 3}, 1, patterns.Frame{q, white, dark}, "2 of 3 pixels"},
		{"count up, all", patterns.CountUp, patterns.Settings{Pixels: 3}, 2, patterns.Frame{q, q, white}, "All 3 pixels"},
		{"count up from the far end", patterns.CountUp, patterns.Settings{Pixels: 3, Reverse: true}, 1, patterns.Frame{dark, white, q}, "from the far end"},
		{"ends of two runs", patterns.Ends, patterns.Settings{Pixels: 7, Starts: []int{0, 4}}, 0,
			patterns.Frame{green, dark, red, red, green, dark, red}, "Run 2: pixel 5 green, pixel 7 red"},
		{"ends of one pixel", patterns.Ends, patterns.Settings{Pixels: 1}, 0, patterns.Frame{green}, "pixel 1 green"},
		{"ruler to eleven", patterns.Ruler, patterns.Settings{Pixels: 11}, 0,
			patterns.Frame{dark, dark, dark, dark, blue56, dark, dark, dark, dark, green, dark}, "One pixel follows the last mark, 10"},
		{"colours, second slot of a GRB chip", patterns.Colours, patterns.Settings{Pixels: 2, Channels: grb}, 1, patterns.Frame{red, red}, "red and nothing else: slot 2 of 3"},
		{"colours, white slot", patterns.Colours, patterns.Settings{Pixels: 1, Channels: rgbw}, 3, patterns.Frame{{W: 255}}, "white and nothing else: slot 4 of 4"},
		{"even", patterns.Even, patterns.Settings{Pixels: 2, Colour: green}, 0, patterns.Frame{green, green}, "All 2 pixels are green"},
		{"black", patterns.Black, patterns.Settings{Pixels: 2, Colour: green}, 0, patterns.Frame{dark, dark}, "dark"},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			at := patterns.Moment{Step: r.step}
			assert.Equal(t, r.want, r.p.Frame(nil, r.s, at))
			assert.Contains(t, r.p.Expect(r.s, at), r.says)
		})
	}
}

func TestRulerTellsMarksApart(t *testing.T) {
	f := patterns.Ruler.Frame(nil, patterns.Settings{Pixels: 205}, patterns.Moment{})
	for n := 1; n <= 205; n++ { // n counts from 1
		want := dark
		switch {
		case n == 99 || n == 100 || n == 101 || n == 199 || n == 200 || n == 201:
			want = red
		case n%10 == 0:
			want = green
		case n%5 == 0:
			want = blue56
		}
		assert.Equal(t, want, f[n-1], "pixel %d", n)
	}
}

// The head is the brightest pixel, the tail falls away behind it and all
// before it is dark, both ways round.
func TestSweepHeadAndTail(t *testing.T) {
	for _, back := range []bool{false, true} {
		s := patterns.Settings{Pixels: 48, Reverse: back, Colour: white}
		f := patterns.Sweep.Frame(nil, s, patterns.Moment{Step: 30})
		at := func(i int) float64 {
			if back {
				i = 47 - i
			}
			return flash.Luminance(f[i])
		}
		assert.InDelta(t, 1, at(30), 1e-9)
		for i := 31; i < 48; i++ {
			assert.Zero(t, at(i))
		}
		assert.LessOrEqual(t, at(29), 0.5)
		for i := 29; i > 18; i-- {
			assert.Greater(t, at(i), at(i-1))
		}
		assert.Zero(t, at(17))
	}
}

// Whatever is asked, a pattern answers with the right number of pixels, the
// same ones again, into the room it is given, and has words for it.
func TestAnyMoment(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := patterns.All()
		p := all[rapid.IntRange(0, len(all)-1).Draw(t, "pattern")]
		s := patterns.Settings{
			Pixels:   rapid.IntRange(0, 300).Draw(t, "pixels"),
			Channels: rapid.SampledFrom(chips).Draw(t, "chip"),
			Reverse:  rapid.Bool().Draw(t, "reverse"),
			Starts:   rapid.SliceOfN(rapid.IntRange(-5, 400), 0, 4).Draw(t, "starts"),
		}
		at := patterns.Moment{Step: rapid.Int().Draw(t, "step")}
		dirty := make(patterns.Frame, 300)
		for i := range dirty {
			dirty[i] = white
		}
		f, g := p.Frame(dirty, s, at), p.Frame(nil, s, at)
		if len(f) != s.Pixels || cap(f) != cap(dirty) || fmt.Sprint(f) != fmt.Sprint(g) {
			t.Fatalf("%s gave %d pixels for %d, or two different frames", p.ID, len(f), s.Pixels)
		}
		if p.Expect(s, at) == "" {
			t.Fatal("no words")
		}
		k := patterns.StepAt(p, s, at.Step)
		if k < 0 || k >= patterns.Steps(p, s) {
			t.Fatalf("step %d of %d", k, patterns.Steps(p, s))
		}
		if p.Number != nil && s.Pixels > 0 && p.Number(s, patterns.Moment{Step: k}) < 1 {
			t.Fatal("numbers count from 1")
		}
	})
}

func TestList(t *testing.T) {
	ids := map[string]bool{}
	for _, p := range patterns.All() {
		assert.False(t, ids[p.ID], p.ID)
		ids[p.ID] = true
		assert.NotEmpty(t, p.Name, "%s: Name is empty", p.ID)
		assert.True(t, strings.HasSuffix(p.About, "."), "%s: About is %q, want a sentence", p.ID, p.About)
		assert.NotNil(t, p.Expect, "%s: Expect is missing", p.ID)
		assert.NotNil(t, p.Frame, "%s: Frame is missing", p.ID)
		got, ok := patterns.ByID(p.ID)
		assert.True(t, ok)
		assert.Equal(t, p.Name, got.Name)
	}
	_, ok := patterns.ByID("no such pattern")
	assert.False(t, ok)
}

// TestEveryPatternIsListed: a Pattern value that the package declares can be
// chosen, since it stands in the list.
func TestEveryPatternIsListed(t *testing.T) {
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	declared := regexp.MustCompile(`(?m)^\s*(?:var )?[A-Z]\w* += Pattern\{`)
	found := 0
	for _, f := range files {
		text, err := os.ReadFile(f)
		require.NoError(t, err)
		found += len(declared.FindAll(text, -1))
	}
	assert.Len(t, patterns.All(), found, "a pattern is declared that all in list.go lacks")
}

func TestStepAt(t *testing.T) {
	s := patterns.Settings{Pixels: 10}
	for _, r := range []struct {
		p        patterns.Pattern
		in, want int
	}{
		{patterns.Chase, 10, 0}, {patterns.Chase, -1, 9}, {patterns.Chase, 23, 3},
		{patterns.Single, 10, 9}, {patterns.Single, -1, 0}, {patterns.CountUp, 4, 4}, {patterns.Even, 7, 0},
	} {
		assert.Equal(t, r.want, patterns.StepAt(r.p, s, r.in), "%s %d", r.p.ID, r.in)
	}
}

func BenchmarkFrame(b *testing.B) {
	for _, n := range []int{144, 10_000} {
		for _, p := range patterns.All() {
			b.Run(fmt.Sprintf("%s/%d", p.ID, n), func(b *testing.B) {
				s := patterns.Settings{Pixels: n, Channels: grb}
				f := make(patterns.Frame, n)
				b.ReportAllocs()
				for i := 0; b.Loop(); i++ {
					f = p.Frame(f, s, patterns.Moment{Step: i % n})
				}
			})
		}
	}
}
