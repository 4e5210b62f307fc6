package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/eyes/camera"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/patterns"
)

// cameraFlags are what "ringout check --camera" is told.
type cameraFlags struct {
	source   string
	keep     string
	marks    []string
	sequence bool
	level    float64
}

func (f *cameraFlags) add(c *cobra.Command) {
	fl := c.Flags()
	fl.StringVar(&f.source, "camera", "", "prove every pixel by a camera: its name or number, a film, the address of a phone's stream, a kept folder, or \"list\"")
	fl.StringArrayVar(&f.marks, "mark", nil, "where a planned place is in the picture, as PLACE=X,Y in camera pixels from the upper left; give place 1 and one far from it, four on an irregular prop")
	fl.StringVar(&f.keep, "keep", "", "with --camera, keep the pictures in this new folder")
	fl.BoolVar(&f.sequence, "sequence", false, "show the looks that --camera reads once, to be filmed with a phone")
	fl.Float64Var(&f.level, "camera-level", 100*show.StartLevel, "with --camera or --sequence, the level in percent to begin with, 0 to 100")
}

// given reports whether anything is to be done with a camera.
func (f *cameraFlags) given() bool { return f.source != "" || f.sequence }

// alone reports whether no prop file is needed.
func (f *cameraFlags) alone() bool {
	if f.source == "list" {
		return true
	}
	s, err := camera.Find(f.source)
	return f.source != "" && err == nil && s.Kind == camera.Folder
}

// listCameras prints the cameras of this machine.
func listCameras(ctx context.Context, out io.Writer) error {
	all, err := camera.List(ctx)
	if err != nil {
		return err
	}
	if len(all) == 0 {
		return errors.New("this machine has no camera that can be seen: plug one in, or film the sequence with a phone")
	}
	for _, one := range all {
		fmt.Fprintf(out, "%s  %s\n", one.Use, one.Title)
	}
	return nil
}

// parseMarks reads --mark, as 1=320,134.
func parseMarks(texts []string, places int) ([]eyes.Mark, error) {
	var out []eyes.Mark
	for _, t := range texts {
		place, at, ok := strings.Cut(t, "=")
		x, y, two := strings.Cut(at, ",")
		n, err1 := strconv.Atoi(strings.TrimSpace(place))
		px, err2 := strconv.ParseFloat(strings.TrimSpace(x), 64)
		py, err3 := strconv.ParseFloat(strings.TrimSpace(y), 64)
		if err := errors.Join(err1, err2, err3); err != nil || !ok || !two {
			return nil, fmt.Errorf("--mark %q: write PLACE=X,Y, such as 1=320,134", t)
		}
		if n < 1 || n > places {
			return nil, fmt.Errorf("--mark %q: the prop has places 1 to %d", t, places)
		}
		if !(px >= 0 && py >= 0 && px < 1e5 && py < 1e5) {
			return nil, fmt.Errorf("--mark %q: give camera pixels from the upper left corner", t)
		}
		out = append(out, eyes.Mark{Place: n - 1, At: eyes.Point{X: px, Y: py}})
	}
	return out, nil
}

// A cameraCheck is one proof by camera under way.
type cameraCheck struct {
	flags  *cameraFlags
	ctx    context.Context
	out    io.Writer // lines about the way there
	prop   *prop.Prop
	scene  *eyes.Scene
	source camera.Source
	level  float64
}

// newCameraCheck finds the source and the scene. p is nil when only a folder
// is read.
func newCameraCheck(ctx context.Context, f *cameraFlags, p *prop.Prop, out io.Writer) (*cameraCheck, error) {
	k := &cameraCheck{flags: f, ctx: ctx, out: out, prop: p, level: f.level / 100}
	var err error
	if k.source, err = camera.Find(f.source); err != nil {
		return nil, err
	}
	if k.source.Kind == camera.Folder {
		k.scene, err = camera.ReadScene(k.source.Name)
	} else {
		k.scene, err = eyes.SceneOf(p)
	}
	if err != nil {
		return nil, err
	}
	if p != nil && len(k.scene.Places()) != p.Pixels() {
		return nil, fmt.Errorf("the pictures in %s are of a prop of %d pixels, %q has %d", k.source.Name, len(k.scene.Places()), p.Name, p.Pixels())
	}
	marks, err := parseMarks(f.marks, len(k.scene.Places()))
	if len(marks) > 0 {
		k.scene.Marks = marks
	}
	return k, err
}

// read is what the pictures say.
func (k *cameraCheck) read() (*eyes.Result, error) {
	looks, err := k.pictures()
	if err != nil {
		return nil, err
	}
	if k.flags.keep != "" {
		k.scene.Level = k.level
		if err := camera.Keep(k.flags.keep, k.scene, looks); err != nil {
			return nil, err
		}
		fmt.Fprintf(k.out, "The pictures are kept in %s.\n", k.flags.keep)
	}
	return eyes.Decode(k.scene, looks)
}

func (k *cameraCheck) pictures() ([]eyes.Picture, error) {
	switch k.source.Kind {
	case camera.Folder:
		return camera.ReadFolder(k.source.Name, k.scene)
	case camera.Film:
		fmt.Fprintf(k.out, "Reading the film %s.\n", k.source.Name)
		return camera.ReadFilm(k.ctx, k.source, len(k.scene.Looks))
	}
	return k.live()
}

// live opens the camera, finds the level and runs the sequence.
func (k *cameraCheck) live() ([]eyes.Picture, error) {
	fmt.Fprintf(k.out, "Opening the camera %s. Its light may come on; no picture is stored or sent.\n", k.source.Name)
	eye, err := camera.Open(k.ctx, k.source)
	if err != nil {
		return nil, err
	}
	defer eye.Close()
	if left := camera.Lock(k.ctx, k.source); len(left) > 0 {
		fmt.Fprintf(k.out, "This camera sets its own %s: keep the room light steady.\n", strings.Join(left, ", "))
	}
	l, err := newLamp(k.ctx, k.prop)
	if err != nil {
		return nil, err
	}
	looks, err := k.onLamp(l, eye)
	return looks, errors.Join(err, l.close())
}

func (k *cameraCheck) onLamp(l *lamp, eye *camera.Live) ([]eyes.Picture, error) {
	if err := k.aim(l, eye); err != nil {
		return nil, err
	}
	const tries = 3
	for n := 1; ; n++ {
		fmt.Fprintf(k.out, "Run: %d looks in %.0f s. Hold still.\n", len(k.scene.Looks), k.scene.Duration().Seconds())
		looks, err := eye.Sequence(k.ctx, k.scene, func(_ int, look eyes.Look) { k.show(l, look) })
		moved := (*eyes.Refusal)(nil)
		if err == nil || !errors.As(err, &moved) || n == tries {
			return looks, err
		}
		fmt.Fprintf(k.out, "%s. Once more.\n", moved.Text)
	}
}

// show lights the prop with a look.
func (k *cameraCheck) show(l *lamp, look eyes.Look) {
	frame := k.scene.Frame(nil, look, k.prop.Chip.Order.Channels())
	l.set(func(dst patterns.Frame, _ int, _ time.Duration) patterns.Frame { return append(dst[:0], frame...) }, k.level)
}

// aim sees that the camera is near enough and finds the level, in three looks
// at most: dimmer while too much is blown, brighter while too near the noise.
func (k *cameraCheck) aim(l *lamp, eye *camera.Live) error {
	look := k.scene.Looks[len(k.scene.Looks)-1]
	for n := 1; ; n++ {
		m, err := k.look(l, eye, look)
		if err != nil {
			return err
		}
		fmt.Fprintf(k.out, "Aim: %.0f camera pixels between neighbours. Level %.0f %%: %.0f times the noise, %.0f %% of the spots too bright.\n",
			m.Spacing, 100*k.level, m.Signal, 100*m.Blown)
		limit := m.Limits()
		switch {
		case limit == nil:
			return nil
		case n == 3:
			return limit
		case limit.Kind == eyes.TooBright:
			k.level /= 4
		case limit.Kind == eyes.TooDim && k.level < 1:
			k.level = min(1, 4*k.level)
		default:
			return limit
		}
	}
}

// look measures one look beside black.
func (k *cameraCheck) look(l *lamp, eye *camera.Live, look eyes.Look) (eyes.Measures, error) {
	var shots []eyes.Picture
	for _, one := range []eyes.Look{k.scene.Looks[0], look} {
		k.show(l, one)
		l.reach()
		if err := pause(k.ctx, 1500*time.Millisecond); err != nil { // a stream shows what was a second ago
			return eyes.Measures{}, err
		}
		p, err := eye.Now(k.ctx, 4)
		if err != nil {
			return eyes.Measures{}, err
		}
		shots = append(shots, p)
	}
	spots, m, err := eyes.Aim(k.scene, shots[0], shots[1], look)
	if err == nil && len(spots) == 0 {
		err = errors.New("the camera sees no light of the prop: see that it is lit and in the picture")
	}
	m.Still = 1
	return m, err
}

func pause(ctx context.Context, d time.Duration) error {
	select {
	case <-ctx.Done():
		return errStopped
	case <-time.After(d):
		return nil
	}
}

// showSequence lights the looks once, to be filmed.
func showSequence(c *cobra.Command, f *cameraFlags, p *prop.Prop) error {
	scene, err := eyes.SceneOf(p)
	if err != nil {
		return err
	}
	l, err := newLamp(c.Context(), p)
	if err != nil {
		return err
	}
	k := &cameraCheck{flags: f, ctx: c.Context(), out: c.OutOrStdout(), prop: p, scene: scene, level: f.level / 100}
	fmt.Fprintf(k.out, "%d looks in %.0f s, from dark to dark. Film it whole: phone on something firm, whole prop in the picture, exposure and focus held.\n",
		len(scene.Looks), scene.Duration().Seconds())
	return errors.Join(k.play(l), l.close())
}

// play shows the looks in their time.
func (k *cameraCheck) play(l *lamp) error {
	k.show(l, k.scene.Looks[0])
	l.reach()
	next := time.Now()
	for i, look := range append(k.scene.Looks[:len(k.scene.Looks):len(k.scene.Looks)], k.scene.Looks[0]) {
		k.show(l, look)
		hold := eyes.Hold
		if look.Kind == eyes.Black {
			hold = eyes.EdgeHold
		} else {
			fmt.Fprintf(k.out, "\rlook %d of %d ", i, len(k.scene.Looks)-1)
		}
		next = next.Add(hold) // late once is not late ever after
		if err := pause(k.ctx, time.Until(next)); err != nil {
			return err
		}
	}
	fmt.Fprintln(k.out, "\rDone. Now give the film to --camera.")
	return nil
}
