// Package entry is a line of text to type into: a value that is never changed in place,
// so that a copy can be read while the next key is handled. Positions count letters as
// people see them: a letter with its accents is one, and may be two cells wide.
//
// A library's text field was not used: it writes into text that older copies share, and
// shows its cursor only by reversed colours, which a terminal without colours lacks.
package entry

import (
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/tui/style"
)

// bar is the cursor.
const bar = "▏"

// A Line is a text with a cursor. The zero Line is empty and accepts no text.
type Line struct {
	before, after string // the cursor
	most          int    // largest number of bytes
}

// Of is a text of at most so many bytes, with the cursor at its end.
func Of(text string, most int) Line { return Line{before: text, most: most} }

// String is the text.
func (l Line) String() string { return l.before + l.after }

// Key is the line after a key; other keys change nothing.
func (l Line) Key(k tea.KeyMsg) Line {
	switch k.Type {
	case tea.KeyRunes, tea.KeySpace:
		if !k.Alt {
			return l.insert(string(k.Runes))
		}
	case tea.KeyBackspace:
		l.before = l.before[:len(l.before)-len(last(l.before))]
	case tea.KeyDelete:
		l.after = l.after[len(first(l.after)):]
	case tea.KeyCtrlU:
		l.before, l.after = "", ""
	case tea.KeyLeft:
		c := last(l.before)
		l.before, l.after = l.before[:len(l.before)-len(c)], c+l.after
	case tea.KeyRight:
		c := first(l.after)
		l.before, l.after = l.before+c, l.after[len(c):]
	case tea.KeyHome, tea.KeyCtrlA:
		l.before, l.after = "", l.String()
	case tea.KeyEnd, tea.KeyCtrlE:
		l.before, l.after = l.String(), ""
	}
	return l
}

// insert adds typed or pasted text up to most bytes: line ends become spaces, control
// characters are removed.
func (l Line) insert(text string) Line {
	text = style.Clean(strings.NewReplacer("\r\n", " ", "\n", " ", "\r", " ", "\t", " ").Replace(text))
	for text != "" {
		c := first(text)
		if len(l.before)+len(c)+len(l.after) > l.most {
			break
		}
		l.before, text = l.before+c, text[len(c):]
	}
	return l
}

// Turn changes the text to the next of the choices, or with -1 the one before; a text that
// is none of them becomes the first.
func (l Line) Turn(choices []string, by int) Line {
	if len(choices) == 0 {
		return l
	}
	i := slices.Index(choices, l.String())
	if i < 0 {
		return Of(choices[0], l.most)
	}
	return Of(choices[(i+by+len(choices))%len(choices)], l.most)
}

// View is the text with its cursor, in at most width cells: long text scrolls so that the
// cursor stays visible.
func (l Line) View(width int) string {
	before := l.before
	for before != "" && ansi.StringWidth(before) > width-2 {
		before = before[len(first(before)):]
	}
	return ansi.Truncate(before+bar+l.after, max(1, width), "")
}

// Wrapped is the text after a head, with its cursor, broken into lines of at most width
// cells; of more than rows lines it is those around the cursor.
func (l Line) Wrapped(head string, width, rows int) []string {
	lines := strings.Split(ansi.Wrap(head+l.before+bar+l.after, max(2, width), " "), "\n")
	at := slices.IndexFunc(lines, func(s string) bool { return strings.Contains(s, bar) })
	from := max(0, min(at-rows/2, len(lines)-rows))
	return lines[from:min(len(lines), from+rows)]
}

// first is the first letter of a text, with its accents.
func first(text string) string {
	if text == "" {
		return ""
	}
	c, _ := ansi.FirstGraphemeCluster(text, ansi.GraphemeWidth)
	return c
}

// last is the last letter of a text, with its accents.
func last(text string) (c string) {
	for text != "" {
		c = first(text)
		text = text[len(c):]
	}
	return c
}
