package camera

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/parallel"
)

const (
	lateWait    = 4 * time.Second // for a delayed stream
	mostAverage = 5               // most pictures averaged per look
)

// A Take holds the picture of each look of a sequence.
type Take struct {
	Pictures  []eyes.Picture
	Clips     []eyes.Clip // the small frames behind each mean; none if a look has one frame
	Disturbed []eyes.Disturbance
	Late      time.Duration // delay from sending a look to its picture
}

// Sequence shows the looks one after another and returns the picture of each. It waits for
// delayed pictures. If they do not show the whole sequence, the error is an UnevenError.
func (l *Live) Sequence(ctx context.Context, s *eyes.Scene, show func(i int, look eyes.Look)) (Take, error) {
	l.record(true)
	defer l.record(false)
	from := time.Now()
	next, lit := from, time.Duration(0)
	for i, step := range s.Steps() {
		show(i, step.Look)
		if i == 1 {
			lit = next.Sub(from)
		}
		next = next.Add(step.Hold) // from the planned time, so that delays do not add up
		if err := l.wait(ctx, time.Until(next)); err != nil {
			return Take{}, err
		}
	}
	cut, err := l.find(ctx, from, len(s.Looks))
	if unseen := (*eyes.UnseenError)(nil); errors.As(err, &unseen) {
		err = &UnevenError{l.source.Name, err}
	}
	if err != nil {
		return Take{}, err
	}
	out := Take{Disturbed: cut.Disturbed, Late: cut.Began - lit}
	out.Pictures, out.Clips, err = meansOf(l.kept(&l.large), from, cut)
	return out, err
}

// An UnevenError reports that a camera's pictures do not show the whole sequence.
type UnevenError struct {
	Source string // name of the source
	Why    error
}

func (e *UnevenError) Error() string {
	return fmt.Sprintf("the pictures of %s do not show the whole sequence: they come late, or the room light changed; end what else keeps the computer or its network busy; keep the room light as it is, and run it again", e.Source)
}

// Unwrap returns the reason.
func (e *UnevenError) Unwrap() error { return e.Why }

// find waits until the pictures contain the whole sequence.
func (l *Live) find(ctx context.Context, from time.Time, looks int) (eyes.Cutting, error) {
	glances := &thumbnails{from: from}
	for end := time.Now().Add(lateWait); ; {
		if err := glances.add(l.kept(&l.small)); err != nil {
			return eyes.Cutting{}, err
		}
		cut, err := eyes.Find(glances.all, looks)
		if err == nil || time.Now().After(end) {
			return cut, err
		}
		if err := l.wait(ctx, 300*time.Millisecond); err != nil {
			return cut, err
		}
	}
}

// Retake shows one look again and puts its picture into t. It shows the look
// before it first, so that the camera sees the same change of light as in the
// sequence. It reports whether something moved this time too.
func (l *Live) Retake(ctx context.Context, s *eyes.Scene, t *Take, look int, show func(i int, look eyes.Look)) (disturbed bool, err error) {
	before := max(look-1, 0)
	show(before, s.Looks[before])
	if err := l.wait(ctx, eyes.Hold); err != nil {
		return false, err
	}
	l.record(true)
	defer l.record(false)
	from := time.Now()
	show(look, s.Looks[look])
	hold := 2 * eyes.Hold
	if err := l.wait(ctx, max(t.Late, 0)+hold+200*time.Millisecond); err != nil {
		return false, err
	}
	w := eyes.WindowOf(max(t.Late, 0), hold)
	one, clips, err := meansOf(l.kept(&l.large), from, eyes.Cutting{Windows: []eyes.Window{w}})
	if err != nil {
		return false, err
	}
	g := &thumbnails{from: from}
	if err := g.add(l.kept(&l.small)); err != nil {
		return false, err
	}
	t.Pictures[look], t.Clips[look] = one[0], clips[0]
	return eyes.Moves(g.all, w), nil
}

// thumbnails holds reduced copies of the pictures received so far.
type thumbnails struct {
	from time.Time
	all  []eyes.Glance
}

func (g *thumbnails) add(frames []still) error {
	for _, f := range frames[len(g.all):] {
		p, err := f.picture()
		if err != nil {
			return err
		}
		g.all = append(g.all, eyes.NewGlance(f.at.Sub(g.from), p))
	}
	return nil
}

// atOnce is the number of looks processed in parallel. Each needs more memory
// than a full-size picture.
const atOnce = 2

// meansOf averages the pictures of each window, or only those of its calm part.
func meansOf(frames []still, from time.Time, cut eyes.Cutting) ([]eyes.Picture, []eyes.Clip, error) {
	n := len(cut.Windows)
	out, clips, errs := make([]eyes.Picture, n), make([]eyes.Clip, n), make([]error, n)
	parallel.AtMost(atOnce, n, func(k int) {
		in := within(frames, from, cut.Windows[k])
		if len(in) == 0 {
			errs[k] = fmt.Errorf("no picture of look %d came: see that the stream is steady, and run it again", k+1)
			return
		}
		calm := slices.DeleteFunc(slices.Clone(in), func(f still) bool { return !cut.IsCalm(k, f.at.Sub(from)) })
		if len(calm) == 0 || len(calm) == len(in) { // a slow stream may have none
			out[k], errs[k] = mean(middleOf(in), clips[k].Add)
			return
		}
		if out[k], errs[k] = mean(middleOf(calm), func(eyes.Picture) {}); errs[k] == nil {
			_, errs[k] = mean(middleOf(in), clips[k].Add)
		}
	})
	if err := cmp.Or(errs...); err != nil {
		return nil, nil, err
	}
	return out, clips, nil
}

// within returns the pictures of a window.
func within(frames []still, from time.Time, w eyes.Window) []still {
	var in []still
	for _, f := range frames {
		if at := f.at.Sub(from); at >= w.From && at <= w.To {
			in = append(in, f)
		}
	}
	return in
}

// middleOf returns the middle pictures, at most mostAverage.
func middleOf(in []still) []still {
	if spare := len(in) - mostAverage; spare > 0 {
		return in[spare/2 : spare/2+mostAverage]
	}
	return in
}
