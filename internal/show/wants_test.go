package show_test

import (
	"math"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/patterns"
)

func TestMaskAndFrames(t *testing.T) {
	inBubble(t, show.Config{Prop: strip(4)}, func(b *bench) {
		b.Set(show.Want{Pattern: "even", Level: 1, Mask: []show.Span{{First: 1, Last: 1}, {First: 3, Last: 9}}})
		synctest.Wait()
		assert.Equal(t, []byte{0, 0, 0, 255, 255, 255, 0, 0, 0, 255, 255, 255}, b.out.last())

		// A probe of its own that changes each 100 ms, one pixel short, then too long.
		own := func(dst patterns.Frame, n int, at time.Duration) patterns.Frame {
			dst = append(dst, patterns.Colour{B: uint8(at / (100 * time.Millisecond))})
			if at > 250*time.Millisecond {
				dst = append(dst, red, red, red, red, red, red)
			}
			return dst
		}
		b.Set(show.Want{Pattern: "even", Level: 1, Frames: own, Serial: 1})
		synctest.Wait()
		assert.Equal(t, make([]byte, 12), b.out.last())
		before := len(b.out.all())
		time.Sleep(240 * time.Millisecond)
		assert.Equal(t, []byte{0, 0, 2, 0, 0, 0, 0, 0, 0, 0, 0, 0}, b.out.last())
		assert.Equal(t, before+2, len(b.out.all()), "only changes go out")
		time.Sleep(40 * time.Millisecond)
		assert.Equal(t, []byte{0, 0, 2, 0, 255, 0, 0, 255, 0, 0, 255, 0}, b.out.last())
	})
}

// The show does not write to a frame that a FrameFunc returns.
func TestFramesOfOthersStayTheirs(t *testing.T) {
	theirs := patterns.Frame{red, red}
	inBubble(t, show.Config{Prop: strip(2)}, func(b *bench) {
		give := func(patterns.Frame, int, time.Duration) patterns.Frame { return theirs }
		b.Set(show.Want{Level: 1, Frames: give, Mask: []show.Span{{First: 0, Last: 0}}})
		synctest.Wait()
		b.Set(show.Want{Pattern: "even", Level: 1})
		synctest.Wait()
		time.Sleep(time.Second)
		b.Set(show.Want{})
		synctest.Wait()
	})
	assert.Equal(t, patterns.Frame{red, red}, theirs)
}

func TestNewRefuses(t *testing.T) {
	for name, change := range map[string]func(*prop.Prop){
		"no pixels":        func(p *prop.Prop) { p.Runs = nil },
		"no universe":      func(p *prop.Prop) { p.Address.Universe = 0 },
		"unknown supply":   func(p *prop.Prop) { p.Supply.Amps = 0 },
		"supply not a sum": func(p *prop.Prop) { p.Supply.Amps = math.NaN() },
		"endless supply":   func(p *prop.Prop) { p.Supply.Amps = math.Inf(1) },
	} {
		p := strip(3)
		change(p)
		_, err := show.New(show.Config{Prop: p, Out: newFake()})
		assert.Error(t, err, name)
	}
}

func TestOddWants(t *testing.T) {
	inBubble(t, show.Config{Prop: strip(2)}, func(b *bench) {
		for _, w := range []show.Want{
			{Pattern: "no such", Level: 1}, {Pattern: "even", Level: math.NaN()}, {Pattern: "even", Level: -3},
			{Pattern: "chase", Level: 0}, {Pattern: "even", Level: 1, Mask: []show.Span{{First: 5, Last: 2}}},
		} {
			b.Set(w)
			synctest.Wait()
			assert.Equal(t, make([]byte, 6), b.out.last(), "%+v", w)
		}
		b.Set(show.Want{Pattern: "even", Level: math.Inf(1)})
		synctest.Wait()
		assert.EqualValues(t, 255, b.out.last()[0])
		for _, v := range []float64{math.NaN(), math.Inf(1), -1} {
			b.Set(show.Want{Pattern: "chase", Level: 1, Auto: true, Step: math.MinInt, Settings: patterns.Settings{Speed: v}})
			time.Sleep(time.Second)
		}
	})
}

// Empty parts stay dark in patterns. A probe may light them, since it sets every pixel
// itself.
func TestEmptyPartsStayDark(t *testing.T) {
	p := strip(4)
	p.Parts = []prop.Part{{Name: "gap", First: 1, Last: 2, Empty: true}, {Name: "all", First: 0, Last: 3}}
	inBubble(t, show.Config{Prop: p, Begin: show.Want{Pattern: "even", Level: 1}}, func(b *bench) {
		assert.Equal(t, []byte{255, 255, 255, 0, 0, 0, 0, 0, 0, 255, 255, 255}, b.out.last())
		b.Set(show.Want{Level: 1, Serial: 1, Frames: func(dst patterns.Frame, n int, _ time.Duration) patterns.Frame {
			return append(dst, red, red, red, red)
		}})
		synctest.Wait()
		assert.Equal(t, []byte{0, 255, 0, 0, 255, 0, 0, 255, 0, 0, 255, 0}, b.out.last())
	})
}

// The power plan of a prop with an empty part has the same current as the limiter
// counts when a pattern lights the rest.
func TestThePlanAndThePatternsAgreeOnEmptyParts(t *testing.T) {
	p := prop.Porthole()
	p.Parts = []prop.Part{{Name: "hole", First: 36, Last: 83, Empty: true}}
	r, err := power.Plan(p, 1, patterns.Colour{R: 255, G: 255, B: 255})
	require.NoError(t, err)
	inBubble(t, show.Config{Prop: p, Begin: show.Want{Pattern: "even", Level: 1}}, func(b *bench) {
		s := b.snap()
		assert.False(t, s.Limited)
		assert.InDelta(t, r.Amps, s.Amps, 1e-9)
		assert.InDelta(t, r.Supply.Limit, s.MaxAmps, 1e-9)
		for i, c := range s.Sent {
			assert.Equal(t, i >= 36 && i <= 83, c.Dark(), "pixel %d", i)
		}
	})
}

// With Only, the pattern counts inside the part, and all other pixels are dark.
func TestOnlyAPart(t *testing.T) {
	w := show.Want{Pattern: "single", Step: 1, Level: 1, Settings: patterns.Settings{Colour: red}, Only: &show.Span{First: 2, Last: 4}}
	inBubble(t, show.Config{Prop: strip(6), Begin: w}, func(b *bench) {
		dark := make([]byte, 18)
		at := func(pixel int) []byte { // GRB: red is the second slot
			s := append([]byte(nil), dark...)
			s[3*pixel+1] = 255
			return s
		}
		assert.Equal(t, at(3), b.out.last(), "step 2 of the part is pixel 4 of the prop")
		w.Step = 99
		b.Set(w)
		synctest.Wait()
		assert.Equal(t, at(4), b.out.last(), "it holds at the part's own end")
		w.Settings.Reverse, w.Step, w.Serial = true, 0, 1
		b.Set(w)
		synctest.Wait()
		assert.Equal(t, at(4), b.out.last())
		w = show.Want{Pattern: "single", Level: 1, Settings: patterns.Settings{Colour: red}, Only: &show.Span{First: 4, Last: 99}}
		b.Set(w)
		time.Sleep(time.Second)
		synctest.Wait()
		assert.Equal(t, at(4), b.out.last(), "a span is brought into the prop")
		w.Only = &show.Span{First: 9, Last: 12}
		b.Set(w)
		time.Sleep(time.Second)
		synctest.Wait()
		assert.Equal(t, at(0), b.out.last(), "one outside it is none")
	})
}
