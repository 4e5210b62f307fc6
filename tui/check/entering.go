package check

import (
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/record"
)

// An entering is a line being typed: where to record, or a count.
type entering struct {
	what string
	text []rune
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
var allowed = map[lineKind]string{countLine: "0123456789", voltsLine: "0123456789.,vV "}

// typed takes a key while a line is being typed. The line is changed in a copy.
func (m Model) typed(k tea.KeyMsg) (Model, tea.Cmd) {
	e := *m.entering
	e.text = append([]rune(nil), e.text...)
	m.entering = &e
	switch k.Type {
	case tea.KeyEsc:
		m.entering = nil
	case tea.KeyCtrlU:
		e.text = nil
	case tea.KeyBackspace:
		e.text = e.text[:max(0, len(e.text)-1)]
	case tea.KeySpace:
		e.add(' ')
	case tea.KeyRunes:
		for _, r := range k.Runes {
			e.add(r)
		}
	case tea.KeyEnter:
		return m.entered(strings.TrimSpace(string(e.text)))
	}
	return m, nil
}

// add appends a letter that belongs here.
func (e *entering) add(r rune) {
	if letters := allowed[e.kind]; letters != "" && (!strings.ContainsRune(letters, r) || len(e.text) >= 8) {
		return
	}
	if len(e.text) >= 500 || r < ' ' || r == 0x7f {
		return
	}
	e.text = append(e.text, r)
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
