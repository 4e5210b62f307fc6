package show

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"time"

	"example.org/ringout/internal/latest"
	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// Config is the configuration of a show.
type Config struct {
	Prop        *prop.Prop // must not change while the show runs
	Out         Output
	Begin       Want             // shown from the start; zero is black
	Now         func() time.Time // the clock; nil is time.Now
	CloseWithin time.Duration    // how long Close may take at the end; 0 is two seconds
}

// A Show is the frame clock of one prop.
type Show struct {
	out         Output
	now         func() time.Time
	closeWithin time.Duration
	wants       latest.Value[Want]
	snaps       latest.Value[Snapshot]

	// The rest belongs to the goroutine of Run.
	patch   *prop.Patch
	slots   [][]byte
	fixed   patterns.Settings // Pixels, Channels, Starts
	empty   []Span            // pixels no pattern lights: those of empty parts
	limiter limiter
	guard   guard
	want    Want
	pattern patterns.Pattern
	walk    walk
	start   time.Time // of the pattern's time
	drawn   frameState
	next    frameState // being made
	held    time.Time  // when to try a held frame again; zero when none is
	fresh   bool       // a Want came in since the last snapshot
	redraw  bool       // a Want came in since the last frame
	report  report
}

// New makes a show that Run starts. It refuses a prop that cannot be laid out
// or whose supply is not known.
func New(c Config) (*Show, error) {
	patch, err := prop.PatchFor(c.Prop)
	if err != nil {
		return nil, err
	}
	lim, err := newLimiter(c.Prop)
	if err != nil {
		return nil, err
	}
	s := &Show{out: c.Out, now: c.Now, closeWithin: c.CloseWithin, patch: patch, slots: patch.Buffers(), limiter: lim,
		wants: latest.New[Want](), snaps: latest.New[Snapshot](),
		fixed: patterns.Settings{Pixels: patch.Pixels(), Channels: c.Prop.Chip.Order.Channels(), Starts: starts(c.Prop)}}
	if s.now == nil {
		s.now = time.Now
	}
	if s.closeWithin == 0 {
		s.closeWithin = 2 * time.Second
	}
	for _, part := range c.Prop.Parts {
		if part.Empty {
			s.empty = append(s.empty, Span{First: part.First, Last: part.Last})
		}
	}
	s.Set(c.Begin)
	return s, nil
}

// starts is the first pixel of each run that has pixels.
func starts(p *prop.Prop) []int {
	var at []int
	first := p.Starts()
	for i, r := range p.Runs {
		if r.Pixels > 0 {
			at = append(at, first[i])
		}
	}
	return at
}

// Set sets what to show from now on. It never blocks and may be called from any
// goroutine, before Run and after it has ended. It yields the processor, so that the
// show can send the frame before the caller goes on, for example with drawing its
// screen.
func (s *Show) Set(w Want) {
	s.wants.Put(w)
	runtime.Gosched()
}

// Snapshots delivers the newest snapshot only. It is closed when Run ends; the
// last snapshot is dark.
func (s *Show) Snapshots() <-chan Snapshot { return s.snaps }

// Run shows until ctx ends, then closes the output, which sends black and the
// end of the stream, and waits for that. It is called once. The error reports a
// pattern that panicked or an output that did not close.
func (s *Show) Run(ctx context.Context) (err error) {
	timer := newAlarm()
	defer timer.Stop()
	defer close(s.snaps)
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%s broke down (%v); the strip was turned off: start again with another", s.want.name(), r)
		}
		err = errors.Join(err, s.end(ctx))
	}()
	s.loop(ctx, timer)
	return nil
}

func (s *Show) loop(ctx context.Context, timer alarm) {
	now := s.now()
	s.guard = newGuard(s.fixed.Pixels, now)
	s.change(now, <-s.wants, true)
	for {
		s.draw(now)
		s.publish(now)
		timer.set(s.deadline(now))
		select {
		case <-ctx.Done():
			return
		case w := <-s.wants:
			now = s.now()
			s.change(now, w, false)
		case <-timer.C:
			now = s.now()
		}
	}
}

// change applies a Want.
func (s *Show) change(now time.Time, w Want, first bool) {
	old := s.want
	swap := first || w.Pattern != old.Pattern || w.Serial != old.Serial || (w.Frames == nil) != (old.Frames == nil) || !sameSpan(w.Only, old.Only)
	w.Only = within(w.Only, s.fixed.Pixels)
	w.Settings.Pixels, w.Settings.Channels, w.Settings.Starts = s.fixed.Pixels, s.fixed.Channels, s.fixed.Starts
	if w.Only != nil {
		w.Settings.Pixels, w.Settings.Starts = w.Only.Last-w.Only.First+1, startsIn(s.fixed.Starts, *w.Only)
	}
	s.want, s.fresh, s.redraw = w, true, true
	if out, can := s.out.(Pauser); can && w.Ended != old.Ended {
		out.Pause(w.Ended)
	}
	p, ok := patterns.ByID(w.Pattern)
	if !ok {
		p = patterns.Black
	}
	s.pattern = p
	s.walk.change(now, p, w.Settings, w, swap || w.Step != old.Step)
	if swap {
		s.start = now
	}
}

// deadline is the time of the next thing to do.
func (s *Show) deadline(now time.Time) time.Time {
	d := s.report.due
	sooner := func(t time.Time) {
		if t.Before(d) {
			d = t
		}
	}
	if s.want.Frames != nil {
		gone := now.Sub(s.start)
		sooner(s.start.Add(gone - gone%Period + Period))
	} else if t, ok := s.walk.next(now); ok {
		if s.report.stale && t.Before(d.Add(snapEvery/2)) {
			d = t // a fast walk wakes the show for its steps only
		}
		sooner(t)
	}
	if !s.held.IsZero() {
		sooner(s.held)
	}
	return d
}

// end closes the output and hands out a last, dark snapshot.
func (s *Show) end(ctx context.Context) error {
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), s.closeWithin)
	defer cancel()
	err := s.out.Close(ctx)
	s.want = Want{}
	s.drawn = frameState{wanted: make(patterns.Frame, s.fixed.Pixels), sent: make(patterns.Frame, s.fixed.Pixels), made: true,
		dimming: dimming{amps: s.limiter.idle * float64(s.fixed.Pixels)}}
	s.held, s.report.wanted, s.report.sent = time.Time{}, nil, nil
	s.publishNow(s.now())
	return err
}

// name names the pattern or probe, for an error.
func (w Want) name() string {
	if w.Frames != nil {
		return "the probe shown"
	}
	return fmt.Sprintf("pattern %q", w.Pattern)
}

// within clips a span to the prop's pixels; it returns nil if none is left.
func within(o *Span, pixels int) *Span {
	if o == nil {
		return nil
	}
	in := Span{First: max(o.First, 0), Last: min(o.Last, pixels-1)}
	if in.First > in.Last {
		return nil
	}
	return &in
}

func sameSpan(a, b *Span) bool { return a == b || a != nil && b != nil && *a == *b }

// startsIn lists the first pixels of the runs inside a span, counted from the span's
// own first pixel, which always counts as a start.
func startsIn(starts []int, o Span) []int {
	out := []int{0}
	for _, at := range starts {
		if at > o.First && at <= o.Last {
			out = append(out, at-o.First)
		}
	}
	return out
}

// inSpans reports whether pixel i is in one of the spans.
func inSpans(m []Span, i int) bool {
	return slices.ContainsFunc(m, func(s Span) bool { return s.First <= i && i <= s.Last })
}
