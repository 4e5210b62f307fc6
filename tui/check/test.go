package check

import (
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/checkout/bulb"
	"example.org/ringout/internal/checkout/joints"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/underway"
	"example.org/ringout/internal/words"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// testPage is a step of a single test. Only Update changes the trial.
type testPage struct {
	basePage
	list     choice
	trial    *underway.Trial
	readings []joints.PlannedReading // of a load test, the one to take now last
}

// trialMsg is a single test that was begun or resumed.
type trialMsg struct {
	job   int
	trial *underway.Trial
	note  string
	err   error
}

// beginTest begins a single test of the whole prop. A check-out under way can be resumed
// later, and the findings of one of the whole prop stay.
func beginTest(m Model, k single.Kind) (Model, tea.Cmd) {
	return startTest(m, func(d *underway.Desk, number int) (*underway.Trial, string, error) { return d.BeginTest(k, number) })
}

// takeUpTest resumes a kept test.
func takeUpTest(m Model, k single.Kind) (Model, tea.Cmd) {
	return startTest(m, func(d *underway.Desk, number int) (*underway.Trial, string, error) {
		t, note, err := d.TakeUpTest(k, number)
		if err == nil && len(t.Replies) > 0 {
			note = "" // the page that led here has said which
		}
		return t, note, err
	})
}

func beginCount(m Model) (Model, tea.Cmd) { return beginTest(m, single.Count) }

func startTest(m Model, do func(*underway.Desk, int) (*underway.Trial, string, error)) (Model, tea.Cmd) {
	if m.work.busy {
		return m, nil
	}
	if m.st.Part.Way != underway.Whole || !m.st.over() {
		m.st, m.past = state{}, nil // what was answered is kept
	}
	m = m.choose(underway.Part{})
	m.work.job, m.work.busy = m.work.job+1, true
	m.work.save++
	desk, job, number, proof := m.desk, m.work.job, m.work.save, m.st.proof
	return m, func() tea.Msg {
		t, note, err := do(desk, number)
		if err == nil {
			t.Proof = proof
		}
		return trialMsg{job, t, note, err}
	}
}

// tested shows a test that has begun.
func tested(m Model, msg trialMsg) (Model, tea.Cmd) {
	if msg.job != m.work.job {
		return m, nil
	}
	m.work.busy = false
	if msg.err != nil {
		m.note = sentence(msg.err)
		return m, nil
	}
	m.note = msg.note
	m, cmd := showStep(m, msg.trial)
	m.send()
	return m, cmd
}

// showStep shows the step that a test is at, or its result.
func showStep(m Model, t *underway.Trial) (Model, tea.Cmd) {
	if _, more := t.Step(); !more {
		return conclude(m, t)
	}
	m.draw.open, m.demo.meter = sheet{}, meter{}
	return m.open(testPage{list: none, trial: t, readings: readingsOf(t)}), nil
}

func (p testPage) now() single.Step {
	s, _ := p.trial.Step()
	return s
}

func (p testPage) shows(Model) show.Want {
	s := p.now()
	return show.Want{Frames: s.Show, Ended: s.Ended}
}

func (p testPage) pictures(Model) pictures { return pictures{marks: p.now().Marks} }

func (p testPage) lift(Model) float64  { return p.now().Level }
func (p testPage) traits(Model) traits { return traits{loses: true} }

func (p testPage) press(m Model, k tea.KeyMsg) (Model, tea.Cmd, bool) {
	s := p.now()
	if at, ok := p.list.moved(m, k, len(p.query(m).items)); ok {
		p.list = at
		m.page = p
		return m, nil, true
	}
	if given, ok := s.Pressed(k.String()); ok {
		m, cmd := p.reply(m, single.Reply{Key: given})
		return m, cmd, true
	}
	is := func(b key.Binding) bool { return key.Matches(k, b) }
	switch {
	case is(m.keys.Digit) && s.Typed == single.VoltsLine:
		return p.typed(m, string(k.Runes)), nil, true
	case is(m.keys.Digit):
		m.note = "There is no such answer here."
		return m, nil, true
	case is(m.keys.Take) && p.list == none:
		m.note = "Choose an answer first, by its key or with ↑ ↓."
		return m, nil, true
	case is(m.keys.Take):
		m, cmd := p.take(m, int(p.list))
		return m, cmd, true
	}
	return p.otherKeys(m, k)
}

// otherKeys handles the keys of a test that are not answers; false for others.
func (p testPage) otherKeys(m Model, k tea.KeyMsg) (Model, tea.Cmd, bool) {
	s := p.now()
	is := func(b key.Binding) bool { return key.Matches(k, b) }
	switch {
	case is(m.keys.Number) && s.Typed != single.NoLine:
		return p.typed(m, ""), nil, true
	case is(m.keys.Meter) && s.Typed == single.VoltsLine:
		m, cmd := p.metered(m)
		return m, cmd, true
	case is(m.keys.Call) && s.Other != "":
		m, cmd := p.reply(m, single.Reply{Other: true})
		return m, cmd, true
	case is(m.keys.Stop):
		m, cmd := conclude(m, p.trial)
		return m, cmd, true
	}
	return m, nil, false
}

// typed opens the line for a reading or a count; begun is its first text.
func (p testPage) typed(m Model, begun string) Model {
	s := p.now()
	what := style.Clean(s.Question)
	if s.Typed == single.CountLine {
		what = "How many pixels light?"
	}
	return m.ask(what, testLines[s.Typed], begun, func(m Model, text string) (Model, tea.Cmd) { return p.line(m, text) })
}

// line uses a typed line; a reading is one at the level in force.
func (p testPage) line(m Model, text string) (Model, tea.Cmd) {
	level := m.light.lift
	if snap := m.bench.snap; m.bench.any && snap.Level > 0 && snap.Want.Level == m.light.lift { // the snapshot is of this step
		level = min(level, snap.Level)
	}
	return p.reply(m, single.Reply{Typed: text, Level: level})
}

// metered uses the reading of the demo's voltmeter.
func (p testPage) metered(m Model) (Model, tea.Cmd) {
	switch {
	case !m.bench.demo:
		m.note = "Only a simulated prop has a meter of its own: type what yours reads."
		return m, nil
	case !m.demo.meter.known:
		m.note = "The simulated meter is still being read."
		return m, nil
	}
	return p.line(m, m.demo.meter.text())
}

// reply gives the test an answer, and saves it.
func (p testPage) reply(m Model, r single.Reply) (Model, tea.Cmd) {
	if err := p.trial.Answer(r); err != nil {
		m = m.open(testPage{list: none, trial: p.trial, readings: p.readings})
		m.note = sentence(err)
		return m, nil
	}
	m, kept := m.save(m.desk.UnfinishedTest(p.trial))
	m, next := showStep(m, p.trial)
	return m, tea.Batch(kept, next)
}

// take does what an item is for.
func (p testPage) take(m Model, i int) (Model, tea.Cmd) {
	items := p.query(m).items
	if i < 0 || i >= len(items) {
		return m, nil
	}
	next, cmd, _ := p.press(m, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(items[i].press())})
	return next, cmd
}

func (p testPage) back(m Model) (Model, tea.Cmd) {
	if !p.trial.Undo() {
		m.note = "This is the first question."
		return m, nil
	}
	m, kept := m.save(m.desk.UnfinishedTest(p.trial))
	m, next := showStep(m, p.trial)
	return m, tea.Batch(kept, next)
}

// query is the content of the step's page.
func (p testPage) query(m Model) query {
	s := p.now()
	q := query{progress: s.Progress, large: s.Large, question: style.Clean(s.Question), hint: s.Hint, items: m.demo.items(m, p)}
	if hint := m.demo.hint(m, p); hint != "" {
		q.hint = hint
	} else if q.hint == "" && p.trial.Kind() == single.Flex {
		q.filling, q.hint = true, "watch all the light after the joint while you bend"
	}
	if small := !hasRoom(m.size.Width, m.size.Height); s.Brief != "" && small && (m.size.Width < narrow || s.Typed == single.VoltsLine) {
		q.question = s.Brief
	}
	if s.Other != "" {
		q.needed, q.hint = true, "`o` shows it "+s.Other+", `n` types a count"
		if m.size.Width < narrow { // in the row of the question
			q.hint = "`o` " + strings.TrimSuffix(s.Other, " colours") + ", `n` a count"
		}
	}
	q.typing = s.Typed != single.NoLine
	if s.Typed == single.VoltsLine {
		q.needed = true // the hint has the cautions
		text, far := "type the reading; a digit begins it too", "type the reading"
		if n := len(p.readings); n > 0 {
			planned := words.Volts(p.readings[n-1].Planned)
			text, far = "type the reading; the plan says "+planned, "type it, plan "+planned
			q.side = func(width, rows int) []string { return readingSide(m.style, p.readings, width, rows) }
		}
		q.items = append(q.items, item{key: "n", digit: none, text: text, far: far, brief: "type it"})
	}
	for _, a := range s.Answers {
		sign := ""
		switch {
		case a.Hue != "":
			sign = swatch(m.style, a.Hue.Colour(), m.scene().level)
		case a.Text == string(bulb.Cool):
			sign = swatch(m.style, patterns.Colour{C: 255}, m.scene().level)
		}
		q.items = append(q.items, item{digit: none, key: a.Press, text: a.Text, far: farTests[a.Text], brief: briefOf(a.Text), sign: sign, quiet: a.Key == 0})
	}
	q.items = level(q.items)
	return q
}

func (p testPage) lines(m Model, width, height int) ([]string, []zone) {
	return asking(m, p.query(m), int(p.list), width, height)
}

func (p testPage) help(m Model) []key.Binding {
	s := p.now()
	if s.Typed == single.VoltsLine {
		return append(p.around(m, p.readingKeys(m)), screen.Hint(m.keys.Dimmer, "-", "dimmer"))
	}
	answer := m.keys.answering(presses(p.query(m).items), m.size.Width)
	if s.Other != "" {
		return append(p.around(m, []key.Binding{answer}), screen.Hint(m.keys.Call, "o", "other colours"), screen.Hint(m.keys.Number, "n", "type a count"), screen.Hint(m.keys.Leave, "esc", "start"))
	}
	return append(p.around(m, []key.Binding{answer}), screen.Hint(m.keys.Brighter, "+", "brighter"))
}

// readingKeys are the keys of a reading: in a narrow window as one hint, since the page names them.
func (p testPage) readingKeys(m Model) []key.Binding {
	if m.size.Width < narrow {
		return []key.Binding{screen.Hint(m.keys.Digit, strings.Join(presses(p.query(m).items), " "), "answer")}
	}
	keys := []key.Binding{screen.Hint(m.keys.Number, "n", "type"), screen.Hint(m.keys.Skip, "s", "skip")}
	if m.bench.demo {
		keys = append([]key.Binding{screen.Hint(m.keys.Meter, "t", "take")}, keys...)
	}
	return keys
}

// around adds the keys of every step of a test. Where the drawing is not in sight its key comes
// first, as a narrow foot has few: the question speaks of pixels in it, and the answers have
// their keys before them.
func (p testPage) around(m Model, keys []key.Binding) []key.Binding {
	view, hidden := screen.Hint(m.keys.View, "v", "drawing"), m.eitherOr(p.query(m), m.size.Width, m.size.Height)
	if hidden {
		keys = append([]key.Binding{view}, keys...)
	}
	if len(p.trial.Replies) > 0 {
		keys = append(keys, screen.Hint(m.keys.Back, "←", "back"))
	}
	if m.turns() && !hidden {
		keys = append(keys, view)
	}
	return append(keys, screen.Hint(m.keys.Stop, "x", "end here"))
}
