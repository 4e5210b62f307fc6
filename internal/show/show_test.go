package show_test

import (
	"errors"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/show"
	"example.org/ringout/patterns"
)

var (
	red   = patterns.Colour{R: 255}
	white = patterns.Colour{R: 255, G: 255, B: 255}
)

func TestBeginsDark(t *testing.T) {
	inBubble(t, show.Config{Prop: strip(2)}, func(b *bench) {
		assert.Equal(t, make([]byte, 6), b.out.last())
		assert.Len(t, b.out.all(), 1)
	})
}

// A Want is sent when it is set, not at the next tick.
func TestSetGoesOutAtOnce(t *testing.T) {
	inBubble(t, show.Config{Prop: strip(3)}, func(b *bench) {
		time.Sleep(777 * time.Millisecond)
		b.Set(show.Want{Pattern: "single", Step: 1, Level: patterns.StartLevel})
		synctest.Wait()
		puts := b.out.all()
		require.Len(t, puts, 2)
		assert.Equal(t, 777*time.Millisecond, puts[1].at)
		// 20 % of 255 is 51.
		assert.Equal(t, []byte{0, 0, 0, 51, 51, 51, 0, 0, 0}, puts[1].slots[0])
	})
}

// An unchanged frame is given to the Output once; the sender repeats it.
func TestStillFramesAreNotSentAgain(t *testing.T) {
	inBubble(t, show.Config{Prop: strip(8), Begin: show.Want{Pattern: "even", Level: 0.1}}, func(b *bench) {
		time.Sleep(time.Minute)
		b.Set(show.Want{Pattern: "even", Level: 0.1})
		synctest.Wait()
		assert.Len(t, b.out.all(), 1)
	})
}

// In ten seconds of Auto every step comes once, at its time.
func TestAutoWalksOnTime(t *testing.T) {
	w := show.Want{Pattern: "chase", Auto: true, Level: 1, Settings: patterns.Settings{Speed: 40}}
	inBubble(t, show.Config{Prop: strip(60), Begin: w}, func(b *bench) {
		time.Sleep(10 * time.Second)
		synctest.Wait()
		puts := b.out.all()
		require.Len(t, puts, 401)
		for k, p := range puts {
			assert.InDelta(t, k*25_000_000, int(p.at), 2000, "step %d", k) // ns
			assert.EqualValues(t, 255, p.slots[0][k%60*3], "step %d", k)
		}
	})
}

func TestSpeedIsKeptUnderThePatternsLimit(t *testing.T) {
	w := show.Want{Pattern: "chase", Auto: true, Level: 1, Settings: patterns.Settings{Speed: 40}}
	inBubble(t, show.Config{Prop: strip(5), Begin: w}, func(b *bench) {
		time.Sleep(10 * time.Second)
		synctest.Wait()
		assert.Len(t, b.out.all(), 101, "ten steps a second: each pixel twice")
		assert.Equal(t, 10.0, b.snap().Speed)
	})
}

// The guard holds no frame of any pattern at full speed, on short and long strips.
func TestWalksAreNeverHeld(t *testing.T) {
	for _, n := range []int{1, 2, 4, 5, 6, 9, 20, 21, 144} {
		for _, p := range patterns.All() {
			w := show.Want{Pattern: p.ID, Auto: true, Level: 1, Settings: patterns.Settings{Speed: 1000}}
			inBubble(t, show.Config{Prop: strip(n), Begin: w}, func(b *bench) {
				time.Sleep(5 * time.Second)
				if s := b.snap(); s.Holds > 0 {
					t.Fatalf("%s on %d pixels was held %d times", p.ID, n, s.Holds)
				}
			})
		}
	}
}

func TestStepsAndWhatMovesThem(t *testing.T) {
	speed := patterns.Settings{Speed: 10}
	chase := func(step, serial int, auto bool, level float64) show.Want {
		return show.Want{Pattern: "chase", Step: step, Serial: serial, Auto: auto, Level: level, Settings: speed}
	}
	inBubble(t, show.Config{Prop: strip(100), Begin: chase(3, 0, true, 1)}, func(b *bench) {
		lit := func() int {
			synctest.Wait()
			for i, v := range b.out.last() {
				if v > 0 {
					return i / 3
				}
			}
			return -1
		}
		assert.Equal(t, 3, lit())
		time.Sleep(1050 * time.Millisecond)
		assert.Equal(t, 13, lit(), "ten steps a second")
		b.Set(chase(3, 0, true, 0.5))
		assert.Equal(t, 13, lit(), "a new level does not jump")
		time.Sleep(50 * time.Millisecond)
		assert.Equal(t, 14, lit(), "and keeps the beat")
		b.Set(chase(3, 0, false, 0.5))
		time.Sleep(time.Second)
		assert.Equal(t, 14, lit(), "a pause holds the step reached")
		b.Set(chase(15, 0, false, 0.5))
		assert.Equal(t, 15, lit(), "a step by hand")
		b.Set(chase(15, 0, true, 0.5))
		time.Sleep(99 * time.Millisecond)
		assert.Equal(t, 15, lit(), "going on takes a whole step")
		time.Sleep(2 * time.Millisecond)
		assert.Equal(t, 16, lit())
		b.Set(chase(15, 1, true, 0.5))
		assert.Equal(t, 15, lit(), "a new serial makes the same step count")
		fast := chase(15, 1, true, 0.5)
		fast.Settings.Speed = 40
		time.Sleep(150 * time.Millisecond)
		assert.Equal(t, 16, lit())
		b.Set(fast) // half way to the next, which is now 12.5 ms off
		time.Sleep(13 * time.Millisecond)
		assert.Equal(t, 17, lit(), "a new speed goes on from the place reached")
		back := chase(-1, 1, false, 0.5)
		b.Set(back)
		assert.Equal(t, 99, lit(), "one before the first is the last")
	})
}

func TestCountUpHoldsAtTheEnd(t *testing.T) {
	w := show.Want{Pattern: "count-up", Auto: true, Level: 1, Settings: patterns.Settings{Speed: 20}}
	inBubble(t, show.Config{Prop: strip(10), Begin: w}, func(b *bench) {
		time.Sleep(time.Minute)
		synctest.Wait()
		assert.Len(t, b.out.all(), 10)
		assert.Equal(t, 9, b.snap().Moment.Step)
	})
}

func TestSnapshot(t *testing.T) {
	p := strip(3)
	p.Supply.Amps = 0.1 // 0.08 A after the factor
	w := show.Want{Pattern: "even", Level: 1}
	inBubble(t, show.Config{Prop: p, Begin: w}, func(b *bench) {
		s := b.snap()
		assert.Equal(t, "even", s.Want.Pattern)
		assert.Equal(t, patterns.Frame{white, white, white}, s.Wanted)
		// By hand: 3 mA idle leave 77 mA; 9 channels of 20 mA at v/255 give v <= 109.
		// 0.427 * 255 = 108.9 -> 109, and 0.43 * 255 = 109.65 -> 110 is too much.
		assert.Equal(t, patterns.Colour{R: 109, G: 109, B: 109}, s.Sent[0])
		assert.InDelta(t, 0.08, s.MaxAmps, 1e-12)
		assert.InDelta(t, 0.003+9*0.02*109/255, s.Amps, 1e-12)
		assert.True(t, s.Limited)
		assert.Len(t, s.Links, 1)
		kept := s.Sent
		b.Set(show.Want{Pattern: "even", Level: 0.03})
		s = b.snap()
		assert.False(t, s.Limited)
		assert.EqualValues(t, 8, s.Sent[0].R)
		assert.EqualValues(t, 109, kept[0].R, "a snapshot is never written again")
	})
}

// Snapshots come at most 30 times a second while frames change, and twice a second
// otherwise.
func TestSnapshotRate(t *testing.T) {
	count := func(w show.Want) (n int) {
		inBubble(t, show.Config{Prop: strip(144), Begin: w}, func(b *bench) {
			end := time.After(10 * time.Second)
			for {
				select {
				case <-b.Snapshots():
					n++
				case <-end:
					return
				}
			}
		})
		return n
	}
	assert.InDelta(t, 21, count(show.Want{Pattern: "even", Level: 1}), 1)
	moving := count(show.Want{Pattern: "chase", Auto: true, Level: 1, Settings: patterns.Settings{Speed: 40}})
	assert.LessOrEqual(t, moving, 302)
	assert.Greater(t, moving, 150)
}

// A held key must not make a strip of one pixel flash (WCAG 2.3.1).
func TestGuardHoldsWhatWouldFlash(t *testing.T) {
	inBubble(t, show.Config{Prop: strip(1)}, func(b *bench) {
		on, off := show.Want{Pattern: "even", Level: 1}, show.Want{Pattern: "black"}
		for range 60 { // 30 a second for two seconds
			b.Set(on)
			time.Sleep(17 * time.Millisecond)
			b.Set(off)
			time.Sleep(16 * time.Millisecond)
		}
		b.Set(on)
		time.Sleep(time.Second)
		synctest.Wait()
		puts := b.out.all()
		assert.Greater(t, len(puts), 6)
		assert.EqualValues(t, 255, b.out.last()[0], "the newest goes out in the end")
		s := b.snap()
		assert.False(t, s.Held)
		assert.Positive(t, s.Holds)
		for i, p := range puts { // no more than seven changes in any second
			last := i
			for last+1 < len(puts) && puts[last+1].at-p.at <= time.Second {
				last++
			}
			if last-i+1 > 7 {
				t.Fatalf("%d changes in the second from %v on", last-i+1, p.at)
			}
		}
	})
}

func TestBlackIsNeverHeld(t *testing.T) {
	inBubble(t, show.Config{Prop: strip(1)}, func(b *bench) {
		for range 20 {
			b.Set(show.Want{Pattern: "even", Level: 1})
			synctest.Wait()
			b.Set(show.Want{})
			synctest.Wait()
			assert.Equal(t, []byte{0, 0, 0}, b.out.last())
			time.Sleep(10 * time.Millisecond)
		}
	})
}

func TestEnd(t *testing.T) {
	inBubble(t, show.Config{Prop: strip(2), Begin: show.Want{Pattern: "even", Level: 1}}, func(b *bench) {
		<-b.Snapshots()
		b.stop()
		synctest.Wait()
		require.NoError(t, <-b.done)
		assert.Equal(t, 1, b.out.closed)
		last := <-b.Snapshots()
		assert.Equal(t, make(patterns.Frame, 2), last.Sent)
		assert.InDelta(t, 0.002, last.Amps, 1e-12, "idle pixels draw on")
		_, open := <-b.Snapshots()
		assert.False(t, open)
		b.Set(show.Want{Pattern: "even"}) // too late, but never in the way
		b.Set(show.Want{})
	})
}

func TestBrokenPatternClosesTheOutput(t *testing.T) {
	inBubble(t, show.Config{Prop: strip(2)}, func(b *bench) {
		b.Set(show.Want{Level: 1, Frames: func(patterns.Frame, int, time.Duration) patterns.Frame { panic("no such pixel") }})
		synctest.Wait()
		err := <-b.done
		require.ErrorContains(t, err, "no such pixel")
		assert.Equal(t, 1, b.out.closed)
	})
}

func TestOutputThatDoesNotClose(t *testing.T) {
	inBubble(t, show.Config{Prop: strip(2)}, func(b *bench) {
		b.out.hang = true
		b.stop()
		time.Sleep(3 * time.Second)
		require.Error(t, <-b.done)
	})
	inBubble(t, show.Config{Prop: strip(2)}, func(b *bench) {
		b.out.fail = errors.New("the network is down")
		b.stop()
		synctest.Wait()
		require.ErrorIs(t, <-b.done, b.out.fail)
	})
}
