package proving

import (
	"context"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/eyes/camera"
	"example.org/ringout/internal/eyes/steps"
	"example.org/ringout/internal/prop"
)

// A kept folder is read as a camera would be: the same steps, the same map. The
// pictures are of the scene, with the light of each place drawn in one camera
// pixel by this test.
func TestAKeptFolderGoesTheSameSteps(t *testing.T) {
	s, err := eyes.SceneOf(prop.Porthole())
	require.NoError(t, err)
	at := func(i int) eyes.Point {
		p := s.Places()[i]
		return eyes.Point{X: 160 + 600*p.X, Y: 120 - 600*p.Y}
	}
	var looks []eyes.Picture
	for _, look := range s.Looks {
		pic := eyes.NewPicture(320, 240)
		for i := range pic.Pix {
			pic.Pix[i] = uint16(300 + 29*(i%5))
		}
		for i := range s.Places() {
			for k, ch := range []int{1, 0, 2} { // wire order GRB
				if s.Lit(look, 3*i+k) {
					p := at(i)
					for d := range 9 {
						pic.Pix[3*((int(p.Y)+d/3-1)*320+int(p.X)+d%3-1)+ch] += 20000
					}
				}
			}
		}
		looks = append(looks, pic)
	}
	dir := filepath.Join(t.TempDir(), "kept")
	require.NoError(t, camera.Keep(dir, s, camera.Take{Pictures: looks}))
	eye, err := Open(context.Background(), dir, prop.Porthole())
	require.NoError(t, err)
	require.Empty(t, eye.Own)
	require.True(t, eye.Past)
	defer eye.Close()
	view, err := Watch(context.Background(), eye, View{})
	require.NoError(t, err)
	sight, err := Find(context.Background(), eye, s, view)
	require.NoError(t, err)
	p := eye.Proof(0.2, nil).Aimed(sight).Onward()
	for p.Step == steps.Mark {
		p = p.Marked(at(p.Next()))
	}
	var told []steps.Step
	job := &Job{Eye: eye, Tell: func(p steps.Proof) { told = append(told, p.Step) },
		Lamp: func(context.Context, eyes.Look, float64) error { panic("pictures that were kept need no light") }}
	p, err = job.Prove(context.Background(), p)
	require.NoError(t, err)
	require.Equal(t, steps.Map, p.Step, "%v", p.Trouble)
	require.NotContains(t, told, steps.Level, "no level is searched in pictures that were taken before")
	require.Contains(t, told, steps.Read)
	for i, one := range p.Result.Places {
		require.Equal(t, eyes.Read, one.State, "place %d", i+1)
		require.Equal(t, 3*i, one.Reading.Slot)
	}
	_, err = Open(context.Background(), filepath.Join(dir, "none.mp4"), prop.Porthole())
	require.Error(t, err)
	_, err = Open(context.Background(), dir, prop.Pennant())
	require.ErrorContains(t, err, "of a prop of 144 pixels")
}
