package record

import (
	"path/filepath"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/record"
	"example.org/ringout/tui/style"
)

// What a line being typed is for.
const (
	noteLine = iota
	elsewhereLine
	sheetLine
)

var lineNames = [...]string{"Note", "Record in the file", "Write the sheet to the file"}

// longest is the most letters of one line.
const longest = 2000

// typing is a line being typed. It is never changed in place.
type typing struct {
	what int
	text []rune
	at   int // cursor, 0 to len(text)
}

func line(what int, text string) *typing {
	r := []rune(text)
	return &typing{what, r, len(r)}
}

// key is the line after a key; keys it has no use for change nothing.
func (t typing) key(k tea.KeyMsg) typing {
	switch k.Type {
	case tea.KeyRunes, tea.KeySpace:
		if !k.Alt {
			return t.insert([]rune(style.Clean(strings.NewReplacer("\n", " ", "\t", " ").Replace(string(k.Runes)))))
		}
	case tea.KeyBackspace:
		if t.at > 0 {
			t.text = slices.Delete(slices.Clone(t.text), t.at-1, t.at)
			t.at--
		}
	case tea.KeyDelete:
		if t.at < len(t.text) {
			t.text = slices.Delete(slices.Clone(t.text), t.at, t.at+1)
		}
	case tea.KeyCtrlU:
		t.text, t.at = nil, 0
	case tea.KeyLeft:
		t.at = max(0, t.at-1)
	case tea.KeyRight:
		t.at = min(len(t.text), t.at+1)
	case tea.KeyHome, tea.KeyCtrlA:
		t.at = 0
	case tea.KeyEnd, tea.KeyCtrlE:
		t.at = len(t.text)
	}
	return t
}

func (t typing) insert(r []rune) typing {
	r = r[:max(0, min(len(r), longest-len(t.text)))]
	t.text = slices.Insert(slices.Clone(t.text), t.at, r...)
	t.at += len(r)
	return t
}

// view is the line with a bar where typing goes, broken to a width.
func (t typing) view(width int) []string {
	return style.Wrap(lineNames[t.what]+": "+string(t.text[:t.at])+"▏"+string(t.text[t.at:]), width)
}

// typed takes a key while a line is typed.
func (m Model) typed(k tea.KeyMsg) (Model, tea.Cmd) {
	switch k.Type {
	case tea.KeyEnter:
		return m.entered()
	case tea.KeyEsc:
		if m.typing.what == noteLine {
			m.draft = string(m.typing.text)
		}
		m.typing = nil
		return m.say("", false), nil
	}
	t := m.typing.key(k)
	m.typing = &t
	return m, nil
}

// entered takes the whole line.
func (m Model) entered() (Model, tea.Cmd) {
	t := m.typing
	text := strings.TrimSpace(string(t.text))
	if text == "" {
		return m.say("Type something first, or leave with esc.", true), nil
	}
	m.typing, m.note, m.bad = nil, "", false
	switch t.what {
	case elsewhereLine:
		return m.write(record.File{Path: text})
	case sheetLine:
		return m.writeSheet(text)
	}
	return m.record(text)
}

// askNote begins a note, or goes on with the one that was begun.
func (m Model) askNote() Model {
	m.typing = line(noteLine, m.draft)
	return m
}

// askElsewhere asks for another file for the notes that wait.
func (m Model) askElsewhere() Model {
	if len(m.pending) == 0 {
		return m.say("Nothing waits to be recorded.", true)
	}
	m.typing = line(elsewhereLine, m.offer(".bench.jsonl"))
	return m
}

// askSheet asks for a place for the sheet.
func (m Model) askSheet() Model {
	m.typing = line(sheetLine, m.offer(".sheet.html"))
	return m
}

// offer is a file in the folder that is offered when the prop's own will not do.
func (m Model) offer(ending string) string {
	return filepath.Join(m.opt.Home, record.FileName(m.prop.Name)+ending)
}
