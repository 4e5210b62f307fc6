package check

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/underway"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// startPage is the page before a check-out.
type startPage struct {
	basePage
	list choice
	sure string // the line that throws something away and was chosen once
}

func (startPage) traits(Model) traits { return traits{first: true} }

// A line is an item of the start page with its action.
type line struct {
	text string
	far  string                  // a short form, to be drawn large
	over *record.UnfinishedCheck // the check that it would throw away; nil for none
	do   func(Model) (Model, tea.Cmd)
}

// choices are the lines of the start page now.
func choices(m Model) []line {
	if m.bench.prop == nil {
		return nil
	}
	var out []line
	switch {
	case m.under() && m.st.absent != "":
		if len(m.st.asked)+len(m.past) > 0 {
			out = append(out, line{far: "Look again", text: fmt.Sprintf("Look for the prop again, %s so far", words.Count(len(m.st.asked), "answer")), do: lookAgain})
		}
	case m.under() && !m.st.over():
		out = append(out, line{far: "Go on", text: fmt.Sprintf("Go on with the check-out, %s so far", words.Count(len(m.st.asked), "answer")), do: goOn})
	case m.under():
		out = append(out, line{far: "Findings", text: "See the findings once more", do: seeFindings})
	}
	for _, u := range m.kept {
		if l, ok := unfinishedLine(m, u); ok {
			out = append(out, l)
		}
	}
	if m.bench.prop.Bulb() { // a bulb's own test comes first
		return append(append(out, tests(m)...), beginLine(m))
	}
	out = append(out, beginLine(m))
	if len(m.bench.prop.Sections()) > 0 {
		out = append(out, line{far: "One part", text: "Check one run or part alone", do: func(m Model) (Model, tea.Cmd) { return m.open(partsPage{}), nil }})
	}
	out = append(out, tests(m)...)
	if provable(m) {
		out = append(out, line{far: "Camera", text: "Prove every pixel by a camera", do: chooseCamera})
	}
	return out
}

// beginLine begins a check-out of the whole prop.
func beginLine(m Model) line {
	text, far := "Begin a check-out", "Check-out"
	if m.bench.prop.Bulb() {
		text, far = "Begin a check-out of the bulb: find what is wrong", "What is wrong"
	}
	return line{text: text, far: far, over: inMemory(m, underway.Part{}, ""),
		do: func(m Model) (Model, tea.Cmd) { return m.restart(underway.Part{}) }}
}

// tests are the single tests that the prop can have.
func tests(m Model) (out []line) {
	for _, o := range single.Offers(m.bench.prop) {
		far := o.Kind.Title()
		if o.Kind == single.Bulb {
			far = "What its slots do"
		}
		out = append(out, line{text: o.Text, far: far, over: inMemory(m, underway.Part{}, o.Kind), do: func(m Model) (Model, tea.Cmd) { return beginTest(m, o.Kind) }})
	}
	return out
}

// unfinishedLine is the line to resume an unfinished check; false for the one under way
// on this screen.
func unfinishedLine(m Model, u record.UnfinishedCheck) (line, bool) {
	since := fmt.Sprintf("%s, %s", words.Count(u.Answers(), "answer"), u.At.Format("2 January 15:04"))
	if u.Test != "" {
		return line{far: "Take up " + u.Test.Title(), text: fmt.Sprintf("Take up the unfinished %s: %s", strings.ToLower(u.Test.Title()), since), do: func(m Model) (Model, tea.Cmd) { return takeUpTest(m, u.Test) }}, true
	}
	pt, ok := underway.PartOf(m.bench.prop, u)
	if !ok || m.under() && m.st.more && u.Same(m.desk.Unfinished(m.st.CheckOut)) {
		return line{}, false
	}
	what := "Take up the unfinished check-out"
	if u.Alone {
		what += " of " + style.Clean(u.Run)
	}
	return line{far: "Take up", text: what + ": " + since, do: func(m Model) (Model, tea.Cmd) { return m.takeUp(pt) }}, true
}

// inMemory is the unfinished check of a part and a test that is only in memory and cannot
// be saved; nil for none.
func inMemory(m Model, pt underway.Part, test single.Kind) *record.UnfinishedCheck {
	if m.desk.File() != "" {
		return nil
	}
	i := slices.IndexFunc(m.kept, func(u record.UnfinishedCheck) bool {
		at, ok := underway.PartOf(m.bench.prop, u)
		return ok && at == pt && u.Test == test
	})
	if i < 0 {
		return nil
	}
	return &m.kept[i]
}

func goOn(m Model) (Model, tea.Cmd) {
	m = m.choose(m.st.Part).open(questionPage{list: none})
	m.send()
	return m, nil
}

// lookAgain continues the questions if the prop can be reached now, else it says why not.
func lookAgain(m Model) (Model, tea.Cmd) {
	m = m.choose(m.st.Part)
	net := m.network()
	return m.changeSession(func(s *checkout.Session) error {
		s.SetNetwork(net)
		return nil
	})
}

func seeFindings(m Model) (Model, tea.Cmd) {
	m = m.choose(m.st.Part)
	m.turn = 0
	return m.open(findingPage{}), nil
}

func (p startPage) press(m Model, k tea.KeyMsg) (Model, tea.Cmd, bool) {
	lines := choices(m)
	if at, ok := p.list.moved(m, k, len(lines)); ok {
		p.list, p.sure = at, ""
		m.page = p
		return m, nil, true
	}
	if key.Matches(k, m.keys.Record) && len(m.rec.pending) > 0 {
		return askWhere(m), nil, true
	}
	i, note, ok := p.list.picked(m, k, len(lines))
	if !ok {
		return m, nil, key.Matches(k, m.keys.Back, m.keys.Leave)
	}
	if m.note = note; i == none {
		return m, nil, true
	}
	m, cmd := p.take(m, i)
	return m, cmd, true
}

// take does the action of a line; one that throws answers away must be chosen twice.
func (p startPage) take(m Model, i int) (Model, tea.Cmd) {
	lines := choices(m)
	if i < 0 || i >= len(lines) {
		return m, nil
	}
	l := lines[i]
	if l.over != nil && p.sure != l.text {
		p.list, p.sure = choice(i), l.text
		m.page = p
		m.note = fmt.Sprintf("That throws the unfinished one away, with %s: take it up, or choose this again.", words.Count(l.over.Answers(), "answer"))
		return m, nil
	}
	return l.do(m)
}

func (p startPage) help(m Model) []key.Binding {
	if m.bench.prop == nil {
		return nil
	}
	keys := m.keys.choosing(len(choices(m)))
	if len(m.rec.pending) > 0 {
		keys = append(keys, screen.Hint(m.keys.Record, "w", "record"))
	}
	return keys
}

func (p startPage) lines(m Model, width, height int) ([]string, []zone) {
	if m.bench.prop == nil {
		return portrait.NoPropPage(m.style, width, height, "This page finds what is wrong with a prop, to the pixel and the joint."), nil
	}
	t := chooser{title: "Check-out", chosen: p.list,
		below: "It lights the prop at 20 % to begin with. Do not look into it; power off before you solder or cut. The mains side is for licensed people, by local codes."}
	for i, l := range choices(m) {
		t.items = append(t.items, item{digit: i + 1, text: l.text, far: l.far})
	}
	t.above = "One look, one answer, a few times over. At the end it says what is wrong, where, and what to do."
	if m.bench.prop.Bulb() {
		t.above = "One look, one answer, a few times over. At the end it says what is wrong, and what to do."
	}
	left := width
	if width >= 80 {
		left = max(min(width/2, mostLeft), min(t.widest(), width-leastSide-2*edge))
		if room := m.drawingBox().col - portrait.Gap; t.widest() <= room {
			left = min(room, mostLeft)
		}
	}
	wide := max(left, m.listBox().col-portrait.Gap) // large words may be wider than the list
	lines, zones := t.grown(m, left, height)
	large := m.lastLarge(wide, height-len(lines))
	if len(lines) > height || large == nil { // the cautions and the state are more important than the explanation
		t.above = ""
		lines, zones = t.grown(m, left, height)
		large = m.lastLarge(wide, height-len(lines))
	}
	if large == nil && len(lines) <= height { // use the empty row after the title too
		if large = m.lastLarge(wide, height-len(lines)+1); large != nil {
			lines, zones = slices.Delete(lines, 1, 2), down(zones, -1)
		}
	}
	if large == nil {
		if l, z, w := p.withLarge(m, t, left, height); w != nil {
			lines, zones, large = l, z, w
		}
	}
	lines = append(lines, large...)
	if len(lines) > height { // the cautions stay, in fewer words
		t.below = briefCautions
		lines, zones = t.lines(m, left, height)
	}
	if len(lines) > height {
		t.tight = true
		lines, zones = t.lines(m, left, height)
		lines, zones = shortList(lines, zones, int(p.list), height)
	}
	return m.besideText(m.bench.prop, lines, left), zones
}

// mostLeft is the most columns of a list and its text with a drawing at the right.
const mostLeft = 96

// briefCautions are the cautions of the start page in fewer words.
const briefCautions = "20 % at first. Do not look into it; power off before you solder or cut. Mains side: licensed people, by local codes."

// withLarge is the page with its large words where only brief cautions, or a list that scrolls,
// leave them room; nil where these would take the list.
func (p startPage) withLarge(m Model, t chooser, width, height int) (lines []string, zones []zone, large []string) {
	const least = 4 // rows of the list
	room := digits.Rows + 1
	t.below = briefCautions
	lines, zones = t.lines(m, width, height)
	if len(lines)+room > height && len(lines) > 1 && lines[1] == "" { // the empty row after the title too
		lines, zones = slices.Delete(lines, 1, 2), down(zones, -1)
	}
	if len(zones) == 0 || zones[len(zones)-1].y1-zones[0].y0-max(0, len(lines)+room-height) < least {
		return nil, nil, nil
	}
	lines, zones = shortList(lines, zones, int(p.list), height-room)
	return lines, zones, m.lastLarge(width, height-len(lines))
}

// farView is the lines with their keys.
func (startPage) farView(m Model) screen.FarView {
	if m.bench.prop == nil {
		return screen.FarView{Texts: []string{"No prop yet", "No prop"}}
	}
	var items []item
	for i, l := range choices(m) {
		items = append(items, item{digit: i + 1, text: l.text, far: l.far})
	}
	return screen.FarView{Texts: []string{"Check-out"}, Answers: farAnswers(items)}
}

// partsPage is the choice of a run or part.
type partsPage struct {
	basePage
	list choice
}

func (p partsPage) press(m Model, k tea.KeyMsg) (Model, tea.Cmd, bool) {
	parts := underway.Parts(m.bench.prop)
	if at, ok := p.list.moved(m, k, len(parts)); ok {
		p.list = at
		m.page = p
		return m, nil, true
	}
	i, note, ok := p.list.picked(m, k, len(parts))
	if m.note = note; !ok || i == none {
		return m, nil, ok
	}
	m, cmd := p.take(m, i)
	return m, cmd, true
}

func (p partsPage) take(m Model, i int) (Model, tea.Cmd) {
	return m.restart(underway.Parts(m.bench.prop)[i])
}

func (p partsPage) help(m Model) []key.Binding {
	return append(m.keys.choosing(len(underway.Parts(m.bench.prop))), screen.Hint(m.keys.Leave, "esc", "start"))
}

func (p partsPage) lines(m Model, width, height int) ([]string, []zone) {
	t := chooser{title: "Which part?", chosen: p.list, below: "A run that is not joined yet: power off, then connect its data alone to the output."}
	if m.bench.demo {
		t.below = "A run that is not joined yet is laid on the simulated bench alone; the others stay in the finished prop."
	}
	for i, pt := range underway.Parts(m.bench.prop) {
		digit := i + 1
		if digit > 9 {
			digit = none
		}
		t.items = append(t.items, item{digit: digit, text: style.Clean(pt.Text(m.bench.prop)), far: partWords(pt), name: partBrief(pt)})
	}
	b, ok := m.listBox().after(t.widest(), edge, width)
	if !ok || b.width < leastSide || m.bench.prop.Pixels() < 2 {
		return p.listed(m, t, width, height)
	}
	lines, zones := p.listed(m, t, b.col-edge, height)
	return style.Beside(lines, p.where(m, b.width, b.height), b.col-1), zones
}

// farView is the first nine lines.
func (partsPage) farView(m Model) screen.FarView {
	var items []item
	for i, pt := range underway.Parts(m.bench.prop) {
		if i < 9 {
			items = append(items, item{digit: i + 1, far: partWords(pt)})
		}
	}
	return screen.FarView{Texts: []string{"Which part?"}, Answers: farAnswers(items)}
}

// partWords is a short name of a part.
func partWords(pt underway.Part) string {
	if pt.Way == underway.Joined {
		return style.Clean(pt.Name) + " in place"
	}
	return style.Clean(pt.Name) + " not joined"
}

// partBrief tells a run alone on the bench from one in the finished prop in fewer words.
func partBrief(pt underway.Part) string {
	if run := pt.Run(); run >= 0 {
		return fmt.Sprintf("Run %d alone", run+1)
	}
	return "In the prop"
}

// listed is the list with large words.
func (p partsPage) listed(m Model, t chooser, width, height int) ([]string, []zone) {
	return largest(m.style, t.items, int(p.list), width, height, func(size int) ([]string, []zone) {
		t.size = size
		lines, zones := t.lines(m, width, height)
		if height-len(lines) == digits.Rows && p.list != none && size == 0 { // the row after the title makes room for large words
			lines, zones = slices.Delete(lines, 1, 2), down(zones, -1)
		}
		return inSight(lines, zones, int(p.list), height)
	})
}

// chosenSign is the sign of the pixels of a part that is chosen.
const chosenSign = "●"

// where draws the chosen part on the whole prop, with a caption. It is of the plan: only light and findings
// have a ground.
func (p partsPage) where(m Model, width, height int) []string {
	parts := underway.Parts(m.bench.prop)
	sc := m.scene()
	sc.sub, sc.style = m.bench.prop, m.style
	c := m.draw.part.at(sc, canvas.Planned(sc.sub), width, height-keyRows)
	rank := make([]uint8, sc.sub.Pixels())
	fill(rank, parts[max(0, int(p.list))].Span(sc.sub), sound)
	first, after := c.Used()
	m.draw.part.used = sc.signs(rank)
	m.draw.part.used[sound] = sc.style.AccentSign().Render(chosenSign)
	lines := c.Signs(rank, m.draw.part.used)[first:after]
	said, _ := legend{said: []canvas.Name{canvas.Named(chosenSign + " this one")}, sheet: &m.draw.part, drawn: lines}.lines(sc, width, keyRows)
	return style.Indent(canvas.Under(said, lines, height), 1)
}
