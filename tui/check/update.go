package check

import (
	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/internal/underway"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/screen"
)

// Follow implements screen.Follower.
func (Model) Follow() {}

// Update handles keys, reports of the show and results of commands.
func (m Model) Update(msg tea.Msg) (screen.Screen, tea.Cmd) {
	held := rigOf(m.page)
	m, cmd := m.update(msg)
	closeUnused(held, m.page)
	return layBench(m), cmd
}

func (m Model) update(msg tea.Msg) (Model, tea.Cmd) {
	switch msg := msg.(type) {
	case screen.ReadyMsg:
		return m.ready(msg)
	case screen.SnapshotMsg:
		m.bench.snap, m.bench.any = msg, true
		m.demo.meter = m.page.voltmeter(m)
	case screen.LightMsg:
		m.bench.look = strip.Look(msg)
	case screen.TrafficMsg:
		m.bench.news = traffic.News(msg)
		if r := underway.Rival(m.bench.news); r != "" {
			m.met = r
		}
	case screen.EnterMsg:
		m.shown = true
		m = m.fresh()
		m.send()
	case screen.RecordedMsg:
		return m, lookForLast(m)
	case screen.LeaveMsg:
		m.shown = false
		if rigOf(m.page) != nil { // a camera is open only while its page is shown
			m = m.toStart()
		}
	case screen.PulseMsg:
		m.light.pulse = msg.Step
	case screen.GoMsg:
		return askedToCount(m, msg)
	case tea.WindowSizeMsg:
		m.size = msg
	case tea.KeyMsg:
		return m.key(msg)
	case tea.MouseMsg:
		return m.mouse(msg)
	default:
		return done(m, msg)
	}
	return m, nil
}

// done handles results of commands.
func done(m Model, msg tea.Msg) (Model, tea.Cmd) {
	switch msg := msg.(type) {
	case stateMsg:
		return m.showState(msg)
	case keptMsg:
		return keptNow(m, msg), nil
	case lastMsg:
		if msg.path == m.bench.path {
			m.last = msg.large
		}
	case trialMsg:
		return tested(m, msg)
	case resultMsg:
		return concluded(m, msg)
	case heldMsg:
		if m.rec.busy {
			m.rec.held = string(msg)
		}
	case recordedMsg:
		return m.recorded(msg)
	case plannedMsg:
		return planned(m, msg), nil
	case takenMsg:
		return taken(m, msg)
	case camerasMsg:
		return m.page.found(m, msg.all), nil
	case rigMsg:
		return m.rigResult(msg)
	}
	return m, nil
}

// key handles one key and sends the changed state to the show at once.
func (m Model) key(k tea.KeyMsg) (Model, tea.Cmd) {
	m.note = ""
	if m.bench.prop == nil {
		return m, nil
	}
	next, cmd, known := m.page.press(m, k)
	if !known {
		next, cmd = m.common(k)
	}
	next.send()
	return next, cmd
}

// common handles the keys that are the same on every page.
func (m Model) common(k tea.KeyMsg) (Model, tea.Cmd) {
	is := func(b key.Binding) bool { return key.Matches(k, b) }
	switch {
	case is(m.keys.Back):
		return m.page.back(m)
	case is(m.keys.Leave):
		return m.page.leave(m), nil
	case is(m.keys.View):
		m.turn = (m.turn + 1) % 6 // a whole number of turns for two and for three
	case is(m.keys.Brighter):
		return turnLevel(m, 1), nil
	case is(m.keys.Dimmer):
		return turnLevel(m, -1), nil
	case is(m.keys.Off) && m.page.shows(m).Frames != nil:
		m.light.off = !m.light.off
	}
	return m, nil
}

// turnLevel changes the level, or that of the step if it has its own.
func turnLevel(m Model, by int) Model {
	if m.light.lift > 0 {
		m.light.lift = patterns.NextLevel(m.light.lift, by)
	} else {
		m.light.level = patterns.NextLevel(m.light.level, by)
	}
	return m
}

// mouse chooses a line by a click and scrolls by the wheel.
func (m Model) mouse(e tea.MouseMsg) (Model, tea.Cmd) {
	if e.Action != tea.MouseActionPress || m.Typing() || m.bench.prop == nil {
		return m, nil
	}
	switch e.Button {
	case tea.MouseButtonWheelDown:
		return m.key(tea.KeyMsg{Type: tea.KeyDown})
	case tea.MouseButtonWheelUp:
		return m.key(tea.KeyMsg{Type: tea.KeyUp})
	case tea.MouseButtonLeft:
		return clicked(m, e.X, e.Y)
	}
	return m, nil
}

func clicked(m Model, x, y int) (Model, tea.Cmd) {
	m.note = ""
	_, zones := m.page.lines(m, m.size.Width, m.size.Height)
	for _, z := range zones {
		if x >= z.x0 && x < z.x1 && y >= z.y0 && y < z.y1 {
			m, cmd := m.page.take(m, z.item)
			m.send()
			return m, cmd
		}
	}
	return m, nil
}

// ready handles the connection of another prop.
func (m Model) ready(msg screen.ReadyMsg) (Model, tea.Cmd) {
	if m.desk != nil {
		m.desk.Release()
	}
	again := m.demo
	m.bench = benchState{prop: msg.Prop, path: msg.Path, out: msg.Out, demo: msg.Demo}
	m.desk = underway.NewDesk(underway.Options{Prop: msg.Prop, Path: msg.Path, Folder: keepFolder(m), Version: m.opt.Version, Now: m.opt.Now})
	m.work.job, m.work.busy = m.work.job+1, false // what the engine still thinks about belongs to the old prop
	m.last = nil
	m.st, m.past, m.kept, m.rec.done, m.rec.why = state{}, nil, nil, "", ""
	m.demo.again, m.demo.onBench, m.demo.meter = false, whole, meter{}
	m = m.choose(underway.Part{}).open(startPage{})
	m.send()
	if !again.again {
		return m, tea.Batch(lookForKept(m), lookForLast(m))
	}
	return m.begin(again.part, func(d *underway.Desk, number int) (underway.CheckOut, string, error) {
		c, note, err := d.Begin(again.part, number)
		c.Mended = again.mended
		return c, note, err
	})
}

// keepFolder is the folder for unfinished checks of props without a file; empty in the
// demo.
func keepFolder(m Model) string {
	if m.bench.demo {
		return ""
	}
	return m.opt.Folder
}

// choose sets the part that is checked.
func (m Model) choose(pt underway.Part) Model {
	m.of = subject{part: pt, sub: m.bench.prop}
	if sub, first, err := pt.Of(m.bench.prop); err == nil { // a part of a connected prop is one
		m.of.sub, m.of.first = sub, first
	}
	m.draw = &drawings{}
	return m
}

// askedToCount begins a roll call for another screen, unless a test or a typed text would
// be lost.
func askedToCount(m Model, msg screen.GoMsg) (Model, tea.Cmd) {
	switch {
	case !msg.Count || m.bench.prop == nil:
		return m, nil
	case m.work.busy || m.page.traits(m).loses:
		m.note = "Finish this first: the roll call begins from the start of this page."
		return m, nil
	}
	m.note = ""
	m, cmd := beginCount(m)
	m.send()
	return m, cmd
}
