package check

import (
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/record"
	"example.org/ringout/tui/entry"
)

// An entering is a line being typed: where to record, or a count. It is never
// changed in place.
type entering struct {
	what string
	line entry.Line
	kind lineKind
}

// A lineKind is what a line being typed is.
type lineKind uint8

const (
	pathLine lineKind = iota
	countLine
	voltsLine
)

// allowed are the letters of a line that is no path.
var allowed = map[lineKind]string{countLine: "0123456789", voltsLine: "0123456789.,-vV "}

// most are the bytes that a line takes.
var most = map[lineKind]int{pathLine: 500, countLine: 8, voltsLine: 8}

func enteringOf(what string, kind lineKind, text string) *entering {
	return &entering{what, entry.Of(text, most[kind]), kind}
}

// typed takes a key while a line is being typed.
func (m Model) typed(k tea.KeyMsg) (Model, tea.Cmd) {
	switch k.Type {
	case tea.KeyEsc:
		m.entering = nil
		return m, nil
	case tea.KeyEnter:
		return m.entered(strings.TrimSpace(m.entering.line.String()))
	}
	e := *m.entering
	if letters := allowed[e.kind]; letters != "" {
		k.Runes = []rune(strings.Map(func(r rune) rune {
			if strings.ContainsRune(letters, r) {
				return r
			}
			return -1
		}, string(k.Runes)))
	}
	e.line = e.line.Key(k)
	m.entering = &e
	return m, nil
}

// entered takes the whole line.
func (m Model) entered(text string) (Model, tea.Cmd) {
	kind := m.entering.kind
	if text == "" {
		m.note = "Type something first, or leave with esc."
		return m, nil
	}
	m.entering = nil
	switch kind {
	case pathLine:
		return m.write(record.File{Path: text})
	case voltsLine:
		return m.voltsTyped(text)
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 {
		m.note = "Give a count of 1 or more."
		return m, nil
	}
	return m.counted([]int{n}), nil
}

// voltsTyped takes a voltmeter reading, at the level that is in force.
func (m Model) voltsTyped(text string) (Model, tea.Cmd) {
	d, ok := m.drill.(*loadDrill)
	if !ok {
		return m, nil
	}
	level := m.lift
	if m.any && m.snap.Level > 0 && m.snap.Want.Level == m.lift { // of this step, not of the one before
		level = min(level, m.snap.Level)
	}
	m, cmd := m.drillOn(d.volts(text, level))
	m.send()
	return m, cmd
}
