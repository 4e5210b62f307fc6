package proving

import (
	"context"
	"errors"
	"path/filepath"
	"slices"
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
	var reported []steps.Step
	job := &Job{Eye: eye, Report: func(p steps.Proof) { reported = append(reported, p.Step) },
		Lamp: func(context.Context, eyes.Look, float64) error { panic("pictures that were kept need no light") }}
	p, err = job.Prove(context.Background(), p)
	require.NoError(t, err)
	require.Equal(t, steps.Map, p.Step, "%v", p.Trouble)
	require.NotContains(t, reported, steps.Level, "no level is searched in pictures that were taken before")
	require.Contains(t, reported, steps.Read)
	for i, one := range p.Result.Places {
		require.Equal(t, eyes.Read, one.State, "place %d", i+1)
		require.Equal(t, 3*i, one.Reading.Slot)
	}
	_, err = Open(context.Background(), filepath.Join(dir, "none.mp4"), prop.Porthole())
	require.Error(t, err)
	_, err = Open(context.Background(), dir, prop.Pennant())
	require.ErrorContains(t, err, "of a prop of 144 pixels")
}

// late is a camera whose pictures at first do not show the whole sequence.
type late struct {
	Eye
	runs, bad int
	take      camera.Take
}

func (l *late) Sequence(context.Context, *eyes.Scene, func(int, eyes.Look)) (camera.Take, error) {
	if l.runs++; l.runs <= l.bad {
		return camera.Take{}, &camera.UnevenError{Source: "0"}
	}
	return l.take, nil
}

// A sequence that was not seen whole is run again; after three attempts it is an error.
func TestASequenceThatWasNotSeenWholeRunsAgain(t *testing.T) {
	s, err := eyes.SceneOf(prop.Porthole())
	require.NoError(t, err)
	dark := make([]eyes.Picture, len(s.Looks))
	for i := range dark {
		dark[i] = eyes.NewPicture(64, 48)
	}
	for bad, runs := range map[int]int{0: 1, 2: 3, 3: 3} {
		eye := &late{bad: bad, take: camera.Take{Pictures: dark}}
		p := steps.New(s, 0.2, []eyes.Mark{{Place: 0}, {Place: 100, At: eyes.Point{X: 9, Y: 9}}})
		p.Wanted = nil
		p = p.Unaimed()
		p.Step = steps.Run
		p.Runs = 1
		var said []string
		job := &Job{Eye: eye, Report: func(p steps.Proof) { said = append(said, p.Text) }, Lamp: func(context.Context, eyes.Look, float64) error { return nil }}
		p, err := job.Prove(context.Background(), p)
		require.NoError(t, err)
		require.Equal(t, steps.Stopped, p.Step)
		require.Equal(t, runs, eye.runs)
		uneven := (*camera.UnevenError)(nil)
		require.Equal(t, bad == 3, errors.As(p.Trouble, &uneven), "%v", p.Trouble)
		require.Equal(t, bad > 0, slices.Contains(said, "It was not seen whole: the sequence runs once more. Hold still."))
	}
}
