package check

import (
	"context"
	"errors"
	"math"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/eyes/camera"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/proving"
	"example.org/ringout/patterns"
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
	boards bool // the room shows more than noise
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
		if x, y := i/3%easelWide, i/3/easelWide; e.boards {
			pic.Pix[i] += uint16(900 * ((x/40 + y/30) % 3))
		}
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

// mapText is the whole text beside a map, without the map and scrolling.
func (s *studio) mapText() string {
	return strings.Join(strings.Fields(ansi.Strip(strings.Join(s.m.page.(mapPage).text(s.m, 100, 100), " "))), " ")
}
