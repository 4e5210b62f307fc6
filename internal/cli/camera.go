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
	"example.org/ringout/internal/eyes/steps"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/proving"
	"example.org/ringout/patterns"
)

// cameraFlags are what "ringout check --camera" is told.
type cameraFlags struct {
	own      *identity
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
	fl.Float64Var(&f.level, "camera-level", 100*patterns.StartLevel, "with --camera or --sequence, the level in percent to begin with, 0 to 100")
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

// A markError is a --mark that cannot be taken.
type markError struct{ text, why string }

func (e *markError) Error() string { return fmt.Sprintf("--mark %q: %s", e.text, e.why) }

// parseMarks reads --mark, as 1=320,134.
func parseMarks(texts []string, places int) ([]eyes.Mark, error) {
	var out []eyes.Mark
	for _, t := range texts {
		place, at, ok := strings.Cut(t, "=")
		x, y, two := strings.Cut(at, ",")
		n, err1 := strconv.Atoi(strings.TrimSpace(place))
		px, err2 := strconv.ParseFloat(strings.TrimSpace(x), 64)
		py, err3 := strconv.ParseFloat(strings.TrimSpace(y), 64)
		switch {
		case errors.Join(err1, err2, err3) != nil || !ok || !two:
			return nil, &markError{t, "write PLACE=X,Y, such as 1=320,134"}
		case n < 1 || n > places:
			return nil, &markError{t, fmt.Sprintf("the prop has places 1 to %d", places)}
		case !(px >= 0 && py >= 0 && px < 1e5 && py < 1e5):
			return nil, &markError{t, "give camera pixels from the upper left corner"}
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
	if k.source.Kind == camera.Stream || k.source.Kind == camera.Device {
		return k.live()
	}
	looks, err := k.pictures()
	if err != nil {
		return nil, err
	}
	if err := k.keep(k.scene, looks); err != nil {
		return nil, err
	}
	return eyes.Decode(k.scene, looks)
}

// keep writes the pictures where --keep says.
func (k *cameraCheck) keep(s *eyes.Scene, looks []eyes.Picture) error {
	if k.flags.keep == "" {
		return nil
	}
	if k.source.Kind == camera.Film {
		s.Level = k.level
	}
	if err := camera.Keep(k.flags.keep, s, looks); err != nil {
		return err
	}
	fmt.Fprintf(k.out, "The pictures are kept in %s.\n", k.flags.keep)
	return nil
}

func (k *cameraCheck) pictures() ([]eyes.Picture, error) {
	if k.source.Kind == camera.Folder {
		return camera.ReadFolder(k.source.Name, k.scene)
	}
	fmt.Fprintf(k.out, "Reading the film %s.\n", k.source.Name)
	return camera.ReadFilm(k.ctx, k.source, len(k.scene.Looks))
}

// live opens the camera and goes through the steps in lines.
func (k *cameraCheck) live() (*eyes.Result, error) {
	fmt.Fprintf(k.out, "Opening the camera %s. Its light may come on; no picture is stored or sent.\n", k.source.Name)
	eye, err := camera.Open(k.ctx, k.source)
	if err != nil {
		return nil, err
	}
	defer eye.Close()
	if left := camera.Lock(k.ctx, k.source); len(left) > 0 {
		fmt.Fprintf(k.out, "This camera sets its own %s: keep the room light steady.\n", strings.Join(left, ", "))
	}
	l, err := k.flags.own.lamp(k.ctx, k.prop)
	if err != nil {
		return nil, err
	}
	r, err := k.onLamp(l, eye)
	return r, errors.Join(err, l.close())
}

func (k *cameraCheck) onLamp(l *lamp, eye *camera.Live) (*eyes.Result, error) {
	p := steps.New(k.scene, k.level, k.scene.Marks)
	p.Wanted, p.Step = nil, steps.Level // the decoder asks for marks that are missing
	p.Text = fmt.Sprintf("The sequence has %d looks and takes %.0f s. Hold still.", len(k.scene.Looks), k.scene.Duration().Seconds())
	job := &proving.Job{Eye: eye, Keep: k.keep, Tell: k.teller(), Lamp: func(_ context.Context, look eyes.Look, level float64) error {
		l.set(proving.Frames(k.scene, look, k.prop), level)
		return nil
	}}
	p, err := job.Prove(k.ctx, p)
	k.level, k.scene.Level = p.Level, p.Level
	refusal := (*eyes.Refusal)(nil)
	switch {
	case err != nil:
		return nil, errStopped
	case errors.As(p.Trouble, &refusal):
		return &eyes.Result{Refusal: refusal, Measures: p.Measures}, nil
	}
	return p.Result, p.Trouble
}

// teller writes the steps as they come: how the camera sees the prop once, and
// of the looks only those that are taken again.
func (k *cameraCheck) teller() func(steps.Proof) {
	said, runs := "", 0
	return func(p steps.Proof) {
		if p.Step == steps.Run && p.Runs == 1 && runs == 0 {
			fmt.Fprintln(k.out, p.Sight.Words())
		}
		usual := p.Step == steps.Run && len(p.Again) == 0 && p.Runs == runs
		if p.Step == steps.Run {
			runs = p.Runs
		}
		if !usual && p.Text != said && p.Text != "" && p.Step != steps.Stopped {
			said = p.Text
			fmt.Fprintln(k.out, said)
		}
	}
}

// show lights the prop with a look.
func (k *cameraCheck) show(l *lamp, look eyes.Look) {
	l.set(proving.Frames(k.scene, look, k.prop), k.level)
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
	l, err := f.own.lamp(c.Context(), p)
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
