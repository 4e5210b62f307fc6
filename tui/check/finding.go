package check

import (
	"fmt"
	"slices"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/strip"
	"example.org/ringout/tui/screen"
)

// findingPage is the result of a check-out.
type findingPage struct {
	basePage
	scroll scroll
	off    bool // the prop does not point at its fault
	by     int  // pixels by which the pointing light was moved
}

func (p findingPage) press(m Model, k tea.KeyMsg) (Model, tea.Cmd, bool) {
	width, height := textRoom(m, true, m.st.verdict(m.of.sub))
	if at, ok := p.scroll.moved(m, k, len(p.text(m, width)), height); ok {
		p.scroll = at
		m.page = p
		return m, nil, true
	}
	if m.work.busy || m.st.absent != "" {
		return m, nil, false
	}
	is := func(b key.Binding) bool { return key.Matches(k, b) }
	switch {
	case is(m.keys.Change):
		return seeEarlier(m, p), nil, true
	case is(m.keys.Call) && quicker(m) > 0:
		m, cmd := beginCount(m)
		return m, cmd, true
	case is(m.keys.Take) && m.st.measurable():
		m, cmd := beginTest(m, single.Load)
		return m, cmd, true
	case is(m.keys.Mended):
		m, cmd := mendedNow(m)
		return m, cmd, true
	case is(m.keys.Plan):
		m, cmd := takeOver(m, m.st.AsBuilt())
		return m, cmd, true
	case is(m.keys.Record):
		return askWhere(m), nil, true
	case key.Matches(k, m.keys.Nearer, m.keys.Farther, m.keys.Off):
		m, ok := p.pointed(m, k)
		return m, nil, ok
	}
	return m, nil, false
}

func (p findingPage) back(m Model) (Model, tea.Cmd) {
	switch {
	case m.st.absent != "" && len(m.past) == 0:
		return m.toStart(), nil
	case m.st.left && m.st.more: // it was ended early: go on where it was
		m.st.left = false
		return goOn(m)
	}
	return m.takeBack()
}

func (p findingPage) help(m Model) []key.Binding {
	keys := []key.Binding{screen.Hint(m.keys.Back, "←", "back"), screen.Hint(m.keys.Leave, "esc", "start")}
	if m.st.absent != "" {
		return keys
	}
	found, why := len(m.st.findings) > 0 && !m.st.findings[0].Good, "-"
	if m.under() {
		why = m.st.AsBuilt().Why
	}
	if m.size.Width < narrow {
		keys = append(keys, screen.Hint(m.keys.View, "v", "where"))
	}
	if m.st.measurable() {
		keys = append(keys, screen.Hint(m.keys.Take, "enter", "load test"))
	}
	if found {
		keys = append(keys, screen.Hint(m.keys.Mended, "m", "I mended it"))
	}
	if why == "" {
		keys = append(keys, screen.Hint(m.keys.Plan, "p", "into the plan"))
	}
	switch {
	case m.st.points != nil && p.off:
		keys = append(keys, screen.Hint(m.keys.Off, "l", "light on"))
	case m.st.points != nil:
		keys = append(keys, screen.Hint(m.keys.Farther, "[ ]", "walk the light"), screen.Hint(m.keys.Off, "l", "light off"))
	}
	if len(m.rec.pending) > 0 {
		keys = append(keys, screen.Hint(m.keys.Record, "w", "record"))
	}
	if quicker(m) > 0 {
		keys = append(keys, screen.Hint(m.keys.Call, "o", "roll call"))
	}
	if len(m.st.asked) > 0 {
		keys = append(keys, screen.Hint(m.keys.Change, "e", "change"))
	}
	return m.scrolls(keys, true, m.st.verdict(m.of.sub), p.text)
}

func (p findingPage) lines(m Model, width, height int) ([]string, []zone) {
	pl := textBesideDrawing{large: m.st.verdict(m.of.sub), wrong: m.st.wrong(), right: m.st.right(), text: func(w int) *lineWriter { return p.written(m, w) }, scroll: p.scroll}
	if m.of.sub != nil && m.st.absent == "" {
		sc := m.scene()
		rank := sc.foundRanks()
		keys := m.named(rank)
		if p.off {
			keys = unlitNames(keys)
		}
		if p.walked(m, rank) {
			keys = append(keys, walkedKey)
		}
		pl.keys, pl.sheet = keys, &m.draw.found
		pl.draw = func(w, h int) []string { return sc.whereFound(rank, w, h) }
		if shown, ok := sc.placeless(rank); ok {
			pl.title, pl.keys, pl.sheet = shown.title, nil, &m.draw.shown
			pl.draw = func(w, h int) []string { return sc.showing(shown, w, h) }
		}
	}
	return pl.lines(m, width, height), nil
}

// quicker is the number of looks of a roll call, if a count may be wrong and the roll
// call is quicker than counting; else 0.
func quicker(m Model) int {
	for _, f := range m.st.findings {
		for _, c := range f.Causes {
			if slices.ContainsFunc(c.Faults, func(ft strip.Fault) bool { return strip.FactsOf(ft.Kind).Counted }) {
				return screen.QuickCall(m.bench.prop.Pixels())
			}
		}
	}
	return 0
}

// text is the findings in words.
func (p findingPage) text(m Model, width int) []string { return p.written(m, width).lines }

func (p findingPage) written(m Model, width int) *lineWriter {
	_, rows := textRoom(m, true, m.st.verdict(m.of.sub))
	t := &lineWriter{style: m.style, width: width, rows: rows, of: m.of.sub}
	if m.note != "" {
		t.say(edge, m.note, m.style.Strong.Render)
	}
	if m.st.left {
		t.say(edge, "You ended it early: this is what is known so far.", plain)
	}
	if m.st.points != nil && p.off {
		t.keyed(edge, "The light is off, `l` lights it again.")
		t.gap()
	}
	recount := ""
	if looks := quicker(m); looks > 0 {
		recount = fmt.Sprintf("`o` begins a roll call: %d pixels in %d looks.", m.bench.prop.Pixels(), looks)
	}
	t.outcome(m.st, recount, p.pointer(m))
	t.unsteady(m)
	t.hidden(m)
	if len(m.st.Mended) > 0 {
		t.head("Mended before")
		for _, f := range m.st.Mended {
			t.say(edge, f.Text, plain)
		}
	}
	t.because(m.st.asked)
	return t
}

// outcome writes the finding, with how to count again and how the prop points at it, or why
// there is none.
func (t *lineWriter) outcome(st state, recount, pointer string) {
	switch {
	case st.absent != "":
		t.say(edge, st.absent, t.style.Strong.Render)
		t.say(edge, st.remedy, plain)
		t.keyed(edge, "Nothing is said of a prop that no light reaches, and nothing is recorded. `←` goes back to the question once it is there.")
	case len(st.findings) == 0:
		t.say(edge, "No answer has told anything yet.", plain)
	case st.findings[0].Unknown != nil:
		t.unknown(st.findings)
	case !st.findings[0].Sure.Firm():
		t.shortList(st)
		if recount != "" {
			t.gap()
			t.keyed(edge, recount)
		}
	case st.findings[0].Good:
		t.sound(st)
	default:
		t.finding(st.findings[0], recount, pointer)
	}
}
