package proving

import (
	"context"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/eyes/steps"
)

// least is the smallest spacing of spots, in camera pixels of the small picture, at which it
// is used. Below that Find takes the full-size picture.
const least = 6.0

// A View is one picture and the spots found in it while the camera is aimed.
type View struct {
	Small  eyes.Picture // the newest small picture
	Number int          // number of that picture
	Sight  steps.Sight  // in camera pixels of the large picture
}

// Watch waits for the next small picture and puts it into the view.
func Watch(ctx context.Context, eye Eye, v View) (View, error) {
	small, n, err := eye.Glance(ctx, v.Number)
	if err == nil {
		v.Small, v.Number = small, n
	}
	return v, err
}

// Find finds the spots in a view while the prop shows the first lit look. It subtracts no
// black look, which would not match while the camera moves.
func Find(ctx context.Context, eye Eye, s *eyes.Scene, v View) (steps.Sight, error) {
	w, h := eye.Size()
	if w == 0 || v.Small.W == 0 {
		return v.Sight, nil
	}
	out, err := sightOf(s, v.Small)
	if err != nil || out.Spacing >= least || w <= v.Small.W {
		return scaled(out, w, h), err
	}
	large, err := eye.Now(ctx, 1, 1)
	if err != nil {
		return v.Sight, err
	}
	return sightOf(s, large)
}

// scaled converts a sight from a small picture to camera pixels of one of size w by h.
func scaled(s steps.Sight, w, h int) steps.Sight {
	k := float64(w) / float64(max(s.W, 1))
	for i, p := range s.Spots {
		s.Spots[i] = eyes.Point{X: (p.X+0.5)*k - 0.5, Y: (p.Y+0.5)*k - 0.5}
	}
	s.W, s.H, s.Spacing = w, h, s.Spacing*k
	return s
}

// sightOf finds the spots of a picture.
func sightOf(s *eyes.Scene, p eyes.Picture) (steps.Sight, error) {
	spots, m, err := eyes.Aim(s, eyes.NewPicture(p.W, p.H), p, s.Looks[1])
	if n := len(s.Places()); len(spots) > n {
		spots = spots[:n] // sorted by brightness
	}
	return steps.Sight{W: p.W, H: p.H, Spots: spots, Spacing: m.Spacing, Blown: m.Blown}, err
}
