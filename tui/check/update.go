package check

import (
	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/screen"
)

// Update takes keys, what the show reports and what commands came to.
func (m Model) Update(msg tea.Msg) (screen.Screen, tea.Cmd) {
	m, cmd := m.update(msg)
	return m.layBench(), cmd
}

func (m Model) update(msg tea.Msg) (Model, tea.Cmd) {
	switch msg := msg.(type) {
	case screen.ReadyMsg:
		return m.ready(msg)
	case screen.SnapshotMsg:
		m.snap, m.any = msg, true
		m.meter = m.readMeter()
	case screen.LightMsg:
		m.look = strip.Look(msg)
	case screen.TrafficMsg:
		m.news = traffic.News(msg)
		if r := m.rival(); r != "" {
			m.met = r
		}
	case screen.EnterMsg:
		m.shown = true
		m = m.fresh()
		m.send()
	case screen.LeaveMsg:
		m.shown = false
	case screen.GoMsg:
		return m.askedToCount(msg), nil
	case tea.WindowSizeMsg:
		m.size = msg
	case stateMsg:
		return m.settled(msg)
	case keptMsg:
		if msg.path == m.keepPath() {
			m.kept = msg.kept
			if msg.err != nil {
				m.kept, m.note = kept{}, sentence(msg.err)
			}
		}
	case savedMsg:
		if msg.err != nil {
			m.note = "The answers so far are not on disk: " + sentence(msg.err)
		}
	case drilledMsg:
		return m.drilledNow(msg)
	case recordedMsg:
		return m.recorded(msg)
	case plannedMsg:
		return m.planned(msg), nil
	case takenMsg:
		return m.taken(msg)
	case tea.KeyMsg:
		return m.key(msg)
	case tea.MouseMsg:
		return m.mouse(msg)
	}
	return m, nil
}

// key answers one key and tells the show at once what it changed.
func (m Model) key(k tea.KeyMsg) (Model, tea.Cmd) {
	m.note = ""
	if m.entering != nil {
		return m.typed(k)
	}
	if m.prop == nil {
		return m, nil
	}
	m, cmd := m.pressed(k)
	m.send()
	return m, cmd
}

func (m Model) pressed(k tea.KeyMsg) (Model, tea.Cmd) {
	is := func(b key.Binding) bool { return key.Matches(k, b) }
	if answers := m.offered(); answers != nil {
		if key, ok := checkout.Pressed(answers, k.String()); ok {
			return m.take((key + len(answers)) % (len(answers) + 1)) // "not sure" comes last
		}
	}
	switch {
	case is(m.keys.Digit):
		return m.digit(int(k.Runes[0] - '0'))
	case is(m.keys.Up):
		return m.move(-1), nil
	case is(m.keys.Down):
		return m.move(1), nil
	case is(m.keys.PgUp):
		m.scroll = max(0, m.scroll-10)
	case is(m.keys.PgDown):
		m.scroll = m.bounded(m.scroll + 10)
	case is(m.keys.Take):
		return m.take(m.at)
	case is(m.keys.Back):
		return m.goBack()
	case is(m.keys.Leave):
		return m.leave(), nil
	case is(m.keys.View):
		return m.nextView(), nil
	case is(m.keys.Brighter):
		return m.turnLevel(1), nil
	case is(m.keys.Dimmer):
		return m.turnLevel(-1), nil
	case is(m.keys.Dark):
		m.dark = !m.dark
	default:
		return m.deed(is)
	}
	return m, nil
}

// deed is the keys that belong to one page each.
func (m Model) deed(is func(key.Binding) bool) (Model, tea.Cmd) {
	ended := m.page == findingPage && !m.busy && m.st.absent == ""
	switch {
	case is(m.keys.Change) && (m.page == questionPage || ended) && m.under() && !m.busy:
		if len(m.st.asked) == 0 {
			m.note = "Nothing has been answered yet."
			return m, nil
		}
		m.page, m.at = earlierPage, len(m.st.asked)-1
	case is(m.keys.Stop) && m.page == questionPage:
		return m.stop()
	case is(m.keys.Stop) && m.page == drillPage:
		return m.endDrill()
	case is(m.keys.Call) && ended && m.quicker() > 0:
		return m.beginCount(), nil
	case is(m.keys.Mended) && ended:
		return m.mendedNow()
	case is(m.keys.Plan) && (ended || m.page == countedPage || m.page == drilledPage):
		return m.takeOver()
	case is(m.keys.Record) && (ended || m.page == startPage || m.page == drilledPage):
		return m.askWhere(), nil
	case m.page == drillPage && m.anyDigit() && (is(m.keys.Number) || is(m.keys.Meter)):
		key := "n"
		if is(m.keys.Meter) {
			key = "t"
		}
		return m.takeLoad(m.drill.(*loadDrill), key)
	case is(m.keys.Number) && m.page == countPage:
		m.entering = enteringOf("How many pixels light?", countLine, "")
	}
	return m, nil
}

// turnLevel changes the level, of this one probe when it has its own.
func (m Model) turnLevel(by int) Model {
	if m.lift > 0 {
		m.lift = patterns.NextLevel(m.lift, by)
	} else {
		m.level = patterns.NextLevel(m.level, by)
	}
	return m
}

// nextView shows the next drawing first; in a roll call, other colours.
func (m Model) nextView() Model {
	if m.page == countPage {
		return m.otherPalette()
	}
	m.turn = (m.turn + 1) % 6 // a whole number of turns for two and for three
	return m
}

// items is how many lines there are to choose from on this page.
func (m Model) items() int {
	switch m.page {
	case startPage:
		return len(m.choices())
	case runsPage:
		return m.parts()
	case questionPage:
		return len(m.query().items)
	case countPage:
		return len(m.countQuery().items)
	case earlierPage:
		return len(m.st.asked)
	case changePage:
		return len(m.changeItems())
	case drillPage:
		q, _ := m.drill.query(m)
		return len(q.items)
	}
	return 0
}

// move chooses another line, or scrolls a page of text.
func (m Model) move(by int) Model {
	n := m.items()
	if n == 0 {
		m.scroll = m.bounded(m.scroll + by)
		return m
	}
	if m.at == none && by < 0 {
		m.at = 0
	}
	m.at = (m.at + by + n) % n
	return m
}

// bounded keeps a page of text from being scrolled away.
func (m Model) bounded(at int) int {
	width, height := m.size.Width, m.size.Height
	lines := 0
	switch m.page {
	case findingPage:
		height -= len(m.foot(width))
		width, _ = m.findingRoom(width, height)
		lines = len(m.findingText(width, height))
	case planPage:
		lines = len(m.plan.diff) + 2
	case drilledPage:
		height -= len(m.foot(width))
		if side := m.placedSide(width, height); side > 0 {
			width -= side + 2
		}
		lines = len(m.drilledText(width, height))
	}
	return max(0, min(at, lines-height))
}

// anyDigit reports whether every digit may begin a reading.
func (m Model) anyDigit() bool {
	_, load := m.drill.(*loadDrill)
	return load
}

// digit takes the line with this digit.
func (m Model) digit(d int) (Model, tea.Cmd) {
	n := m.items()
	switch {
	case m.page == drillPage && m.anyDigit():
		return m.answerDrill(d)
	case m.offered() != nil:
		m.note = "There is no such answer here."
		return m, nil
	case m.page == drillPage || m.page == countPage && !m.call.marking():
		if d == 0 {
			return m.take(n - 1)
		}
		if d >= n {
			m.note = "There is no such answer here."
			return m, nil
		}
	case d == 0 || d > n:
		if n > 0 {
			m.note = "There is no such line here."
		}
		return m, nil
	}
	return m.take(d - 1)
}

// offered are the answers of a question of the check-out; nil on other pages.
func (m Model) offered() []checkout.Answer {
	switch {
	case m.page == questionPage && m.st.more:
		return m.st.probe.Answers
	case m.page == changePage:
		return m.st.asked[m.change-1].Answers
	}
	return nil
}

// take does what the line stands for.
func (m Model) take(i int) (Model, tea.Cmd) {
	if m.page == planPage {
		return m.saveIt()
	}
	if i == none && m.items() > 0 {
		m.note = "Choose an answer first, by its digit or with ↑ ↓."
	}
	if i < 0 || i >= m.items() {
		return m, nil
	}
	switch m.page {
	case startPage:
		return m.choices()[i].do(m)
	case runsPage:
		return m.begin(i)
	case questionPage:
		if m.busy {
			return m, nil // the next question is not on the screen yet
		}
		return m.answer((i + 1) % m.items())
	case countPage:
		if m.call.marking() {
			return m.answerCount(i + 1)
		}
		return m.answerCount((i + 1) % m.items())
	case drillPage:
		if l, ok := m.drill.(*loadDrill); ok {
			q, _ := l.query(m)
			return m.takeLoad(l, q.items[i].key)
		}
		return m.answerDrill((i + 1) % m.items())
	case earlierPage:
		m.page, m.change, m.at = changePage, m.st.asked[i].ID, m.st.asked[i].Given
		if m.at == 0 {
			m.at = m.items()
		}
		m.at--
	case changePage:
		return m.amend(m.change, (i+1)%m.items())
	}
	return m, nil
}

// goBack undoes the last step of this page.
func (m Model) goBack() (Model, tea.Cmd) {
	switch m.page {
	case questionPage:
		if !m.under() {
			return m.leave(), nil
		}
		return m.back()
	case findingPage:
		if m.st.absent != "" && len(m.past) == 0 {
			return m.leave(), nil
		}
		if m.st.left && m.st.more { // it was ended early: go on where it was
			m.st.left = false
			return m.goOn()
		}
		return m.back()
	case countPage:
		return m.backCount(), nil
	case drillPage:
		return m.backDrill(), nil
	}
	return m.leave(), nil
}

// leave goes one page up. A check-out under way can be gone on with.
func (m Model) leave() Model {
	switch m.page {
	case earlierPage:
		m = m.origin()
	case changePage:
		m.page, m.at = earlierPage, m.change-1
	case planPage:
		m.page, m.scroll = m.plan.from, 0
	default:
		m.page, m.at, m.scroll, m.lift = startPage, 0, 0, 0
		if m.busy && !m.under() {
			m.job++ // what was being prepared is not wanted any more
			m.busy = false
		}
		m = m.fresh()
	}
	return m
}

// origin is the page the check-out stands on.
func (m Model) origin() Model {
	m.page, m.at, m.scroll = questionPage, none, 0
	if m.st.over() {
		m.page = findingPage
	}
	return m
}

// mouse chooses a line by a click and scrolls by the wheel.
func (m Model) mouse(e tea.MouseMsg) (Model, tea.Cmd) {
	if e.Action != tea.MouseActionPress || m.entering != nil || m.prop == nil {
		return m, nil
	}
	m.note = ""
	var cmd tea.Cmd
	switch e.Button {
	case tea.MouseButtonWheelDown:
		m = m.move(1)
	case tea.MouseButtonWheelUp:
		m = m.move(-1)
	case tea.MouseButtonLeft:
		_, zones := m.laid(m.size.Width, m.size.Height)
		for _, z := range zones {
			if e.X >= z.x0 && e.X < z.x1 && e.Y >= z.y0 && e.Y < z.y1 {
				m.at = z.item
				m, cmd = m.take(z.item)
				break
			}
		}
	}
	m.send()
	return m, cmd
}
