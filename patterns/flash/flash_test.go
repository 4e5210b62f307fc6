package flash_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"example.org/ringout/patterns"
	"example.org/ringout/patterns/flash"
)

var white = patterns.Colour{R: 255, G: 255, B: 255}

// blink is n pixels of which the first on change between a and b, hz flashes
// a second, as a square wave that is looked at for three seconds.
func blink(n, on int, a, b patterns.Colour, hz float64) (worst flash.Reading, fast bool) {
	m := flash.NewMeter(n, flash.Changes)
	f := make(patterns.Frame, n)
	for i := 0; ; i++ {
		t := time.Duration(float64(i) / (2 * hz) * float64(time.Second))
		if t > 3*time.Second {
			return worst, fast
		}
		for k := range on {
			f[k] = a
			if i%2 == 1 {
				f[k] = b
			}
		}
		r := m.Add(f, t)
		worst.Pixels, worst.Areas = max(worst.Pixels, r.Pixels), max(worst.Areas, r.Areas)
		fast = fast || r.TooFast()
	}
}

func TestThresholds(t *testing.T) {
	dark := patterns.Colour{}
	grey := func(v uint8) patterns.Colour { return patterns.Colour{R: v, G: v, B: v} }
	const rule = "WCAG 2.3.1, W3C definition of general flash and red flash thresholds"
	rows := []struct {
		name, source string
		pixels, on   int
		a, b         patterns.Colour
		hz           float64
		fast         bool
	}{
		{"just under three a second", rule, 10, 10, white, dark, 2.9, false},
		{"just over three a second", rule, 10, 10, white, dark, 3.1, true},
		{"in the worst band", "Epilepsy Society: 3 to 30 Hz", 10, 10, white, dark, 15, true},
		{"a tenth of full luminance", rule + ": 10 % or more", 10, 10, grey(26), dark, 10, true},
		{"an eighth between two bright states, which may be dimmed", rule + ", stricter: level comes later", 10, 10, grey(220), white, 10, true},
		{"4 % of full luminance", rule + ": under 10 %; ours under 5 %", 10, 10, grey(10), dark, 10, false},
		{"under a quarter of the view", rule + ": 25 % of any ten degrees", 100, 24, white, dark, 10, false},
		{"a quarter of the view", rule + ": 25 % of any ten degrees", 100, 25, white, dark, 10, true},
		{"one pixel is the whole view", rule, 1, 1, white, dark, 10, true},
		// 0.2126*50/255 = 0.042 is no general change; R-G-B is 0.196, times 320 is 63 > 20.
		{"saturated red too dim to count as light", rule + ": red, change of (R-G-B)*320 over 20", 8, 8, patterns.Colour{R: 50}, dark, 10, true},
		// Hand: R/(R+G+B) = 50/70 = 0.71 < 0.8; L = (0.2126*50+0.7152*10+0.0722*10)/255 = 0.073 - counts as light for us.
		// With 40, 10, 0: 0.80 is saturated, R-G-B = 30/255*320 = 37.6.
		{"just saturated", rule + ": R/(R+G+B) >= 0.8", 8, 8, patterns.Colour{R: 40, G: 10}, dark, 10, true},
		// 15/255*320 = 18.8: not over 20. L = 0.0125.
		{"red change too small", rule + ": not over 20", 8, 8, patterns.Colour{R: 15}, dark, 10, false},
		{"full blue, 0.07 of full luminance", "stricter than WCAG, see the package comment", 8, 8, patterns.Colour{B: 255}, dark, 10, true},
		{"the white channel alone", "it is light like any other", 8, 8, patterns.Colour{W: 255}, dark, 10, true},
		{"no change at all", rule, 8, 8, white, white, 40, false},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			got, fast := blink(r.pixels, r.on, r.a, r.b, r.hz)
			assert.Equal(t, r.fast, fast, "%s: %+v", r.source, got)
		})
	}
}

func TestLuminance(t *testing.T) {
	rows := []struct {
		c      patterns.Colour
		want   float64
		source string
	}{
		{patterns.Colour{R: 255}, 0.2126, "WCAG relative luminance, Rec. 709 weights"},
		{patterns.Colour{G: 255}, 0.7152, "WCAG relative luminance, Rec. 709 weights"},
		{patterns.Colour{B: 255}, 0.0722, "WCAG relative luminance, Rec. 709 weights"},
		{white, 1, "WCAG relative luminance: lightest white is 1"},
		{patterns.Colour{R: 51, G: 51, B: 51}, 0.2, "pulse width is linear: 51/255"},
	}
	for _, r := range rows {
		assert.InDelta(t, r.want, flash.Luminance(r.c), 1e-9, r.source)
	}
}

// Two halves of a strip that take turns flash the view even when each half
// keeps to the rule.
func TestAreasThatTakeTurns(t *testing.T) {
	m := flash.NewMeter(8, flash.Changes)
	fast := false
	for i := range 40 {
		f := make(patterns.Frame, 8)
		for k := range 2 { // a different quarter each time, each comes every 4th
			f[i%4*2+k] = white
		}
		fast = fast || m.Add(f, time.Duration(i)*100*time.Millisecond).TooFast()
	}
	assert.True(t, fast, "ten large areas a second came and went")
}

// A slow fade there and back is no flash, however finely it is cut.
func TestFade(t *testing.T) {
	m := flash.NewMeter(4, flash.Changes)
	for ms := 0; ms < 4000; ms += 22 {
		v := uint8(127 - 127*math.Cos(2*math.Pi*float64(ms)/1000)) // one a second
		f := patterns.Frame{{R: v, G: v, B: v}, {R: v, G: v, B: v}, {R: v, G: v, B: v}, {R: v, G: v, B: v}}
		assert.False(t, m.Add(f, time.Duration(ms)*time.Millisecond).TooFast())
	}
}

// Peek foretells what Add says and leaves no trace.
func TestPeek(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 6).Draw(t, "pixels")
		a, b := flash.NewMeter(n, flash.Changes), flash.NewMeter(n, flash.Changes)
		at := time.Duration(0)
		for range 60 {
			at += time.Duration(rapid.IntRange(0, 200).Draw(t, "ms")) * time.Millisecond
			f := make(patterns.Frame, n)
			for i := range f {
				f[i] = patterns.Colour{R: 255 * rapid.Uint8Range(0, 1).Draw(t, "r"), G: rapid.Uint8().Draw(t, "g")}
			}
			peeked := a.Peek(f, at)
			if a.Add(f, at) != peeked || b.Add(f, at) != peeked {
				t.Fatal("a Peek did not tell what Add says, or changed the meter")
			}
		}
	})
}

func BenchmarkAdd10000(b *testing.B) {
	m := flash.NewMeter(10_000, flash.Changes)
	f, g := make(patterns.Frame, 10_000), make(patterns.Frame, 10_000)
	for i := range f {
		f[i] = white
	}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		f, g = g, f
		m.Peek(f, time.Duration(i)*time.Second)
		m.Add(f, time.Duration(i)*time.Second)
	}
}
