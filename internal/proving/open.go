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
	Scene *eyes.Scene // plan and looks; for a kept folder, those kept with it
	Own   string      // a sentence on controls that could not be fixed, "" for none
	Past  bool        // the pictures already exist, so the prop is not lit
}

// Open opens the source name for prop p. p may be nil for a kept folder, which holds its own
// plan. It reads a film or a folder completely. On an error it still returns the scene if that
// is known.
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

// Close restores the controls, then closes the camera.
func (c heldCamera) Close() {
	c.held.Release()
	c.Live.Close()
}

// sceneOf is the scene kept with the pictures of a folder, else the one planned for p.
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

// Proof starts a proof at a level, 0 to 1, with the known marks. Pictures that already exist
// have their own level, which replaces this one; the scene's marks are used if none are given.
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

// A recordedCamera serves the pictures of a film or a kept folder.
type recordedCamera struct{ take camera.Take }

// Size is the size of the pictures, in camera pixels.
func (f *recordedCamera) Size() (w, h int) { return f.take.Pictures[0].W, f.take.Pictures[0].H }

// Close does nothing.
func (f *recordedCamera) Close() {}

// Lag is 0, since the pictures already exist.
func (f *recordedCamera) Lag() time.Duration { return 0 }

// Glance returns the first lit look as a small picture. There is no later one: if after is
// above 0 it waits for the end of ctx and returns its error.
func (f *recordedCamera) Glance(ctx context.Context, after int) (eyes.Picture, int, error) {
	if after > 0 {
		<-ctx.Done()
		return eyes.Picture{}, after, ctx.Err()
	}
	return shrunk(f.take.Pictures[1]), 1, nil
}

// Now returns the picture of a look.
func (f *recordedCamera) Now(_ context.Context, look, _ int) (eyes.Picture, error) {
	return f.take.Pictures[look], nil
}

// Sequence returns all pictures.
func (f *recordedCamera) Sequence(context.Context, *eyes.Scene, func(int, eyes.Look)) (camera.Take, error) {
	return f.take, nil
}

// Retake reports that the look is still disturbed: a film cannot be repeated.
func (f *recordedCamera) Retake(context.Context, *eyes.Scene, *camera.Take, int, func(int, eyes.Look)) (bool, error) {
	return true, nil
}

// shrunk reduces a picture to at most the width of small ones, by averaging squares.
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

// squareMean is the mean of one colour over a square of a picture, side in camera pixels.
func squareMean(p eyes.Picture, x, y, side, c int) uint16 {
	sum := 0
	for i := range side * side {
		sum += int(p.Pix[3*((y+i/side)*p.W+x+i%side)+c])
	}
	return uint16(sum / (side * side))
}
