// Package proving runs a proof by camera: it lights the prop, takes pictures and follows the
// steps of package steps. The command line and the Check screen both use it. It starts no
// goroutine; every call blocks until it is done.
package proving

import (
	"context"
	"errors"
	"time"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/eyes/camera"
	"example.org/ringout/internal/eyes/steps"
	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
)

// An Eye is an open camera, such as *camera.Live.
type Eye interface {
	// Glance returns the newest small picture with a number above after, and that number.
	Glance(ctx context.Context, after int) (eyes.Picture, int, error)
	// Now returns the mean of the next pictures while a look is shown.
	Now(ctx context.Context, look, pictures int) (eyes.Picture, error)
	// Sequence shows all looks and returns their pictures.
	Sequence(ctx context.Context, s *eyes.Scene, show func(i int, look eyes.Look)) (camera.Take, error)
	// Retake shows one look again and puts its picture into t; true if something moved.
	Retake(ctx context.Context, s *eyes.Scene, t *camera.Take, look int, show func(i int, look eyes.Look)) (bool, error)
	// Lag is the time from sending a look until it can be measured.
	Lag() time.Duration
	// Size is the size of the full-size pictures, in camera pixels; 0 before the first.
	Size() (w, h int)
	Close()
}

// A Lamp lights the prop with a look at a level, 0 to 1, and waits until the
// packets have been sent.
type Lamp func(ctx context.Context, look eyes.Look, level float64) error

// averaged is the number of pictures averaged for a measurement.
const averaged = 4

// A Job is a proof in progress.
type Job struct {
	Eye    Eye
	Lamp   Lamp
	Report func(steps.Proof)              // gets the state after each step; may be nil
	Keep   func(*eyes.Scene, camera.Take) // gets the pictures before they are read; may be nil

	take camera.Take
}

// light lights the prop, unless the pictures already exist.
func (j *Job) light(ctx context.Context, p steps.Proof, look eyes.Look) error {
	if p.Past {
		return nil
	}
	return j.Lamp(ctx, look, p.Level)
}

// Prove continues a proof until it has a map or stops. It returns an error only when the
// context has ended; errors of the camera are in the proof.
func (j *Job) Prove(ctx context.Context, p steps.Proof) (steps.Proof, error) {
	for {
		j.report(p)
		var err error
		switch p.Step {
		case steps.Level:
			p, err = j.level(ctx, p)
		case steps.Run:
			p, err = j.run(ctx, p)
		case steps.Read:
			p, err = j.read(p)
		default:
			return p, nil
		}
		if ctx.Err() != nil {
			return p, ctx.Err()
		}
		if err != nil {
			p = p.Stop(err)
		}
	}
}

func (j *Job) report(p steps.Proof) {
	if j.Report != nil {
		j.Report(p)
	}
}

// level measures one lit look against black, to set the level.
func (j *Job) level(ctx context.Context, p steps.Proof) (steps.Proof, error) {
	sight, m, err := j.measure(ctx, p)
	if err != nil {
		return p, err
	}
	return p.Aimed(sight).Levelled(m), nil
}

// Look lights one look, counted from 0, and returns its picture.
func (j *Job) Look(ctx context.Context, p steps.Proof, look int) (eyes.Picture, error) {
	if err := j.light(ctx, p, p.Scene.Looks[look]); err != nil {
		return eyes.Picture{}, err
	}
	if err := pause(ctx, j.Eye.Lag()); err != nil {
		return eyes.Picture{}, err
	}
	return j.Eye.Now(ctx, look, averaged)
}

// measure returns the spots and measures of one lit look against black.
func (j *Job) measure(ctx context.Context, p steps.Proof) (s steps.Sight, m eyes.Measures, err error) {
	last := len(p.Scene.Looks) - 1
	var shots [2]eyes.Picture
	for i, k := range []int{0, last} {
		if shots[i], err = j.Look(ctx, p, k); err != nil {
			return s, m, err
		}
	}
	spots, m, err := eyes.Aim(p.Scene, shots[0], shots[1], p.Scene.Looks[last])
	return steps.Sight{W: shots[0].W, H: shots[0].H, Spots: spots, Spacing: m.Spacing, Blown: m.Blown}, m, err
}

// run takes the pictures of a sequence and retakes disturbed ones.
func (j *Job) run(ctx context.Context, p steps.Proof) (steps.Proof, error) {
	show := func(i int, look eyes.Look) {
		if i < len(p.Scene.Looks) { // the black at the end is no look
			p = p.Showing(i)
			j.report(p)
		}
		_ = j.light(ctx, p, look) // the end of the context is checked below
	}
	if p.Unlit {
		return j.runUnlit(ctx, p, show)
	}
	take, err := j.Eye.Sequence(ctx, p.Scene, show)
	if uneven := (*camera.UnevenError)(nil); errors.As(err, &uneven) {
		return p.RunAgain(err), nil
	}
	if err != nil {
		return p, err
	}
	p = p.Ran(take.Disturbed)
	for p.Step == steps.Run && len(p.Again) > 0 {
		k := p.Again[0]
		moved, err := j.Eye.Retake(ctx, p.Scene, &take, k, func(_ int, look eyes.Look) {
			_ = j.light(ctx, p, look)
		})
		if err != nil {
			return p, err
		}
		p = p.Retaken(k, moved)
		j.report(p)
	}
	j.take = take
	return p, j.light(ctx, p, p.Scene.Looks[0])
}

// runUnlit takes the pictures of a dark prop look by look, since the start of a sequence
// cannot be found in pictures without light.
func (j *Job) runUnlit(ctx context.Context, p steps.Proof, show func(i int, look eyes.Look)) (steps.Proof, error) {
	j.take = camera.Take{}
	for k, look := range p.Scene.Looks {
		show(k, look)
		pic, err := j.Look(ctx, p, k)
		if err != nil {
			return p, err
		}
		j.take.Pictures = append(j.take.Pictures, pic)
	}
	return p.Ran(nil), j.light(ctx, p, p.Scene.Looks[0])
}

// read decodes the pictures and adds the map to the proof.
func (j *Job) read(p steps.Proof) (steps.Proof, error) {
	scene := p.Scened()
	if j.Keep != nil {
		j.Keep(scene, j.take)
	}
	r, err := eyes.Decode(scene, j.take.Pictures)
	clips := j.take.Clips
	j.take = camera.Take{}
	if err != nil {
		return p, err
	}
	r.Watch(scene, clips)
	return p.Decoded(r), nil
}

func pause(ctx context.Context, d time.Duration) error {
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-time.After(d):
		return nil
	}
}

// Play shows the looks of a scene for filming, at a level from 0 to 1. It calls shown at the
// start of each look, counted from 0.
func Play(ctx context.Context, s *eyes.Scene, level float64, lamp Lamp, shown func(look int)) error {
	next := time.Now()
	for i, step := range s.Steps() {
		if err := lamp(ctx, step.Look, level); err != nil {
			return err
		}
		shown(i % len(s.Looks))
		if i == 0 {
			next = time.Now() // counted from the end of the first light, which takes longer to send
		}
		next = next.Add(step.Hold) // from the planned time, so that delays do not add up
		if err := pause(ctx, time.Until(next)); err != nil {
			return err
		}
	}
	return nil
}

// Frames returns a look as a frame function of the show.
func Frames(s *eyes.Scene, look eyes.Look, p *prop.Prop) func(dst patterns.Frame, pixels int, t time.Duration) patterns.Frame {
	frame := s.Frame(nil, look, p.Chip.Order.Channels())
	return func(dst patterns.Frame, _ int, _ time.Duration) patterns.Frame { return append(dst[:0], frame...) }
}
