package setup

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/tui/entry"
	"example.org/ringout/tui/style"
)

// A field is one line of the form: text to type, or a choice.
type field struct {
	label   string
	hint    string   // said below while the line is chosen
	choices []string // a choice when not empty; first may be "" shown as any
	line    entry.Line
	most    int // bytes
}

func (f field) value() string { return f.line.String() }

// with is the field with a text and the cursor at its end.
func (f field) with(s string) field {
	f.line = entry.Of(s, f.most)
	return f
}

func (f field) choice() bool { return len(f.choices) > 0 }

// missing names the value of an empty field, for the middle of a sentence.
func (f field) missing() string {
	if f.label == "Sends as" {
		return "name"
	}
	return strings.ToLower(f.label)
}

// key edits the field.
func (f field) key(k tea.KeyMsg) field {
	switch {
	case !f.choice():
		f.line = f.line.Key(k)
	case k.Type == tea.KeyLeft:
		f.line = f.line.Turn(f.choices, -1)
	case k.Type == tea.KeyRight || k.Type == tea.KeySpace:
		f.line = f.line.Turn(f.choices, 1)
	}
	return f
}

// view is the field's value, with the cursor when it is chosen.
func (f field) view(chosen bool, width int) string {
	s := style.Clean(f.value())
	switch {
	case f.choice() && s == "" && chosen:
		return "‹ any ›"
	case f.choice() && s == "":
		return "  any"
	case f.choice() && chosen:
		return "‹ " + s + " ›"
	case !chosen:
		return "  " + s
	}
	return "  " + f.line.View(width-2)
}
