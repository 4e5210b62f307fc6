package check

import (
	"context"
	"errors"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	proofs "example.org/ringout/internal/checkout/pictures"
	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/eyes/camera"
	"example.org/ringout/internal/eyes/steps"
	"example.org/ringout/internal/proving"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/underway"
)

// A proofState is the state that the pages of a proof share.
type proofState struct {
	rig     *rig
	proof   steps.Proof
	view    proving.View
	finding bool // a search for the spots is running
	lit     lamp
	at      eyes.Point // the cursor, in camera pixels
	zoom    int        // how many times nearer the picture is drawn
	weighed *proofs.Proof
}

// A lamp is the look that the prop shows for the camera.
type lamp struct {
	look  eyes.Look
	level float64
}

// A proofPage is a page of a proof by camera.
type proofPage interface {
	page
	sees() proofState
	with(s proofState) page
}

// proofBase has the methods that the pages of a proof share.
type proofBase struct {
	basePage
	proofState
}

func (p proofBase) sees() proofState { return p.proofState }

// shows is the look that the camera is to see.
func (p proofBase) shows(Model) show.Want {
	if p.rig == nil || p.rig.Scene == nil || p.lit.look.Kind == eyes.Black {
		return show.Want{}
	}
	return show.Want{Frames: proving.Frames(p.rig.Scene, p.lit.look, p.rig.prop)}
}

func (p proofBase) lift(Model) float64  { return p.lit.level }
func (p proofBase) traits(Model) traits { return traits{loses: true} }

// A rigMsg is the result of a command of a proof, one of those below.
type rigMsg struct {
	rig    *rig
	result any
}

// The results of the commands of a proof.
type (
	openedMsg struct {
		camera proving.Camera
		err    error
	}
	viewMsg struct {
		view proving.View
		err  error
	}
	sightMsg struct {
		sight steps.Sight
		err   error
	}
	stepMsg struct {
		proof steps.Proof
	}
	lampMsg struct {
		lamp lamp
	}
	storedMsg struct {
		err error
	}
	provedMsg struct {
		proof   steps.Proof
		weighed *proofs.Proof
		err     error
	}
)

// openEye opens a camera in a command. before is an earlier result to which its
// pictures add; nil for none.
func (m Model) openEye(name, keep string, before *eyes.Result) (Model, tea.Cmd) {
	r := &rig{name: name, keep: keep, before: before, prop: m.bench.prop, events: make(chan rigMsg)}
	if source, err := camera.Find(name); err == nil {
		r.reads = source.Past()
	}
	r.ctx, r.stop = context.WithCancel(context.Background())
	m = m.open(openingPage{proofBase{proofState: proofState{rig: r}}})
	open := m.opt.OpenEye
	if open == nil {
		open = proving.Open
	}
	return m, func() tea.Msg {
		if keep != "" {
			if err := camera.MayKeep(keep); err != nil {
				return rigMsg{r, openedMsg{err: err}}
			}
		}
		c, err := open(r.ctx, name, r.prop)
		if r.ctx.Err() != nil && c.Eye != nil {
			c.Close()
		}
		return rigMsg{r, openedMsg{c, err}}
	}
}

// rigResult handles the result of a command of a proof.
func (m Model) rigResult(msg rigMsg) (Model, tea.Cmd) {
	p := m.page.byCamera()
	if p == nil || msg.rig != p.sees().rig {
		return m, nil
	}
	s := p.sees()
	switch msg := msg.result.(type) {
	case openedMsg:
		s.rig.Camera = msg.camera
		return m.showOpened(s, msg.err)
	case viewMsg:
		return m.viewed(p, msg)
	case sightMsg:
		return m.sighted(p, msg), nil
	case stepMsg:
		s.proof = msg.proof
		m.page = p.with(s)
		return m, awaitEvent(s.rig)
	case lampMsg:
		return m.lampSet(p, msg.lamp), awaitEvent(s.rig)
	case storedMsg:
		if m.note = "The pictures are kept in " + s.rig.keep + "."; msg.err != nil {
			m.note = "The pictures are not kept: " + sentence(msg.err)
		}
		return m, awaitEvent(s.rig)
	case provedMsg:
		return m.proved(s, msg)
	}
	return m, nil
}

// showOpened shows the camera's picture, or why it cannot be used.
func (m Model) showOpened(s proofState, err error) (Model, tea.Cmd) {
	if err != nil {
		return m.lost(err), nil
	}
	if s.proof = s.rig.Proof(m.light.level, nil); s.rig.before != nil && len(s.rig.before.Places) == len(s.rig.Scene.Places()) {
		s.proof = s.proof.Adding(s.rig.before)
	}
	s.lit = s.rig.first(m.light.level)
	s.zoom = 1
	m = m.open(aimPage{proofBase{proofState: s}})
	m.send()
	return m, watch(s.rig, s.view)
}

// first is the lamp while places are marked: the first lit look, or dark for a film of
// a sequence that was shown before.
func (r *rig) first(level float64) lamp {
	if r.Past {
		return lamp{look: r.Scene.Looks[0]}
	}
	return lamp{r.Scene.Looks[1], level}
}

// watch waits for the next picture.
func watch(r *rig, v proving.View) tea.Cmd {
	return func() tea.Msg {
		v, err := proving.Watch(r.ctx, r.Eye, v)
		return rigMsg{r, viewMsg{v, err}}
	}
}

// spotsEvery is the number of pictures for each search for spots.
const spotsEvery = 6

// viewed shows a picture, waits for the next one, and every spotsEvery pictures starts
// a search for spots.
func (m Model) viewed(p proofPage, msg viewMsg) (Model, tea.Cmd) {
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

// spots searches a picture for spots, in a command.
func spots(r *rig, v proving.View) tea.Cmd {
	return func() tea.Msg {
		r.mu.Lock()
		defer r.mu.Unlock()
		sight, err := proving.Find(r.ctx, r.Eye, r.Scene, v)
		return rigMsg{r, sightMsg{sight, err}}
	}
}

func (m Model) sighted(p proofPage, msg sightMsg) Model {
	s := p.sees()
	s.finding = false
	if msg.err == nil {
		s.view.Sight = msg.sight
		s.proof = s.proof.Aimed(msg.sight)
	}
	m.page = p.with(s)
	return m
}

// lampSet changes what the prop shows for the proof.
func (m Model) lampSet(p proofPage, l lamp) Model {
	s := p.sees()
	s.lit = l
	m.page, m.light.lift = p.with(s), l.level
	m = m.fresh()
	m.send()
	return m
}

// awaitEvent waits for the next message of a proof that runs.
func awaitEvent(r *rig) tea.Cmd {
	return func() tea.Msg {
		select {
		case msg := <-r.events:
			return msg
		case <-r.ctx.Done():
			return nil
		}
	}
}

// prove does the steps from the level to the map, in a command.
func (m Model) prove(s proofState) (Model, tea.Cmd) {
	m = m.open(runPage{proofBase{proofState: s}})
	r, p, desk := s.rig, s.proof, m.desk
	say := func(result any) {
		select {
		case r.events <- rigMsg{r, result}:
		case <-r.ctx.Done():
		}
	}
	job := &proving.Job{Eye: r.Eye, Report: func(p steps.Proof) { say(stepMsg{p}) },
		Lamp: func(_ context.Context, look eyes.Look, level float64) error {
			say(lampMsg{lamp{look, level}})
			return r.ctx.Err()
		}}
	if r.keep != "" {
		job.Keep = func(scene *eyes.Scene, take camera.Take) { say(storedMsg{camera.Keep(r.keep, scene, take)}) }
	}
	return m, tea.Batch(awaitEvent(r), func() tea.Msg {
		r.mu.Lock()
		defer r.mu.Unlock()
		p, err := job.Prove(r.ctx, p)
		out := provedMsg{proof: p, err: err}
		if err == nil && p.Step == steps.Map {
			if out.weighed, out.err = proofs.Weigh(r.prop, p.Scened(), p.Result); out.err == nil {
				desk.Earlier(out.weighed)
			}
		}
		return rigMsg{r, out}
	})
}

// proved shows the map, and records it.
func (m Model) proved(s proofState, msg provedMsg) (Model, tea.Cmd) {
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
	s.proof, s.weighed, s.lit = msg.proof, msg.weighed, lamp{look: s.rig.Scene.Looks[0]}
	m.st = stateOf(underway.CheckOut{Sub: m.bench.prop, Session: msg.weighed.Session, Seen: msg.weighed.Findings, Text: m.desk.Text(), Doubt: strings.Join(msg.weighed.Against, " ")})
	m.st.proof, m.past, m.turn, m.note = msg.weighed, nil, 0, ""
	m = m.choose(underway.Part{}).open(mapPage{proofBase: proofBase{proofState: s}})
	m.send()
	msg.weighed.Source = camera.Shown(s.rig.name)
	return m.enter(record.UnfinishedCheck{Test: byCamera}, m.desk.ProofEntry(msg.weighed))
}

// markMore lights the prop again when more marks are needed.
func (m Model) markMore(s proofState, p steps.Proof) (Model, tea.Cmd) {
	s.proof, s.lit = p, s.rig.first(p.Level)
	m = m.open(markPage{proofBase{proofState: s}})
	m.send()
	return m, watch(s.rig, s.view)
}

// byCamera is the kind of a proof among kept tests; a proof is never kept unfinished.
const byCamera = "camera"

// lost says why the camera cannot be used.
func (m Model) lost(err error) Model {
	p := lostPage{why: sentence(err)}
	if r := rigOf(m.page); r != nil {
		p.name, p.keep = r.name, r.keep
	}
	m = m.open(p)
	m.send()
	return m
}

// cameras are the cameras of this machine.
func (m Model) cameras(ctx context.Context) ([]camera.Camera, error) {
	if m.opt.Cameras != nil {
		return m.opt.Cameras(ctx)
	}
	return camera.List(ctx)
}
