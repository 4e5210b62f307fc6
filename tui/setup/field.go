package setup

import (
	"slices"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/tui/style"
)

// A field is one line of the form: text to type, or a choice to turn.
type field struct {
	label   string
	hint    string   // said below while the line is chosen
	choices []string // a choice when not empty; first may be "" shown as any
	text    []rune
	at      int // cursor, 0 to len(text)
	most    int // letters
}

func (f field) value() string { return string(f.text) }

// with is the field holding a text, cursor at its end.
func (f field) with(s string) field {
	f.text = []rune(s)
	f.at = len(f.text)
	return f
}

func (f field) choice() bool { return len(f.choices) > 0 }

// key edits the field.
func (f field) key(k tea.KeyMsg) field {
	if f.choice() {
		switch k.Type {
		case tea.KeyLeft:
			return f.turn(-1)
		case tea.KeyRight, tea.KeySpace:
			return f.turn(1)
		}
		return f
	}
	switch k.Type {
	case tea.KeyRunes, tea.KeySpace:
		return f.insert([]rune(style.Clean(string(k.Runes))))
	case tea.KeyBackspace:
		if f.at > 0 {
			f.text = slices.Delete(slices.Clone(f.text), f.at-1, f.at)
			f.at--
		}
	case tea.KeyDelete:
		if f.at < len(f.text) {
			f.text = slices.Delete(slices.Clone(f.text), f.at, f.at+1)
		}
	case tea.KeyCtrlU:
		f.text, f.at = nil, 0
	case tea.KeyLeft:
		f.at = max(0, f.at-1)
	case tea.KeyRight:
		f.at = min(len(f.text), f.at+1)
	case tea.KeyHome:
		f.at = 0
	case tea.KeyEnd:
		f.at = len(f.text)
	}
	return f
}

func (f field) insert(r []rune) field {
	r = r[:min(len(r), max(0, f.most-len(f.text)))]
	f.text = slices.Insert(slices.Clone(f.text), f.at, r...)
	f.at += len(r)
	return f
}

// turn takes the next choice; a text that is none of them starts at the first.
func (f field) turn(by int) field {
	i := slices.Index(f.choices, f.value())
	if i < 0 {
		return f.with(f.choices[0])
	}
	return f.with(f.choices[(i+by+len(f.choices))%len(f.choices)])
}

// view is the field's value, with a bar where typing goes when it is chosen.
func (f field) view(chosen bool, width int) string {
	s := f.value()
	if f.choice() {
		if s == "" {
			s = "any"
		}
		if chosen {
			return "‹ " + style.Clean(s) + " ›"
		}
		return "  " + style.Clean(s)
	}
	if !chosen {
		return "  " + s
	}
	from := max(0, f.at-(width-4)) // long names scroll
	return "  " + string(f.text[from:f.at]) + "▏" + string(f.text[f.at:])
}
