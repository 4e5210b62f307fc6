package cli

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/eyes/camera"
	"example.org/ringout/internal/eyes/steps"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/proving"
	"example.org/ringout/patterns"
)

// cameraFlags are the flags of "ringout check --camera".
type cameraFlags struct {
	own      *identity
	source   string
	earlier  string // the films and folders already combined, each followed by a comma
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

// given reports whether a flag asks for a camera.
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

// A markError is a --mark that cannot be used.
type markError struct{ text, why string }

func (e *markError) Error() string { return fmt.Sprintf("--mark %q: %s", e.text, e.why) }

// parseMarks reads --mark, as 1=320,134.
func parseMarks(texts []string, places int) ([]eyes.Mark, error) {
	var out []eyes.Mark
	for _, t := range texts {
		place, text, ok := strings.Cut(t, "=")
		n, err := strconv.Atoi(strings.TrimSpace(place))
		switch {
		case err != nil || !ok:
			return nil, &markError{t, "write PLACE=X,Y, such as 1=320,134"}
		case n < 1 || n > places:
			return nil, &markError{t, fmt.Sprintf("the prop has places 1 to %d", places)}
		}
		at, err := parsePoint(text)
		if err != nil {
			return nil, &markError{t, err.Error()}
		}
		out = append(out, eyes.Mark{Place: n - 1, At: at})
	}
	return out, nil
}

// parsePoint reads camera pixels, as 320,134.
func parsePoint(text string) (at eyes.Point, err error) {
	x, y, two := strings.Cut(text, ",")
	at.X, err = strconv.ParseFloat(strings.TrimSpace(x), 64)
	fromY := error(nil)
	at.Y, fromY = strconv.ParseFloat(strings.TrimSpace(y), 64)
	switch {
	case err != nil || fromY != nil || !two:
		return at, errors.New("write X,Y, such as 320,134")
	case !(at.X >= 0 && at.Y >= 0 && at.X < 1e5 && at.Y < 1e5):
		return at, errors.New("give camera pixels from the upper left corner")
	}
	return at, nil
}

// A cameraCheck is one proof by camera in progress.
type cameraCheck struct {
	*cameraFlags
	cmd    *cobra.Command
	out    io.Writer // lines about the progress
	asks   bool      // ask for missing marks
	prop   *prop.Prop
	camera proving.Camera
	wanted []int // places, from 0, when marks were missing
	lamp   *lamp // nil until the prop is lit
}

// open opens what --camera names. p is nil when only a folder is read.
func (k *cameraCheck) open() (err error) {
	most := math.MaxInt // the folder's scene gives the number of places
	if k.prop != nil {
		most = k.prop.Pixels()
	}
	if _, err := parseMarks(k.marks, most); err != nil {
		return err // report it before a camera is opened or a film read
	}
	source, err := camera.Find(k.source)
	if err != nil {
		return err
	}
	fmt.Fprintln(k.out, source.Opening(k.keep != ""))
	k.camera, err = proving.Open(k.cmd.Context(), k.source, k.prop)
	if err == nil && k.camera.Own != "" {
		fmt.Fprintln(k.out, k.camera.Own)
	}
	return err
}

// read runs the steps and prints each as a line.
func (k *cameraCheck) read() (p steps.Proof, err error) {
	if err := k.open(); err != nil {
		return p, err
	}
	defer func() { k.camera.Close() }() // k.camera may have been replaced by then
	marks, err := parseMarks(k.marks, len(k.camera.Scene.Places()))
	if err != nil {
		return p, err
	}
	if p = k.camera.Proof(k.level/100, marks); len(p.Marks) >= 2 && !k.asks {
		p = p.Enough() // two marks may be enough on an irregular prop; if not, the map reports it
	} else {
		p = p.Unaimed()
	}
	for more := true; more && err == nil; {
		if p, err = k.toMap(p); err == nil {
			p, more, err = k.oneMore(p)
		}
	}
	if err != nil {
		return p, errors.Join(errStopped, k.dark())
	}
	return p, k.dark()
}

// toMap runs the steps until there is a map or none is possible.
func (k *cameraCheck) toMap(p steps.Proof) (_ steps.Proof, err error) {
	job := &proving.Job{Eye: k.camera, Keep: k.kept, Report: (&stepPrinter{out: k.out}).print, Lamp: k.light}
	for err == nil && p.Step != steps.Map && p.Step != steps.Stopped {
		if p.Step == steps.Mark {
			p, err = k.mark(p)
		} else {
			p, err = job.Prove(k.cmd.Context(), p)
		}
	}
	return p, err
}

// light shows a look on the prop.
func (k *cameraCheck) light(ctx context.Context, look eyes.Look, level float64) (err error) {
	if k.lamp == nil {
		if k.lamp, err = k.own.lamp(ctx, k.prop); err != nil {
			return err
		}
		fmt.Fprintf(k.out, "The sequence has %d looks and takes %.0f s. Hold still.\n", len(k.camera.Scene.Looks), k.camera.Scene.Duration().Seconds())
	}
	k.lamp.set(proving.Frames(k.camera.Scene, look, k.prop), level)
	return nil
}

// dark turns the prop off and ends the stream.
func (k *cameraCheck) dark() error {
	if k.lamp == nil {
		return nil
	}
	return k.lamp.close()
}

// kept writes the pictures to the folder of --keep, if given.
func (k *cameraCheck) kept(s *eyes.Scene, take camera.Take) {
	if k.keep == "" {
		return
	}
	if err := camera.Keep(k.keep, s, take); err != nil {
		fmt.Fprintf(k.cmd.ErrOrStderr(), "ringout: the pictures are not kept: %v\n", err)
		return
	}
	fmt.Fprintf(k.out, "The pictures are kept in %s.\n", k.keep)
}

// mark asks for the next place. Without an answer the marks so far are used.
func (k *cameraCheck) mark(p steps.Proof) (steps.Proof, error) {
	k.wanted = p.Wanted
	if !k.asks {
		return p.Enough(), nil
	}
	if len(p.Marks) == 0 {
		fmt.Fprintln(k.out, k.readOff(p))
	}
	w, h := k.camera.Size()
	text, err := k.ask("%s\nType X,Y in camera pixels from the upper left, of %d by %d; an empty line for no more: ", p.Text, w, h)
	if text == "" || err != nil {
		return p.Enough(), err
	}
	at, err := parsePoint(text)
	if err != nil {
		fmt.Fprintf(k.out, "%q: %v.\n", text, err)
		return p, nil
	}
	return p.Marked(at), nil
}

// ask asks for a line and returns it; "" at the end of the input.
func (k *cameraCheck) ask(format string, a ...any) (text string, err error) {
	in := bufio.NewReaderSize(k.cmd.InOrStdin(), 1<<13)
	k.cmd.SetIn(in) // the rest of the input is for the check-out
	fmt.Fprintf(k.out, format, a...)
	err = untilEnd(k.cmd.Context(), func() error {
		text, _ = in.ReadString('\n') // a last line without a line end counts
		return nil
	})
	if !strings.HasSuffix(text, "\n") {
		fmt.Fprintln(k.out) // the input ended without a line end
	}
	return strings.TrimSpace(text), err
}

// readOff says in which picture to read off the marks. For an open camera it
// saves one, if pictures may be kept.
func (k *cameraCheck) readOff(p steps.Proof) string {
	look := k.camera.Scene.Looks[1]
	switch {
	case k.camera.Past && k.camera.Scene.Level > 0:
		return fmt.Sprintf("Read the places off a lit picture in %s, such as %s.", k.source, look.File)
	case k.camera.Past:
		return "Pause the film where the prop is lit, and read the places off it."
	case k.keep == "":
		return "The Check page shows the picture and takes the marks by keys or mouse; --keep FOLDER makes a picture to read them off."
	}
	job := &proving.Job{Eye: k.camera, Lamp: k.light}
	pic, err := job.Look(k.cmd.Context(), p, 1)
	file := filepath.Join(k.keep, "mark.png")
	if err == nil {
		err = camera.KeepPicture(file, pic)
	}
	if err != nil {
		return fmt.Sprintf("There is no picture to read the places off: %v.", err)
	}
	return fmt.Sprintf("Read the places off the picture %s.", file)
}

// A stepPrinter prints once how the camera sees the prop, then every new text, and
// overwrites one line with the current look.
type stepPrinter struct {
	out  io.Writer
	said string // the last text
	runs int    // number of times the sequence was started
	look int    // look on the unfinished line; 0 for none
}

func (w *stepPrinter) print(p steps.Proof) {
	running := p.Step == steps.Run
	if running && p.Runs == 1 && w.runs == 0 && !p.Past && !p.Unlit {
		fmt.Fprintln(w.out, p.Sight.Words())
	}
	usual := running && len(p.Again) == 0 && p.Runs == w.runs
	if running {
		w.runs = p.Runs
	}
	w.looks(p, usual)
	if usual || p.Text == w.said || p.Text == "" || p.Step == steps.Stopped || p.Step == steps.Mark {
		return
	}
	w.said = p.Text
	fmt.Fprintln(w.out, w.said)
}

// looks overwrites the line with the current look, and ends it after the last.
func (w *stepPrinter) looks(p steps.Proof, usual bool) {
	switch {
	case usual && p.Look != w.look && !p.Past:
		w.look = p.Look
		fmt.Fprintf(w.out, "\rlook %d of %d ", w.look, len(p.Scene.Looks)-1)
	case w.look > 0 && !usual:
		fmt.Fprintln(w.out)
		w.look = 0
	}
}

// showSequence shows the looks once, for filming.
func (k *cameraCheck) showSequence() error {
	scene, err := eyes.SceneOf(k.prop)
	if err != nil {
		return err
	}
	l, err := k.own.lamp(k.cmd.Context(), k.prop)
	if err != nil {
		return err
	}
	fmt.Fprintf(k.out, "%d looks in %.0f s, from dark to dark. Film it whole: phone on something firm, whole prop in the picture, exposure and focus held.\n",
		len(scene.Looks), scene.Duration().Seconds())
	lit := func(_ context.Context, look eyes.Look, level float64) error {
		return l.light(proving.Frames(scene, look, k.prop), level, false)
	}
	err = proving.Play(k.cmd.Context(), scene, k.level/100, lit, func(look int) {
		if look > 0 {
			fmt.Fprintf(k.out, "\rlook %d of %d ", look, len(scene.Looks)-1)
		}
	})
	if err == nil {
		fmt.Fprintln(k.out, "\rDone. Now give the film to --camera.")
	} else {
		err = errStopped
	}
	return errors.Join(err, l.close())
}
