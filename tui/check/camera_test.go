package check

import (
	"context"
	"errors"
	"math"
	"path/filepath"
	"sync/atomic"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/eyes/camera"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/proving"
	"example.org/ringout/internal/record"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/screen"
)

// An easel is a camera that paints what it sees: a soft disc for each place of
// the plan, head on, in the look that it is shown. change alters the light of a
// place, as a fault would.
type easel struct {
	scene  *eyes.Scene
	prop   *prop.Prop
	change func(place int, c patterns.Colour) patterns.Colour
	moves  int // looks in which something moves, before all is still
	closed atomic.Bool
	dead   bool // the stream ends with the sequence
}

const easelWide, easelTall = 320, 240

func (e *easel) Size() (w, h int)   { return easelWide, easelTall }
func (e *easel) Lag() time.Duration { return 0 }
func (e *easel) Close()             { e.closed.Store(true) }

// at is where a place of the plan is in the picture.
func (e *easel) at(p eyes.Point) eyes.Point {
	lo, hi := eyes.Point{X: 1e9, Y: 1e9}, eyes.Point{X: -1e9, Y: -1e9}
	for _, q := range e.scene.Places() {
		lo = eyes.Point{X: math.Min(lo.X, q.X), Y: math.Min(lo.Y, q.Y)}
		hi = eyes.Point{X: math.Max(hi.X, q.X), Y: math.Max(hi.Y, q.Y)}
	}
	k := math.Min((easelWide-30)/(hi.X-lo.X), (easelTall-30)/(hi.Y-lo.Y))
	return eyes.Point{X: easelWide/2 + k*(p.X-(lo.X+hi.X)/2), Y: easelTall/2 - k*(p.Y-(lo.Y+hi.Y)/2)}
}

func (e *easel) paint(look eyes.Look) eyes.Picture {
	pic := eyes.NewPicture(easelWide, easelTall)
	for i := range pic.Pix {
		pic.Pix[i] = uint16(400 + 37*(i%7)) // a dim room with some noise
	}
	frame := e.scene.Frame(nil, look, e.prop.Chip.Order.Channels())
	for i, p := range e.scene.Places() {
		c := frame[i]
		if e.change != nil {
			c = e.change(i, c)
		}
		at := e.at(p)
		for y := int(at.Y) - 6; y <= int(at.Y)+6; y++ {
			for x := int(at.X) - 6; x <= int(at.X)+6; x++ {
				d := math.Hypot(float64(x)-at.X, float64(y)-at.Y)
				k := 30000 * math.Exp(-d*d/4)
				for ch, v := range []uint8{c.R, c.G, c.B} {
					pic.Pix[3*(y*easelWide+x)+ch] += uint16(k * float64(v) / 255)
				}
			}
		}
	}
	return pic
}

func (e *easel) Glance(ctx context.Context, after int) (eyes.Picture, int, error) {
	if after > 1 { // two pictures will do
		<-ctx.Done()
		return eyes.Picture{}, after, ctx.Err()
	}
	return e.paint(e.scene.Looks[1]), after + 1, nil
}

func (e *easel) Now(_ context.Context, look, _ int) (eyes.Picture, error) {
	return e.paint(e.scene.Looks[look]), nil
}

func (e *easel) Sequence(_ context.Context, s *eyes.Scene, show func(int, eyes.Look)) (t camera.Take, err error) {
	for i, look := range s.Looks {
		show(i, look)
		t.Pictures = append(t.Pictures, e.paint(look))
	}
	if e.dead {
		return t, errors.New("the pictures of the phone ended: start it again, and check again")
	}
	if e.moves > 0 {
		t.Disturbed = []eyes.Disturbance{{Look: 5}}
		t.Pictures[5] = e.paint(s.Looks[0])
	}
	return t, nil
}

func (e *easel) Retake(_ context.Context, s *eyes.Scene, t *camera.Take, look int, show func(int, eyes.Look)) (bool, error) {
	show(look, s.Looks[look])
	e.moves--
	t.Pictures[look] = e.paint(s.Looks[look])
	return e.moves > 0, nil
}

// A studio is the screen with a camera on it. Commands run beside it, as they
// do in the program.
type studio struct {
	*evening
	msgs chan tea.Msg
}

// studioOf is the Check screen of a prop on disk, with an easel.
func studioOf(t *testing.T, name string, e *easel, depth termenv.Profile) *studio {
	p, path := onDisk(t, name)
	s := &studio{msgs: make(chan tea.Msg, 100)}
	open := func(context.Context, string, *prop.Prop) (proving.Camera, error) {
		if e == nil {
			return proving.Camera{}, errors.New("the camera 0 is in use by another program: close that one")
		}
		scene, err := eyes.SceneOf(p)
		e.scene, e.prop = scene, p
		return proving.Camera{Eye: e, Scene: scene, Own: "This camera sets its own exposure: keep the room light steady."}, err
	}
	none := func(context.Context) ([]camera.Camera, error) {
		return []camera.Camera{{Use: "0", Title: "Bench camera"}}, nil
	}
	s.evening = begin(t, Options{Version: "test", Style: styles(depth), OpenEye: open, Cameras: none}, p, path)
	return s
}

// send gives the screen a message; what it asks for runs beside it.
func (s *studio) send(msg tea.Msg) {
	next, cmd := s.m.Update(msg)
	s.m = next.(Model)
	s.start(cmd)
}

func (s *studio) start(cmd tea.Cmd) {
	if cmd == nil {
		return
	}
	go func() {
		switch msg := cmd().(type) {
		case nil:
		case tea.BatchMsg:
			for _, c := range msg {
				s.msgs <- c
			}
		default:
			s.msgs <- msg
		}
	}()
}

// until takes what commands come to until the page is as wanted.
func (s *studio) until(what string, there func() bool) {
	s.t.Helper()
	end := time.After(time.Minute)
	for !there() {
		select {
		case msg := <-s.msgs:
			if cmd, is := msg.(tea.Cmd); is {
				s.start(cmd)
				continue
			}
			s.send(msg)
		case <-end:
			s.t.Fatalf("no %s: %s", what, s.text())
		}
	}
}

// aimed opens the camera and waits until the spots are found.
func (s *studio) aimed() {
	s.send(named(s.line("Prove every pixel")))
	s.until("list of cameras", func() bool { p, ok := s.m.page.(sourcePage); return ok && p.known })
	s.send(named("1"))
	s.until("sight", func() bool { p, ok := s.m.page.(aimPage); return ok && p.view.Sight.W > 0 })
}

// line is the digit of a line of the start page.
func (s *studio) line(text string) string {
	for i, l := range choices(s.m) {
		if len(l.text) >= len(text) && l.text[:len(text)] == text {
			return string(rune('1' + i))
		}
	}
	s.t.Fatalf("no line %q", text)
	return ""
}

// mark points at every place that is asked for.
func (s *studio) mark(e *easel) {
	s.send(named("enter"))
	for {
		p, ok := s.m.page.(markPage)
		if !ok {
			return
		}
		m, cmd := p.mark(s.m, e.at(e.scene.Places()[p.proof.Next()]))
		s.m = m
		s.start(cmd)
	}
}

// The whole way on the screen: aim, mark, level, run, map; a pixel that is dark
// is on the map, in the findings and in the record.
func TestACameraProvesAPropOnTheScreen(t *testing.T) {
	e := &easel{moves: 1, change: func(place int, c patterns.Colour) patterns.Colour {
		if place == 19 {
			return patterns.Colour{}
		}
		return c
	}}
	s := studioOf(t, "porthole", e, termenv.Ascii)
	s.aimed()
	require.NotNil(t, s.out.last(t).Frames, "the prop is lit while the camera is aimed")
	require.Contains(t, s.text(), "camera pixels between neighbours: good")
	s.mark(e)
	s.until("map", func() bool { return on[mapPage](s.m) })
	require.Nil(t, s.out.last(t).Frames, "dark at the end")
	require.Contains(t, s.text(), "143 of 144 places are as planned")
	require.Contains(t, s.text(), "inner ring, place 20: dark")
	s.until("record", func() bool { return s.m.rec.done != "" })
	h, err := record.Beside(s.m.bench.path).Read("Porthole")
	require.NoError(t, err)
	require.Len(t, h.Entries, 1)
	require.Equal(t, record.Fail, h.Entries[0].Verdict)
	require.Equal(t, 143, h.Entries[0].Camera.Right)
	s.send(named("1"))
	require.IsType(t, findingPage{}, s.m.page)
	require.Contains(t, s.findings(), `Pixel 20 of run "inner ring"`)
	require.True(t, e.closed.Load() || s.waits(e), "the camera is closed when its pages are left")
}

// waits gives the camera a moment to be closed.
func (s *studio) waits(e *easel) bool {
	for range 100 {
		if e.closed.Load() {
			return true
		}
		time.Sleep(10 * time.Millisecond)
	}
	return false
}

// A sound prop is signed off by its map.
func TestASoundPropIsSignedOffByItsMap(t *testing.T) {
	e := &easel{}
	s := studioOf(t, "porthole", e, termenv.Ascii)
	s.aimed()
	s.mark(e)
	s.until("map", func() bool { return on[mapPage](s.m) })
	require.Contains(t, s.text(), "All 144 places were read and are as planned.")
}

// A place that was not read is named, on the map, in the finding and in the
// record; nobody says that nothing is wrong, and its run can be asked about.
func TestAPlaceThatWasNotReadIsNoProof(t *testing.T) {
	e := &easel{change: func(place int, c patterns.Colour) patterns.Colour {
		if place == 19 && !c.Dark() {
			return patterns.Colour{R: 255, G: 255, B: 255}
		}
		return c
	}}
	s := studioOf(t, "porthole", e, termenv.Ascii)
	s.aimed()
	s.mark(e)
	s.until("map", func() bool { return on[mapPage](s.m) })
	s.until("record", func() bool { return s.m.rec.done != "" })
	says := `What was read is as planned, but pixel 20 of run "inner ring" was not read`
	require.Contains(t, s.text(), "Not read: 1 of 144 places")
	h, err := record.Beside(s.m.bench.path).Read("Porthole")
	require.NoError(t, err)
	require.Equal(t, record.Stopped, h.Entries[0].Verdict)
	require.Contains(t, h.Entries[0].Findings[0].Text, says)
	require.NotEqual(t, "good", h.Entries[0].Findings[0].Kind)
	s.send(named("3"))
	require.Contains(t, s.findings(), says)
	require.NotContains(t, s.text(), "othing is wrong")

	s = studioOf(t, "porthole", e, termenv.Ascii)
	s.aimed()
	s.mark(e)
	s.until("map", func() bool { return on[mapPage](s.m) })
	require.Contains(t, s.text(), "Ask about inner ring, where places were not read")
	s.send(named("2"))
	s.until("question", func() bool { return on[questionPage](s.m) && s.m.st.more })
	require.Equal(t, "inner ring", s.m.st.Part.Name)
}

// Where the camera cannot, one sentence says so and asking goes on.
func TestAskingGoesOnWhereACameraCannot(t *testing.T) {
	s := studioOf(t, "porthole", nil, termenv.Ascii)
	s.send(named(s.line("Prove every pixel")))
	s.until("list of cameras", func() bool { p, ok := s.m.page.(sourcePage); return ok && p.known })
	s.send(named("1"))
	s.until("trouble", func() bool { return on[lostPage](s.m) })
	require.Contains(t, s.text(), "The camera 0 is in use by another program: close that one.")
	s.send(named("1"))
	s.until("question", func() bool { return on[questionPage](s.m) && s.m.st.more })

	e := &easel{dead: true}
	s = studioOf(t, "porthole", e, termenv.Ascii)
	s.aimed()
	s.mark(e)
	s.until("trouble", func() bool { return on[lostPage](s.m) })
	require.Contains(t, s.text(), "The pictures of the phone ended: start it again")
	require.True(t, s.waits(e))
}

// Another screen or esc closes the camera, and the prop goes dark.
func TestACameraIsOpenOnlyWhileItIsLookedAt(t *testing.T) {
	for _, leave := range []tea.Msg{named("esc"), screen.LeaveMsg{}} {
		e := &easel{}
		s := studioOf(t, "porthole", e, termenv.Ascii)
		s.aimed()
		s.send(leave)
		require.IsType(t, startPage{}, s.m.page)
		require.True(t, s.waits(e))
	}
}

// Pictures are kept where the builder says so, and read again they go the same
// steps without light on the prop.
func TestPicturesAreKeptFromTheScreen(t *testing.T) {
	e := &easel{}
	s := studioOf(t, "porthole", e, termenv.Ascii)
	folder := filepath.Join(t.TempDir(), "shots")
	listed := func() {
		s.send(named(s.line("Prove every pixel")))
		s.until("list of cameras", func() bool { p, ok := s.m.page.(sourcePage); return ok && p.known })
	}
	typed := func(text string) {
		for _, r := range text {
			s.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
		}
		s.send(named("enter"))
	}
	listed()
	s.send(named("4"))
	typed(folder)
	require.Equal(t, folder, s.m.page.(sourcePage).keep)
	s.send(named("1"))
	s.until("sight", func() bool { p, ok := s.m.page.(aimPage); return ok && p.view.Sight.W > 0 })
	s.mark(e)
	s.until("map", func() bool { return on[mapPage](s.m) })
	require.FileExists(t, filepath.Join(folder, "scene.json"))

	s = studioOf(t, "porthole", e, termenv.Ascii)
	s.m.opt.OpenEye = nil // as it is outside tests
	listed()
	s.send(named("4"))
	typed(folder)
	s.send(named("1"))
	s.until("refusal", func() bool { return on[lostPage](s.m) })
	require.Contains(t, s.text(), "already has pictures: name another one")
	s.send(named("3"))
	s.until("list of cameras", func() bool { p, ok := s.m.page.(sourcePage); return ok && p.known })
	s.send(named("3"))
	typed(folder)
	s.until("sight", func() bool { p, ok := s.m.page.(aimPage); return ok && p.view.Sight.W > 0 })
	require.Nil(t, s.out.last(t).Frames, "kept pictures need no light")
	s.send(named("enter"))
	s.until("map", func() bool { return on[mapPage](s.m) })
	require.Contains(t, s.text(), "All 144 places were read and are as planned.")
}

// The cursor moves a cell, zoom draws the picture nearer, a click marks.
func TestMarksByKeysAndMouse(t *testing.T) {
	e := &easel{}
	s := studioOf(t, "porthole", e, termenv.Ascii)
	s.aimed()
	s.send(named("enter"))
	p := s.m.page.(markPage)
	before := p.at
	s.send(named("right"))
	s.send(named("down"))
	p = s.m.page.(markPage)
	f := p.frame(s.m.size.Width, s.m.size.Height)
	require.InDelta(t, before.X+f.cell, p.at.X, 1e-9)
	require.InDelta(t, before.Y+2*f.cell, p.at.Y, 1e-9)
	s.send(named("z"))
	near := s.m.page.(markPage).frame(s.m.size.Width, s.m.size.Height)
	require.InDelta(t, f.cell/3, near.cell, 1e-9)
	s.send(named("z"))
	s.send(named("z"))
	want := e.at(e.scene.Places()[0])
	click := func() {
		f := s.m.page.(markPage).frame(s.m.size.Width, s.m.size.Height)
		x, y, ok := f.cellOf(want)
		require.True(t, ok)
		s.send(tea.MouseMsg{Action: tea.MouseActionPress, Button: tea.MouseButtonLeft, X: f.left + x, Y: f.top + y})
	}
	click()
	require.Empty(t, s.m.page.(markPage).proof.Marks, "a cell is as large as a pixel and more: the picture is drawn nearer first")
	require.Contains(t, s.text(), "now mark the pixel itself")
	click()
	p = s.m.page.(markPage)
	require.Len(t, p.proof.Marks, 1)
	require.InDelta(t, want.X, p.proof.Marks[0].At.X, 1.5, "set on the spot")
	require.InDelta(t, want.Y, p.proof.Marks[0].At.Y, 1.5)
	s.send(named("backspace"))
	require.Empty(t, s.m.page.(markPage).proof.Marks)
}

// The pages at their sizes, with and without colour.
func TestCameraPages(t *testing.T) {
	for _, row := range []struct {
		name          string
		width, height int
		depth         termenv.Profile
	}{{"80x24 no colour", 80, 21, termenv.Ascii}, {"120x40 true colour", 120, 37, termenv.TrueColor}, {"50x20 no colour", 50, 17, termenv.Ascii}, {"80x24 16 colours", 80, 21, termenv.ANSI}} {
		t.Run(row.name, func(t *testing.T) {
			e := &easel{change: func(place int, c patterns.Colour) patterns.Colour {
				if place == 19 {
					return patterns.Colour{}
				}
				return c
			}}
			s := studioOf(t, "porthole", e, row.depth)
			s.send(tea.WindowSizeMsg{Width: row.width, Height: row.height})
			page := func(name string) {
				t.Run(name, func(t *testing.T) { requirePage(t, s.m.View(row.width, row.height), row.width, row.height) })
				s.capture(name, row.depth, tea.WindowSizeMsg{Width: row.width, Height: row.height})
			}
			s.send(named(s.line("Prove every pixel")))
			s.until("list of cameras", func() bool { p, ok := s.m.page.(sourcePage); return ok && p.known })
			page("source")
			s.send(named("1"))
			s.until("sight", func() bool { p, ok := s.m.page.(aimPage); return ok && p.view.Sight.W > 0 && p.view.Number > 1 })
			page("aim")
			s.send(named("enter"))
			page("mark")
			s.m = s.m.lost(errors.New("the pictures of the phone ended: start it again"))
			page("lost")
			s = studioOf(t, "porthole", e, row.depth)
			s.send(tea.WindowSizeMsg{Width: row.width, Height: row.height})
			s.aimed()
			s.mark(e)
			s.until("run", func() bool { p, ok := s.m.page.(runPage); return ok && p.proof.Look == 6 })
			page("run")
			s.until("map", func() bool { return on[mapPage](s.m) })
			s.until("record", func() bool { return s.m.rec.done != "" })
			s.m.rec.done = filepath.Base(s.m.rec.done)
			page("map")
		})
	}
}
