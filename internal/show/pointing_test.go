package show_test

import (
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/show"
	"example.org/ringout/patterns"
)

// By hand, at full level, wire order GRB: dim 26, green at the last sound pixel, red at the
// first bad one, dark outside the run.
func TestPointingAtAPlace(t *testing.T) {
	inBubble(t, show.Config{Prop: strip(6)}, func(b *bench) {
		at := show.PlaceLight{Sound: 2, Bad: 3, Run: show.Span{First: 1, Last: 4}}
		b.Set(show.Want{Frames: at.Frames(), Level: 1, Serial: 1})
		synctest.Wait()
		assert.Equal(t, []byte{0, 0, 0, 26, 26, 26, 255, 0, 0, 0, 255, 0, 26, 26, 26, 0, 0, 0}, b.out.last())

		at = show.PlaceLight{Sound: -1, Bad: 5, Run: show.Span{Last: -1}, Dim: 1, Red: patterns.Colour{G: 255}}
		b.Set(show.Want{Frames: at.Frames(), Level: 1, Serial: 2})
		synctest.Wait()
		assert.Equal(t, []byte{0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 255, 0, 0}, b.out.last())
	})
}

// A held key walks the place along the prop; two pixels of 48 are no large area
// (WCAG 2.3.1), and the current stays under the limit.
func TestPointingWalksWithinTheRules(t *testing.T) {
	p := strip(48)
	p.Supply.Amps = 0.4 // 0.32 A after the usual share
	inBubble(t, show.Config{Prop: p}, func(b *bench) {
		for i := range 46 {
			at := show.PlaceLight{Sound: i, Bad: i + 1, Run: show.Span{First: 0, Last: 47}}
			b.Set(show.Want{Frames: at.Frames(), Level: 1, Serial: i + 1})
			time.Sleep(33 * time.Millisecond)
			synctest.Wait()
		}
		time.Sleep(time.Second)
		synctest.Wait()
		s := b.snap()
		assert.True(t, s.Limited)
		assert.LessOrEqual(t, s.Amps, s.MaxAmps)
		assert.Equal(t, []byte{1, 0, 0, 0, 1, 0}, lit(b.out.last()[45*3:47*3]))
	})
}

// lit is 1 for each slot that is lit brightly.
func lit(slots []byte) []byte {
	out := make([]byte, len(slots))
	for i, v := range slots {
		if v > 100 {
			out[i] = 1
		}
	}
	return out
}
