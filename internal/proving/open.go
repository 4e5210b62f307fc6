package proving

import (
	"context"
	"fmt"
	"math"
	"time"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/eyes/camera"
	"example.org/ringout/internal/eyes/steps"
	"example.org/ringout/internal/prop"
)

// A Camera is the source of the pictures of a prop: an open camera or stream, or the
// pictures of a film or a kept folder.
type Camera struct {
	Eye
	Scene *eyes.Scene // the plan and its looks; of a kept folder, as they were
	Own   string      // a sentence on controls that could not be fixed, "" for none
	Past  bool        // the sequence was shown before, so the prop is not lit
}

// Open opens a camera, a stream, a film or a kept folder for a prop, which is nil when only
// a kept folder is read. It reads a film and a folder completely. With an error it still
// returns the scene if that is known.
func Open(ctx context.Context, name string, p *prop.Prop) (out Camera, err error) {
	source, err := camera.Find(name)
	if err != nil {
		return out, err
	}
	out.Past = source.Past()
	if out.Scene, err = sceneOf(source, p); err != nil {
		return out, err
	}
	var take camera.Take
	switch source.Kind {
	case camera.Film:
		take, err = camera.ReadFilm(ctx, source, len(out.Scene.Looks))
	case camera.Folder:
		take, err = camera.ReadFolder(name, out.Scene)
	default:
		live, err := camera.Open(ctx, source)
		if err != nil {
			return out, err
		}
		held := camera.Lock(ctx, source)
		out.Eye, out.Own = heldCamera{live, held}, held.Left
		return out, nil
	}
	out.Eye = &recordedCamera{take: take}
	return out, err
}

// A heldCamera is a camera whose controls are restored when it is closed.
type heldCamera struct {
	*camera.Live
	held *camera.Hold
}

// Close restores the camera's controls and closes it.
func (c heldCamera) Close() {
	c.held.Release()
	c.Live.Close()
}

// sceneOf is the scene of a prop, or the one that was kept with pictures of it.
func sceneOf(source camera.Source, p *prop.Prop) (*eyes.Scene, error) {
	if source.Kind != camera.Folder {
		return eyes.SceneOf(p)
	}
	s, err := camera.ReadScene(source.Name)
	if err == nil && p != nil && len(s.Places()) != p.Pixels() {
		return nil, fmt.Errorf("the pictures in %s are of a prop of %d pixels, %q has %d", source.Name, len(s.Places()), p.Name, p.Pixels())
	}
	return s, err
}

// Proof begins a proof with a camera, at a level, 0 to 1, and with known marks. A kept folder
// may have both itself.
func (c Camera) Proof(level float64, marks []eyes.Mark) steps.Proof {
	if c.Past && c.Scene.Level > 0 {
		level = c.Scene.Level
	}
	if len(marks) == 0 {
		marks = c.Scene.Marks
	}
	p := steps.New(c.Scene, level, marks)
	p.Past = c.Past
	return p
}

// A recordedCamera is the pictures of a sequence that was shown before.
type recordedCamera struct{ take camera.Take }

// Size is that of the pictures.
func (f *recordedCamera) Size() (w, h int) { return f.take.Pictures[0].W, f.take.Pictures[0].H }

// Close does nothing.
func (f *recordedCamera) Close() {}

// Lag is 0: the pictures exist.
func (f *recordedCamera) Lag() time.Duration { return 0 }

// Glance is the first lit look, small. There is no second one.
func (f *recordedCamera) Glance(ctx context.Context, after int) (eyes.Picture, int, error) {
	if after > 0 {
		<-ctx.Done()
		return eyes.Picture{}, after, ctx.Err()
	}
	return shrunk(f.take.Pictures[1]), 1, nil
}

// Now is the picture of a look.
func (f *recordedCamera) Now(_ context.Context, look, _ int) (eyes.Picture, error) {
	return f.take.Pictures[look], nil
}

// Sequence returns all pictures.
func (f *recordedCamera) Sequence(context.Context, *eyes.Scene, func(int, eyes.Look)) (camera.Take, error) {
	return f.take, nil
}

// Retake reports that the look is still disturbed: a film cannot be taken again.
func (f *recordedCamera) Retake(context.Context, *eyes.Scene, *camera.Take, int, func(int, eyes.Look)) (bool, error) {
	return true, nil
}

// shrunk is a picture reduced to at most the width of small ones, by means of squares.
func shrunk(p eyes.Picture) eyes.Picture {
	side := int(math.Ceil(float64(p.W) / camera.SmallWide))
	if side <= 1 {
		return p
	}
	out := eyes.NewPicture(p.W/side, p.H/side)
	for i := range out.W * out.H {
		for c := range 3 {
			out.Pix[3*i+c] = squareMean(p, i%out.W*side, i/out.W*side, side, c)
		}
	}
	return out
}

// squareMean is the mean of one colour over a square of a picture.
func squareMean(p eyes.Picture, x, y, side, c int) uint16 {
	sum := 0
	for i := range side * side {
		sum += int(p.Pix[3*((y+i/side)*p.W+x+i%side)+c])
	}
	return uint16(sum / (side * side))
}
