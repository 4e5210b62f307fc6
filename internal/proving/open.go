package proving

import (
	"context"
	"fmt"
	"math"
	"time"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/eyes/camera"
)

// Open opens a camera, a stream, a film or a kept folder. held names what a
// camera does not let be held, as its exposure. A film and a folder are read
// whole, and then stand for a camera that shows the first lit look.
func Open(ctx context.Context, name string, s *eyes.Scene) (eye Eye, left []string, err error) {
	source, err := camera.Find(name)
	if err != nil {
		return nil, nil, err
	}
	switch source.Kind {
	case camera.Film:
		looks, err := camera.ReadFilm(ctx, source, len(s.Looks))
		return &filmed{looks: looks}, nil, err
	case camera.Folder:
		looks, err := readFolder(name, s)
		return &filmed{looks: looks}, nil, err
	}
	live, err := camera.Open(ctx, source)
	if err != nil {
		return nil, nil, err
	}
	return live, camera.Lock(ctx, source), nil
}

// readFolder reads a kept folder of a prop's own sequence.
func readFolder(name string, s *eyes.Scene) ([]eyes.Picture, error) {
	kept, err := camera.ReadScene(name)
	if err != nil {
		return nil, err
	}
	if len(kept.Places()) != len(s.Places()) || len(kept.Looks) != len(s.Looks) {
		return nil, fmt.Errorf("the pictures in %s are of another prop, of %d pixels", name, len(kept.Places()))
	}
	return camera.ReadFolder(name, kept)
}

// A filmed is the pictures of a sequence that was shown before.
type filmed struct{ looks []eyes.Picture }

// Size is that of the pictures.
func (f *filmed) Size() (w, h int) { return f.looks[0].W, f.looks[0].H }

// Close does nothing.
func (f *filmed) Close() {}

// Lag is none: the pictures are there.
func (f *filmed) Lag() time.Duration { return 0 }

// Glance is the first lit look, small. There is no second one.
func (f *filmed) Glance(ctx context.Context, after int) (eyes.Picture, int, error) {
	if after > 0 {
		<-ctx.Done()
		return eyes.Picture{}, after, ctx.Err()
	}
	return shrunk(f.looks[1]), 1, nil
}

// Now is the picture of a look.
func (f *filmed) Now(_ context.Context, look, _ int) (eyes.Picture, error) { return f.looks[look], nil }

// Sequence is all of them.
func (f *filmed) Sequence(context.Context, *eyes.Scene, func(int, eyes.Look)) (camera.Take, error) {
	return camera.Take{Pictures: f.looks}, nil
}

// Retake cannot be: a film is as it is.
func (f *filmed) Retake(context.Context, *eyes.Scene, *camera.Take, int, func(int, eyes.Look)) (bool, error) {
	return true, nil
}

// shrunk is a picture at most as wide as small ones are, of means.
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
