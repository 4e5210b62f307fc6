package check

import (
	"context"
	"errors"
	"strings"
	"sync"

	tea "github.com/charmbracelet/bubbletea"

	proofs "example.org/ringout/internal/checkout/pictures"
	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/eyes/camera"
	"example.org/ringout/internal/eyes/steps"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/proving"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/underway"
)

// A rig is a camera that is open for the pages of a proof. It is shared by
// them and by the commands that wait for pictures; what a rig sends after
// another was opened is dropped.
type rig struct {
	name   string
	prop   *prop.Prop
	scene  *eyes.Scene
	eye    proving.Eye
	left   []string // what the camera sets by itself
	ctx    context.Context
	stop   context.CancelFunc
	events chan tea.Msg // of a proof that goes on in a command

	mu sync.Mutex // pictures are kept for one purpose at a time
}

func (r *rig) close() {
	r.stop()
	if r.eye != nil {
		go r.eye.Close() // which waits for the child process
	}
}

// A sighting is what the pages of a proof hand on to one another.
type sighting struct {
	rig     *rig
	proof   steps.Proof
	view    proving.View
	finding bool // the spots are being looked for
	lit     lamp
	at      eyes.Point // the cursor, in camera pixels
	zoom    int        // how many times nearer the picture is drawn
	weighed *proofs.Proof
}

// A lamp is what the prop shows for the camera.
type lamp struct {
	look  eyes.Look
	level float64
}

// A seer is a page of a proof by camera.
type seer interface {
	page
	sees() sighting
	with(s sighting) page
}

// seeing is what the pages of a proof have in common.
type seeing struct {
	still
	sighting
}

func (p seeing) sees() sighting { return p.sighting }

// shows is the look that the camera is to see.
func (p seeing) shows(Model) show.Want {
	if p.rig == nil || p.rig.scene == nil || p.lit.look.Kind == eyes.Black {
		return show.Want{}
	}
	return show.Want{Frames: proving.Frames(p.rig.scene, p.lit.look, p.rig.prop)}
}

func (p seeing) lift(Model) float64 { return p.lit.level }
func (p seeing) loses() bool        { return true }

// rigOf is the camera that a page holds open; nil for none.
func rigOf(p page) *rig {
	if s, ok := p.(seer); ok {
		return s.sees().rig
	}
	return nil
}

// letGo closes a camera that the page now shown does not hold.
func letGo(before *rig, p page) {
	if before != nil && rigOf(p) != before {
		before.close()
	}
}

// What commands of a proof come to.
type (
	openedMsg struct {
		rig *rig
		err error
	}
	viewMsg struct {
		rig  *rig
		view proving.View
		err  error
	}
	sightMsg struct {
		rig   *rig
		sight steps.Sight
		err   error
	}
	stepMsg struct {
		rig   *rig
		proof steps.Proof
	}
	lampMsg struct {
		rig *rig
		lamp
	}
	provedMsg struct {
		rig     *rig
		proof   steps.Proof
		weighed *proofs.Proof
		err     error
	}
)

// openEye opens a camera in a command.
func (m Model) openEye(name string) (Model, tea.Cmd) {
	p := m.bench.prop
	scene, err := eyes.SceneOf(p)
	if err != nil {
		m.note = sentence(err)
		return m, nil
	}
	r := &rig{name: name, prop: p, scene: scene, events: make(chan tea.Msg)}
	r.ctx, r.stop = context.WithCancel(context.Background())
	m = m.open(openingPage{seeing{sighting: sighting{rig: r}}})
	open := m.opt.OpenEye
	if open == nil {
		open = proving.Open
	}
	return m, func() tea.Msg {
		var err error
		r.eye, r.left, err = open(r.ctx, name, scene)
		if r.ctx.Err() != nil && r.eye != nil && err == nil {
			r.eye.Close()
		}
		return openedMsg{r, err}
	}
}

// seen takes what a command of a proof came to.
func (m Model) seen(msg tea.Msg) (Model, tea.Cmd) {
	p, ok := m.page.(seer)
	if !ok {
		return m, nil
	}
	s := p.sees()
	switch msg := msg.(type) {
	case openedMsg:
		if msg.rig == s.rig {
			return m.opened(s, msg.err)
		}
	case viewMsg:
		if msg.rig == s.rig {
			return m.viewed(p, msg)
		}
	case sightMsg:
		if msg.rig == s.rig {
			return m.sighted(p, msg), nil
		}
	case stepMsg:
		if msg.rig == s.rig {
			s.proof = msg.proof
			m.page = p.with(s)
			return m, heed(s.rig)
		}
	case lampMsg:
		if msg.rig == s.rig {
			return m.lampSet(p, msg.lamp), heed(s.rig)
		}
	case provedMsg:
		if msg.rig == s.rig {
			return m.proved(s, msg)
		}
	}
	return m, nil
}

// opened shows what the camera sees, or why it cannot be used.
func (m Model) opened(s sighting, err error) (Model, tea.Cmd) {
	if err != nil {
		return m.lost(err), nil
	}
	s.proof = steps.New(s.rig.scene, m.light.level, nil)
	s.lit = lamp{s.rig.scene.Looks[1], m.light.level}
	s.zoom = 1
	m = m.open(aimPage{seeing{sighting: s}})
	m.send()
	return m, watch(s.rig, s.view)
}

// watch waits for the next picture.
func watch(r *rig, v proving.View) tea.Cmd {
	return func() tea.Msg {
		v, err := proving.Watch(r.ctx, r.eye, v)
		return viewMsg{r, v, err}
	}
}

// spotsEvery is in how many pictures the spots are looked for once.
const spotsEvery = 6

// viewed shows a picture, and asks for the next one and from time to time for
// the spots in it.
func (m Model) viewed(p seer, msg viewMsg) (Model, tea.Cmd) {
	s := p.sees()
	switch {
	case s.rig.ctx.Err() != nil:
		return m, nil
	case msg.err != nil:
		return m.lost(msg.err), nil
	}
	msg.view.Sight = s.view.Sight
	s.view = msg.view
	cmds := []tea.Cmd{watch(s.rig, s.view)}
	if !s.finding && (s.view.Number%spotsEvery == 1 || s.view.Sight.W == 0) {
		s.finding = true
		cmds = append(cmds, spots(s.rig, s.view))
	}
	m.page = p.with(s)
	return m, tea.Batch(cmds...)
}

// spots looks for them.
func spots(r *rig, v proving.View) tea.Cmd {
	return func() tea.Msg {
		r.mu.Lock()
		defer r.mu.Unlock()
		sight, err := proving.Find(r.ctx, r.eye, r.scene, v)
		return sightMsg{r, sight, err}
	}
}

func (m Model) sighted(p seer, msg sightMsg) Model {
	s := p.sees()
	s.finding = false
	if msg.err == nil {
		s.view.Sight = msg.sight
		s.proof = s.proof.Aimed(msg.sight)
	}
	m.page = p.with(s)
	return m
}

// lampSet lights what the proof needs.
func (m Model) lampSet(p seer, l lamp) Model {
	s := p.sees()
	s.lit = l
	m.page, m.light.lift = p.with(s), l.level
	m = m.fresh()
	m.send()
	return m
}

// heed waits for what a proof that goes on says next.
func heed(r *rig) tea.Cmd {
	return func() tea.Msg {
		select {
		case msg := <-r.events:
			return msg
		case <-r.ctx.Done():
			return nil
		}
	}
}

// prove goes on from the level to the map, in a command.
func (m Model) prove(s sighting) (Model, tea.Cmd) {
	m = m.open(runPage{seeing{sighting: s}})
	r, p := s.rig, s.proof
	say := func(msg tea.Msg) {
		select {
		case r.events <- msg:
		case <-r.ctx.Done():
		}
	}
	job := &proving.Job{Eye: r.eye, Tell: func(p steps.Proof) { say(stepMsg{r, p}) },
		Lamp: func(_ context.Context, look eyes.Look, level float64) error {
			say(lampMsg{r, lamp{look, level}})
			return r.ctx.Err()
		}}
	return m, tea.Batch(heed(r), func() tea.Msg {
		r.mu.Lock()
		defer r.mu.Unlock()
		p, err := job.Prove(r.ctx, p)
		out := provedMsg{rig: r, proof: p, err: err}
		if err == nil && p.Step == steps.Map {
			out.weighed, out.err = proofs.Weigh(r.prop, p.Scened(), p.Result)
		}
		return out
	})
}

// proved shows the map, and records it.
func (m Model) proved(s sighting, msg provedMsg) (Model, tea.Cmd) {
	switch {
	case errors.Is(msg.err, context.Canceled):
		return m, nil
	case msg.err != nil:
		return m.lost(msg.err), nil
	case msg.proof.Step == steps.Stopped:
		return m.lost(msg.proof.Trouble), nil
	case msg.proof.Step == steps.Mark:
		return m.markMore(s, msg.proof)
	}
	s.proof, s.weighed, s.lit = msg.proof, msg.weighed, lamp{look: s.rig.scene.Looks[0]}
	m.st = stateOf(underway.CheckOut{Sub: m.bench.prop, Session: msg.weighed.Session, Text: m.desk.Text(), Doubt: strings.Join(msg.weighed.Against, " ")})
	m.past, m.turn, m.note = nil, 0, ""
	m = m.choose(underway.Part{}).open(mapPage{seeing: seeing{sighting: s}})
	m.send()
	return m.enter(m.desk.ProofEntry(msg.weighed, s.rig.name), record.Unfinished{Test: byCamera})
}

// markMore lights the prop again for marks that are wanted more.
func (m Model) markMore(s sighting, p steps.Proof) (Model, tea.Cmd) {
	s.proof, s.lit = p, lamp{s.rig.scene.Looks[1], p.Level}
	m = m.open(markPage{seeing{sighting: s}})
	m.send()
	return m, watch(s.rig, s.view)
}

// byCamera names a proof among what can be unfinished; none ever is.
const byCamera = "camera"

// lost says why the camera cannot be used.
func (m Model) lost(err error) Model {
	name := ""
	if r := rigOf(m.page); r != nil {
		name = r.name
	}
	m = m.open(lostPage{why: sentence(err), name: name})
	m.send()
	return m
}

// cameras are those of this machine.
func (m Model) cameras(ctx context.Context) ([]camera.Camera, error) {
	if m.opt.Cameras != nil {
		return m.opt.Cameras(ctx)
	}
	return camera.List(ctx)
}
