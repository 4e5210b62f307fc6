package check

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/screen"
)

// stateMsg is what a piece of the engine's work came to.
type stateMsg struct {
	job  int
	st   state
	text string // prop file at the beginning; empty leaves it
	err  error
}

// work lets the engine think in a command. Only the newest counts.
func (m Model) work(do func() (*checkout.Session, error)) (Model, tea.Cmd) {
	m.job++
	m.busy = true
	job, sub := m.job, m.sub
	return m, func() tea.Msg {
		s, err := do()
		if err != nil {
			return stateMsg{job: job, err: err}
		}
		return stateMsg{job: job, st: stateOf(sub, s)}
	}
}

// stateOf asks the session all that the screen shows, so that it is not
// touched again.
func stateOf(p *prop.Prop, s *checkout.Session) state {
	st := state{session: s, stopped: s.Stopped(), asked: s.Asked(), open: s.Open(), log: s.Log()}
	st.probe, st.more = s.Next()
	st.suspects = suspects(p, s.Standing())
	st.findings = s.Findings()
	if _, absent := s.Heard().Absent(); absent {
		st.absent, st.remedy, st.findings = st.findings[0].Title, st.findings[0].Causes[0].Remedy, nil
	}
	return st
}

// begin starts a check-out of the whole prop, or of one run alone.
func (m Model) begin(part int) (Model, tea.Cmd) {
	m = m.setAside().choose(part)
	m.st, m.past, m.mended, m.page = state{}, nil, nil, questionPage
	m.met = m.rival()
	m.rec.done, m.rec.why = "", ""
	m, cmd := m.fresh().work(m.anew())
	return m, withText(cmd, m.path)
}

// choose sets what is checked.
func (m Model) choose(part int) Model {
	m.part, m.sub, m.first = -1, m.prop, 0
	if part >= 0 && part < m.parts() {
		m.part = part
		m.sub, m.first = subOf(m.prop, part)
	}
	m.draw = &drawings{}
	return m
}

// alone is a run as a prop of its own, the first on the wire, as it lies on
// the bench before it is joined to others.
func alone(p *prop.Prop, run int) *prop.Prop {
	q := *p
	q.Runs = []prop.Run{p.Runs[run]}
	q.Parts, q.Feeds = nil, nil
	return &q
}

// resume takes a kept check-out up again.
func (m Model) resume() (Model, tea.Cmd) {
	k := m.kept
	m = m.choose(partOf(k, m.prop))
	m.st, m.past, m.mended, m.page = state{}, nil, k.Mended, questionPage
	m.rec.done, m.rec.why = "", ""
	sub := m.sub
	m, cmd := m.fresh().work(func() (*checkout.Session, error) {
		return checkout.Restore(sub, checkout.Options{}, k.Log)
	})
	return m, withText(cmd, m.path)
}

// answer gives the answer with this key, and tells the engine what is known of
// the network by now.
func (m Model) answer(key int) (Model, tea.Cmd) {
	s, net := m.st.session, m.network()
	m.past = append(m.past[:len(m.past):len(m.past)], m.st)
	return m.work(func() (*checkout.Session, error) {
		c := s.Clone()
		c.Hear(net)
		if _, absent := net.Absent(); absent {
			return c, nil // an answer about a prop that is not there does not count
		}
		return c, c.Answer(key)
	})
}

// back takes the last answer back. While the engine still thinks about an
// answer, that one is dropped.
func (m Model) back() (Model, tea.Cmd) {
	s := m.st.session
	switch {
	case m.busy && !m.st.more:
		return m, nil // the check after a repair is being prepared
	case m.busy:
		m.job++
		m.busy = false
		m.note = "Taken back."
		m.past = m.past[:max(0, len(m.past)-1)]
		return m, nil
	case len(m.st.asked) == 0:
		m.note = "This is the first question."
		return m, nil
	case len(m.past) > 0:
		st := m.past[len(m.past)-1]
		m.past = m.past[:len(m.past)-1]
		m.job++
		return m.settled(stateMsg{job: m.job, st: st})
	}
	return m.work(func() (*checkout.Session, error) {
		c := s.Clone()
		c.Undo()
		return c, nil
	})
}

// amend gives another answer to an earlier question.
func (m Model) amend(id, key int) (Model, tea.Cmd) {
	s := m.st.session
	m.past = nil // they lead to the other answer
	return m.work(func() (*checkout.Session, error) {
		c := s.Clone()
		return c, c.Change(id, key)
	})
}

// mendedNow notes the findings as put right and checks the prop again.
func (m Model) mendedNow() (Model, tea.Cmd) {
	faults := 0
	for _, f := range m.st.findings {
		if !f.Good {
			faults++
		}
	}
	if faults == 0 {
		m.note = "Nothing was found that could be mended."
		return m, nil
	}
	before := len(m.mended)
	if m.st.findings[0].Sure.Firm() { // else nobody knows which it was
		m.mended = append(m.mended[:len(m.mended):len(m.mended)], mendOf(m.sub, m.st.findings[0], m.st.asked)...)
	}
	if m.demo && m.opt.Mend != nil && len(m.opt.Hidden) > 0 {
		return m.mendDemo(before)
	}
	m.page, m.past = questionPage, nil
	m.rec.done, m.rec.why = "", ""
	return m.work(m.anew())
}

// mendDemo takes the fault out of the simulated prop, if it is the one that was
// found. It comes back as another prop, see ready. before is how many repairs
// were noted before this one.
func (m Model) mendDemo(before int) (Model, tea.Cmd) {
	if !strings.HasPrefix(m.compare(), "Found") || m.elsewhere() {
		m.mended = m.mended[:before]
		m.note = "The simulated prop has another fault: what was found can't be mended on it."
		return m, nil
	}
	m.opt.Mend()
	m.opt.Hidden, m.again = nil, true
	return m, screen.Ask(screen.UseMsg{Prop: m.prop, Path: m.path})
}

// anew is a check-out without answers, which knows of the network what is known.
func (m Model) anew() func() (*checkout.Session, error) {
	sub, net := m.sub, m.network()
	return func() (*checkout.Session, error) {
		s, err := checkout.New(sub, checkout.Options{})
		if err == nil {
			s.Hear(net)
		}
		return s, err
	}
}

// settled takes what the engine came to.
func (m Model) settled(msg stateMsg) (Model, tea.Cmd) {
	if msg.job != m.job {
		return m, nil
	}
	m.busy = false
	if msg.text != "" {
		m.text = msg.text
	}
	if msg.err != nil {
		m.note = sentence(msg.err)
		if n := len(m.past); n > 0 && m.past[n-1].session == m.st.session {
			m.past = m.past[:n-1] // that answer did not count
		}
		if !m.under() {
			m.page, m.at = startPage, 0
		}
		return m, nil
	}
	m.st, m.at, m.scroll, m.lift = msg.st, none, 0, 0
	m.page = questionPage
	m = m.fresh()
	if m.st.more {
		if m.st.probe.Spec.Kind == checkout.AskFade {
			m.lift = m.st.probe.Level
		}
		m.send()
		return m, m.keep()
	}
	return m.ended()
}

// ended shows the findings and records them. A prop that is not there has none.
func (m Model) ended() (Model, tea.Cmd) {
	if m.st.absent != "" {
		m.page, m.at, m.scroll, m.lift, m.dark = findingPage, 0, 0, 0, false
		m.send()
		return m, nil
	}
	m.page, m.at, m.scroll, m.lift = findingPage, 0, 0, 0
	if m.keepPath() == "" {
		m.kept = kept{} // nothing else would forget it
	}
	m.dark, m.turn = false, 0
	m.send()
	return m.record()
}

// stop ends the check-out before the engine does.
func (m Model) stop() (Model, tea.Cmd) {
	if m.busy || !m.under() {
		return m, nil
	}
	if len(m.st.asked) == 0 {
		m.page, m.st, m.at = startPage, state{}, 0
		m = m.fresh()
		return m, nil
	}
	if _, absent := m.network().Absent(); absent {
		return m.answer(checkout.NotSure) // which does not count
	}
	m.st.left = true
	return m.fresh().ended()
}
