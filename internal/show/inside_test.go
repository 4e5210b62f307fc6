package show

import (
	"context"
	"math"
	"slices"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol/link"
)

// The first pixel of a span counts as the start of a run, as do the starts of runs
// inside it.
func TestStartsInASpan(t *testing.T) {
	at := []int{0, 4, 7, 10}
	for span, want := range map[Span][]int{{First: 0, Last: 11}: {0, 4, 7, 10}, {First: 4, Last: 10}: {0, 3, 6}, {First: 5, Last: 9}: {0, 2}, {First: 4, Last: 6}: {0}, {First: 3, Last: 4}: {0, 1}, {First: 10, Last: 10}: {0}} {
		assert.Equal(t, want, startsIn(at, span), "%+v", span)
	}
	for _, row := range []struct {
		in   *Span
		want *Span
	}{{nil, nil}, {&Span{First: -3, Last: 2}, &Span{First: 0, Last: 2}}, {&Span{First: 2, Last: 99}, &Span{First: 2, Last: 9}}, {&Span{First: 9, Last: 9}, &Span{First: 9, Last: 9}}, {&Span{First: 10, Last: 12}, nil}, {&Span{First: 5, Last: 4}, nil}, {&Span{First: -2, Last: -1}, nil}} {
		assert.Equal(t, row.want, within(row.in, 10))
	}
	a, b, c := &Span{First: 1, Last: 2}, &Span{First: 1, Last: 2}, &Span{First: 1, Last: 3}
	assert.True(t, sameSpan(nil, nil) && sameSpan(a, b) && sameSpan(a, a))
	assert.False(t, sameSpan(a, nil) || sameSpan(nil, a) || sameSpan(a, c))
	assert.True(t, inSpans([]Span{*a, {First: 5, Last: 5}}, 5))
	assert.False(t, inSpans([]Span{*a}, 0) || inSpans([]Span{*a}, 3) || inSpans(nil, 0))
	p := &prop.Prop{Runs: []prop.Run{{Pixels: 3}, {}, {Pixels: 2}, {Pixels: 1}}}
	assert.Equal(t, []int{0, 3, 5}, starts(p))
}

// The limiter gives the highest level that fits, in thousandths, as a search through
// all of them finds it. A frame that just fits is not dimmed.
func TestHighestLevelByTryingAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := &prop.Prop{Chip: prop.Chip{Order: "GRBW", IdleAmps: 0.001, ChannelAmps: 0.02}, Supply: prop.Supply{Amps: rapid.Float64Range(0.001, 1).Draw(t, "amps")}}
		l, err := newLimiter(p)
		require.NoError(t, err)
		f := make(patterns.Frame, rapid.IntRange(1, 8).Draw(t, "pixels"))
		for i := range f {
			f[i] = patterns.Colour{R: rapid.Uint8().Draw(t, "r"), W: rapid.Uint8().Draw(t, "w"), C: 200}
		}
		level := float64(rapid.IntRange(0, 1000).Draw(t, "level")) / 1000
		h := l.count(f)
		if rapid.Bool().Draw(t, "just fits") {
			l.max = l.amps(&h, len(f), level*float64(rapid.IntRange(0, 10).Draw(t, "tenths"))/10)
		}
		want := level
		if l.amps(&h, len(f), level) > l.max {
			want = 0
			for k := 1; float64(k)/1000 < level; k++ {
				if l.amps(&h, len(f), float64(k)/1000) <= l.max {
					want = float64(k) / 1000
				}
			}
		}
		_, got := l.take(nil, f, level)
		if got.level != want || got.lowered != (want < level || got.amps > l.max) || got.noLight != (got.lowered && want == 0) {
			t.Fatalf("level %g gives %+v, want %g", level, got, want)
		}
		sum := 0.0
		for _, c := range f { // this chip has no cool white
			sum += 0.001 + 0.02*float64(int(patterns.DimValue(c.R, want))+int(patterns.DimValue(c.W, want)))/255
		}
		if math.Abs(sum-got.amps) > 1e-9 {
			t.Fatalf("%g A, want %g", got.amps, sum)
		}
	})
}

// An invalid continuous share of the supply allows no more current than the usual
// share.
func TestSupplyOfTheLimiter(t *testing.T) {
	for share, want := range map[float64]float64{0: 8, 0.5: 5, 1: 10, 3: 10, -1: 8} {
		l, err := newLimiter(&prop.Prop{Chip: prop.Chip{Order: "RGB"}, Supply: prop.Supply{Amps: 10, Continuous: share}})
		require.NoError(t, err)
		assert.InDelta(t, want, l.max, 1e-12, "share %g", share)
	}
	for _, amps := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		_, err := newLimiter(&prop.Prop{Chip: prop.Chip{Order: "RGB"}, Supply: prop.Supply{Amps: amps}})
		assert.Error(t, err)
	}
}

// quiet is an Output with a settable state that counts its calls.
type quiet struct {
	puts, asked int
	waiting     bool
	state       link.State
	paused      []bool
}

func (q *quiet) Put([][]byte)                { q.puts++ }
func (q *quiet) Close(context.Context) error { return nil }
func (q *quiet) Pause(on bool)               { q.paused = append(q.paused, on) }
func (q *quiet) Status() []link.Status {
	q.asked++
	return []link.Status{{Waiting: q.waiting, State: q.state}}
}

func still(t *testing.T, q *quiet, pixels int) *Show {
	t.Helper()
	p := &prop.Prop{Name: "T", Chip: prop.Chip{Order: "RGB", IdleAmps: 0.001, ChannelAmps: 0.02}, Runs: []prop.Run{{Pixels: pixels}}, Supply: prop.Supply{Amps: 100}, Address: prop.Address{Universe: 1}}
	s, err := New(Config{Prop: p, Out: q})
	require.NoError(t, err)
	return s
}

// A snapshot copies a changed frame and reuses an unchanged one. Snapshots come a
// thirtieth of a second after a change at the earliest, else twice a second, and sooner
// while packets have not left.
func TestWhenSnapshotsAreDue(t *testing.T) {
	q := &quiet{state: link.Sending}
	s := still(t, q, 3)
	now := time.Date(2026, 11, 25, 19, 30, 0, 0, time.UTC)
	s.guard = newGuard(3, now)
	s.change(now, Want{Pattern: "even", Level: 1}, true)
	s.draw(now)
	s.publish(now)
	require.Equal(t, 1, q.asked, "the first at once")
	assert.Equal(t, now.Add(linkEvery), s.report.due)
	first := <-s.snaps
	assert.Equal(t, now, first.At)
	step := func(after time.Duration) *Snapshot {
		now = now.Add(after)
		s.draw(now)
		s.publish(now)
		select {
		case x := <-s.snaps:
			return &x
		default:
			return nil
		}
	}
	assert.Nil(t, step(linkEvery-1), "nothing has changed")
	again := step(1)
	require.NotNil(t, again, "the state of the link, all the same")
	assert.Same(t, &first.Sent[0], &again.Sent[0], "an unchanged frame is not copied")
	assert.Same(t, &first.Wanted[0], &again.Wanted[0])
	s.change(now, Want{Pattern: "even", Level: 0.5}, false)
	assert.Nil(t, step(snapEvery-1))
	assert.Equal(t, now.Add(1), s.report.due)
	dimmed := step(1)
	require.NotNil(t, dimmed)
	assert.NotSame(t, &first.Sent[0], &dimmed.Sent[0])
	assert.EqualValues(t, 255, first.Sent[0].R, "what was handed out is never written")
	assert.EqualValues(t, 128, dimmed.Sent[0].R)
	assert.Nil(t, step(linkEvery-1))
	require.NotNil(t, step(1))
	s.change(now, Want{Pattern: "even", Level: 0.5, Serial: 9}, false)
	same := step(snapEvery)
	require.NotNil(t, same, "a new want is told soon, though the light is the same")
	assert.Same(t, &dimmed.Sent[0], &same.Sent[0])
	assert.Equal(t, 9, same.Want.Serial)
	for _, row := range []struct {
		waiting bool
		state   link.State
		due     time.Duration
		still   bool // false when the state of a link has changed
	}{{true, link.Sending, snapEvery, true}, {true, link.Refused, linkEvery, false}, {false, link.Refused, linkEvery, true},
		{false, link.Sending, linkEvery, false}, {false, link.Sending, linkEvery, true}} {
		q.waiting, q.state = row.waiting, row.state
		now = now.Add(time.Second)
		s.publishNow(now)
		assert.Equal(t, now.Add(row.due), s.report.due, "%+v", row)
		assert.Equal(t, row.still, (<-s.snaps).Still, "%+v", row)
	}
}

// A Want with another pattern, serial, part or kind of light restarts the pattern's
// time; another level, colour or speed does not.
func TestWhatBeginsAnew(t *testing.T) {
	frames := func(dst patterns.Frame, n int, _ time.Duration) patterns.Frame { return dst }
	base := Want{Pattern: "chase", Level: 1, Auto: true, Settings: patterns.Settings{Speed: 2}}
	for name, row := range map[string]struct {
		change func(*Want)
		again  bool
	}{
		"level": {func(w *Want) { w.Level = 0.3 }, false}, "speed": {func(w *Want) { w.Settings.Speed = 3 }, false}, "colour": {func(w *Want) { w.Settings.Colour.R = 9 }, false}, "mask": {func(w *Want) { w.Mask = []Span{{First: 0, Last: 1}} }, false},
		"pattern": {func(w *Want) { w.Pattern = "single" }, true}, "serial": {func(w *Want) { w.Serial++ }, true}, "frames": {func(w *Want) { w.Frames = frames }, true},
		"a part": {func(w *Want) { w.Only = &Span{First: 2, Last: 9} }, true}, "nothing": {func(*Want) {}, false}, "ended": {func(w *Want) { w.Ended = true }, false},
	} {
		q := &quiet{}
		s := still(t, q, 20)
		now := time.Date(2026, 11, 25, 19, 30, 0, 0, time.UTC)
		s.change(now, base, true)
		assert.Equal(t, now, s.start)
		later := now.Add(1600 * time.Millisecond) // three steps and a fifth
		w := base
		row.change(&w)
		s.change(later, w, false)
		want := now
		if row.again {
			want = later
		}
		assert.Equal(t, want, s.start, name)
		if w.Frames == nil {
			assert.Equal(t, map[bool]int{false: 3, true: 0}[row.again], s.walk.step(later), name)
		}
		if name == "ended" {
			assert.Equal(t, []bool{true}, q.paused)
			s.change(later, base, false)
			assert.Equal(t, []bool{true, false}, q.paused)
		} else {
			assert.Empty(t, q.paused)
		}
	}
	s := still(t, &quiet{}, 20)
	now := time.Now()
	s.change(now, base, true)
	moved := base
	moved.Step = 7
	s.change(now.Add(time.Second), moved, false)
	assert.Equal(t, 7, s.walk.step(now.Add(time.Second)), "another step is gone to")
	s.change(now.Add(1900*time.Millisecond), Want{Pattern: "chase", Step: 7, Level: 1}, false)
	assert.Equal(t, 8, s.walk.step(now.Add(time.Hour)), "the end of Auto is a pause at the step reached")
}

// The step is computed from the elapsed time, and the next step is due exactly when it
// is reached. A pattern that does not loop has no step after its last.
func TestWalkByTheClock(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		start := time.Date(2026, 11, 25, 19, 30, 0, 0, time.UTC)
		k := walk{from: float64(rapid.IntRange(0, 5).Draw(t, "from")), since: start, speed: rapid.SampledFrom([]float64{0, 0.5, 2, 40}).Draw(t, "speed"), steps: rapid.IntRange(1, 9).Draw(t, "steps"), loops: rapid.Bool().Draw(t, "loops")}
		k.from = min(k.from, float64(k.steps-1))
		now := start.Add(time.Duration(rapid.IntRange(0, 5000).Draw(t, "ms")) * time.Millisecond)
		want := int(math.Floor(k.from + k.speed*now.Sub(start).Seconds() + 1e-6))
		if !k.loops {
			want = min(want, k.steps-1)
		}
		if k.step(now) != want {
			t.Fatalf("at step %d, want %d", k.step(now), want)
		}
		at, ok := k.next(now)
		if ok != (k.speed > 0 && k.steps >= 2 && (k.loops || want < k.steps-1)) {
			t.Fatalf("next %v at step %d of %d", ok, want, k.steps)
		}
		if ok && (at.Before(now) || k.step(at) != want+1 || k.step(at.Add(-time.Millisecond)) != want && at.Add(-time.Millisecond).After(now)) {
			t.Fatalf("the next step is due at %v: step %d there", at.Sub(start), k.step(at))
		}
	})
}

// A frame of the caller that is too short or too long is adjusted to the prop's pixels,
// and a mask leaves light only inside its spans.
func TestFramesAreBroughtToSize(t *testing.T) {
	for n := range 7 {
		s := still(t, &quiet{}, 3)
		give := make(patterns.Frame, n)
		for i := range give {
			give[i] = patterns.Colour{G: byte(i + 1)}
		}
		s.change(time.Now(), Want{Frames: func(patterns.Frame, int, time.Duration) patterns.Frame { return give }, Mask: []Span{{First: 1, Last: 2}}}, true)
		f := s.frame(nil, patterns.Moment{})
		require.Len(t, f, 3)
		for i, c := range f {
			want := byte(0)
			if i >= 1 && i < n {
				want = byte(i + 1)
			}
			assert.Equal(t, want, c.G, "pixel %d of %d", i, n)
		}
		assert.Len(t, give, n)
	}
}

// The frame clock wakes for the next step, for a held frame, for the next of a caller's
// frames, or to report the state of the link.
func TestWhatTheClockWakesFor(t *testing.T) {
	s := still(t, &quiet{}, 20)
	now := time.Date(2026, 11, 25, 19, 30, 0, 0, time.UTC)
	s.change(now, Want{Pattern: "even"}, true)
	s.report.due = now.Add(linkEvery)
	assert.Equal(t, linkEvery, s.deadline(now).Sub(now))
	s.held = now.Add(Period)
	assert.Equal(t, Period, s.deadline(now).Sub(now))
	s.held = time.Time{}
	s.change(now, Want{Pattern: "chase", Auto: true, Settings: patterns.Settings{Speed: 10}}, false)
	assert.InDelta(t, 0.1, s.deadline(now).Sub(now).Seconds(), 1e-6)
	s.change(now, Want{Frames: func(f patterns.Frame, _ int, _ time.Duration) patterns.Frame { return f }}, false)
	for gone, want := range map[time.Duration]time.Duration{0: Period, Period / 4: Period * 3 / 4, Period: Period, 10*Period + 1: Period - 1} {
		s.report.due = now.Add(time.Hour)
		assert.Equal(t, want, s.deadline(now.Add(gone)).Sub(now.Add(gone)), "after %v", gone)
	}
}

// An unchanged frame is not given to the Output again, and the last snapshot is dark
// with the current of dark pixels.
func TestStillAndEnd(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		q := &quiet{}
		s := still(t, q, 5)
		ctx, stop := context.WithCancel(t.Context())
		done := make(chan error, 1)
		s.Set(Want{Pattern: "even", Level: 1})
		go func() { done <- s.Run(ctx) }()
		time.Sleep(3 * time.Second)
		synctest.Wait()
		assert.Equal(t, 1, q.puts)
		stop()
		require.NoError(t, <-done)
		var last Snapshot
		for x := range s.Snapshots() {
			last = x
		}
		assert.InDelta(t, 0.005, last.Amps, 1e-12)
		assert.True(t, allDark(last.Sent) && allDark(last.Wanted))
		assert.Len(t, last.Sent, 5)
		assert.Zero(t, last.Level)
	})
	s := still(t, &quiet{}, 2)
	assert.Equal(t, 2*time.Second, s.closeWithin)
	for range 3 { // no one receives: the newest is kept
		s.Set(Want{Serial: 1})
	}
	s.Set(Want{Serial: 2})
	assert.Equal(t, 1, cap(s.wants), "one has room, or a stale one would be shown first")
	assert.Equal(t, 1, cap(s.snaps))
	assert.Equal(t, 2, (<-s.wants).Serial)
	assert.Equal(t, `pattern "x"`, Want{Pattern: "x"}.name())
	assert.True(t, slices.Equal([]int{0}, startsIn(nil, Span{First: 3, Last: 4})))
}

// The sound and the bad pixel of a Pointing replace the dim light of its run.
func TestPointingByPixels(t *testing.T) {
	p := PlaceLight{Sound: 2, Bad: 3, Run: Span{First: 1, Last: 5}}
	f := p.Frames()(nil, 8, 0)
	dim := patterns.Colour{R: 26, G: 26, B: 26}
	assert.Equal(t, patterns.Frame{{}, dim, {G: 255}, {R: 255}, dim, dim, {}, {}}, f)
	p = PlaceLight{Sound: -1, Bad: 0, Run: Span{First: 0, Last: -1}, Dim: 1, Red: patterns.Colour{B: 7}}
	assert.Equal(t, patterns.Frame{{B: 7}, {}}, p.Frames()(nil, 2, 0))
	p = PlaceLight{Sound: 0, Bad: -1, Run: Span{First: 0, Last: 1}, Dim: 1, Green: patterns.Colour{W: 7}}
	assert.Equal(t, patterns.Frame{{W: 7}, {R: 1, G: 1, B: 1}}, p.Frames()(nil, 2, 0))
}
