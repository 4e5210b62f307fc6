package check

import (
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/underway"
	"example.org/ringout/tui/screen"
)

// stateMsg is the result of a piece of the engine's work.
type stateMsg struct {
	job  int
	st   state
	note string // what was done with an earlier check-out
	err  error
}

// engine runs do in a command. Only the result of the newest command is used.
func (m Model) engine(do func() (underway.CheckOut, string, error)) (Model, tea.Cmd) {
	m.work.job, m.work.busy = m.work.job+1, true
	job := m.work.job
	return m, func() tea.Msg {
		c, note, err := do()
		if err != nil {
			return stateMsg{job: job, err: err}
		}
		return stateMsg{job: job, st: stateOf(c), note: note}
	}
}

// begin starts or resumes a check-out of a part, by do.
func (m Model) begin(pt underway.Part, do func(*underway.Desk, int) (underway.CheckOut, string, error)) (Model, tea.Cmd) {
	m = m.choose(pt)
	m.st, m.past, m.met, m.rec.done, m.rec.why = state{}, nil, underway.Rival(m.bench.news), "", ""
	m = m.open(questionPage{list: none})
	m.work.save++
	desk, net, number := m.desk, m.network(), m.work.save
	return m.engine(func() (underway.CheckOut, string, error) {
		c, note, err := do(desk, number)
		if err == nil {
			c.Session.SetNetwork(net)
		}
		return c, note, err
	})
}

// restart begins a check-out of a part.
func (m Model) restart(pt underway.Part) (Model, tea.Cmd) {
	return m.begin(pt, func(d *underway.Desk, number int) (underway.CheckOut, string, error) { return d.Begin(pt, number) })
}

// takeUp resumes a kept check-out.
func (m Model) takeUp(pt underway.Part) (Model, tea.Cmd) {
	return m.begin(pt, func(d *underway.Desk, number int) (underway.CheckOut, string, error) {
		c, note, err := d.TakeUp(pt, number)
		if err == nil && c.Session.Answered() > 0 {
			note = "" // the page that led here has said which
		}
		return c, note, err
	})
}

// changeSession changes a copy of the session by do, in a command.
func (m Model) changeSession(do func(*checkout.Session) error) (Model, tea.Cmd) {
	c := m.st.CheckOut
	return m.engine(func() (underway.CheckOut, string, error) {
		c.Session, c.Seen = c.Session.Clone(), nil
		return c, "", do(c.Session)
	})
}

// answer gives the engine the answer with this key and the state of the network. An
// answer about a prop that cannot be reached is not used.
func (m Model) answer(key int) (Model, tea.Cmd) {
	net := m.network()
	m.past = append(m.past[:len(m.past):len(m.past)], m.st)
	return m.changeSession(func(s *checkout.Session) error {
		s.SetNetwork(net)
		if _, absent := net.Absent(); absent {
			return nil
		}
		return s.Answer(key)
	})
}

// takeBack removes the last answer. While the engine still works on an answer, that one
// is removed.
func (m Model) takeBack() (Model, tea.Cmd) {
	switch {
	case m.work.busy && !m.st.more:
		return m, nil // the check after a repair is being prepared
	case m.work.busy:
		m.work.job, m.work.busy = m.work.job+1, false
		m.note = "Taken back."
		m.past = m.past[:max(0, len(m.past)-1)]
		return m, nil
	case len(m.past) > 0:
		st := m.past[len(m.past)-1]
		m.past = m.past[:len(m.past)-1]
		m.work.job++
		return m.showState(stateMsg{job: m.work.job, st: st})
	case len(m.st.asked) == 0:
		m.note = "This is the first question."
		return m, nil
	}
	return m.changeSession(func(s *checkout.Session) error {
		s.Undo()
		return nil
	})
}

// showState shows the result of an engine command.
func (m Model) showState(msg stateMsg) (Model, tea.Cmd) {
	if msg.job != m.work.job {
		return m, nil
	}
	m.work.busy = false
	if msg.err != nil {
		return m.failed(msg.err), nil
	}
	m.st = msg.st
	if msg.note != "" {
		m.note = msg.note
	}
	if m.st.more {
		m = m.open(questionPage{list: none})
		m.send()
		return m.keep()
	}
	return m.ended()
}

// failed shows why the engine failed.
func (m Model) failed(err error) Model {
	if n := len(m.past); n > 0 && m.past[n-1].Session == m.st.Session {
		m.past = m.past[:n-1] // that answer did not count
	}
	if !m.under() {
		m = m.open(startPage{})
	}
	m.note = sentence(err)
	return m
}

// ended shows the findings and records them; a prop that cannot be reached has none.
func (m Model) ended() (Model, tea.Cmd) {
	m.turn = 0
	m = m.open(findingPage{})
	m.send()
	if m.st.absent != "" {
		if len(m.st.asked) == 0 && len(m.past) == 0 {
			m.desk.Release() // nothing is under way
		}
		return m, nil
	}
	return m.enter(m.desk.Unfinished(m.st.CheckOut), m.desk.Entry(m.st.CheckOut, m.st.left))
}

// stop ends the check-out before the engine does.
func (m Model) stop() (Model, tea.Cmd) {
	switch {
	case m.work.busy || !m.under():
		return m, nil
	case len(m.st.asked) == 0:
		m.st = state{}
		m.desk.Release()
		return m.open(startPage{}), nil
	}
	if _, absent := m.network().Absent(); absent {
		return m.answer(checkout.NotSure) // which does not count
	}
	m.st.left = true
	return m.ended()
}

// mendedNow stores the findings as mended and checks the prop again.
func mendedNow(m Model) (Model, tea.Cmd) {
	c, faulty, err := m.st.Repaired()
	switch {
	case !faulty:
		m.note = "Nothing was found that could be mended."
		return m, nil
	case err != nil:
		m.note = sentence(err)
		return m, nil
	case m.bench.demo && m.opt.Mend != nil && len(m.demo.hidden) > 0:
		return mendDemo(m, c)
	}
	m.past, m.rec.done, m.rec.why = nil, "", ""
	m = m.open(questionPage{list: none})
	desk := m.desk
	return m.engine(func() (underway.CheckOut, string, error) { return c, "", desk.Claim() })
}

// mendDemo removes the fault from the simulated prop, if it is the one found. The prop is
// then connected again, see ready.
func mendDemo(m Model, c underway.CheckOut) (Model, tea.Cmd) {
	if s := secretOf(m); !s.compare().found || s.notInPart() {
		m.note = "The simulated prop has another fault: what was found can't be mended on it."
		return m, nil
	}
	m.opt.Mend()
	m.demo.hidden, m.demo.again, m.demo.mended, m.demo.part = nil, true, c.Mended, c.Part
	return m, screen.Ask(screen.UseMsg{Prop: m.bench.prop, Path: m.bench.path})
}

// keptMsg are the unfinished check-outs and tests of the prop.
type keptMsg struct {
	desk *underway.Desk
	kept []record.UnfinishedCheck
	look bool // it was looked for, nothing was saved
	err  error
}

// lookForKept reads the unfinished check-outs of the connected prop, in a command.
func lookForKept(m Model) tea.Cmd {
	desk := m.desk
	return func() tea.Msg {
		kept, err := desk.Kept()
		return keptMsg{desk, kept, true, err}
	}
}

func keptNow(m Model, msg keptMsg) Model {
	if msg.desk != m.desk {
		return m
	}
	switch {
	case msg.err == nil:
		m.kept = msg.kept
	case msg.look:
		m.kept, m.note = nil, sentence(msg.err)
	default:
		m.note = "The answers so far are not on disk: " + sentence(msg.err)
	}
	return m
}

// keep saves the check-out after each answer.
func (m Model) keep() (Model, tea.Cmd) {
	if len(m.st.asked) == 0 && len(m.st.Mended) == 0 {
		return m, nil
	}
	return m.save(m.desk.Unfinished(m.st.CheckOut))
}

// save keeps something unfinished.
func (m Model) save(u record.UnfinishedCheck) (Model, tea.Cmd) {
	m.work.save++
	desk, number := m.desk, m.work.save
	return m, func() tea.Msg {
		err := desk.Save(number, u)
		kept, _ := desk.Kept()
		return keptMsg{desk: desk, kept: kept, err: err}
	}
}
