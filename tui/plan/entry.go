package plan

import (
	"slices"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/tui/style"
)

// maxTyped is the most letters of one value.
const maxTyped = 400

// An entry is a line of text being typed. Its slice is never changed in place.
type entry struct {
	text []rune
	at   int // cursor, 0 to len(text)
}

func entryOf(s string) entry {
	r := []rune(s)
	return entry{r, len(r)}
}

func (e entry) String() string { return string(e.text) }

// key edits the text; keys it has no use for change nothing.
func (e entry) key(k tea.KeyMsg) entry {
	switch k.Type {
	case tea.KeyRunes, tea.KeySpace:
		if !k.Alt {
			return e.insert([]rune(style.Clean(string(k.Runes))))
		}
	case tea.KeyBackspace:
		if e.at > 0 {
			return entry{slices.Delete(slices.Clone(e.text), e.at-1, e.at), e.at - 1}
		}
	case tea.KeyDelete:
		if e.at < len(e.text) {
			return entry{slices.Delete(slices.Clone(e.text), e.at, e.at+1), e.at}
		}
	case tea.KeyCtrlU:
		return entry{}
	case tea.KeyLeft:
		e.at = max(0, e.at-1)
	case tea.KeyRight:
		e.at = min(len(e.text), e.at+1)
	case tea.KeyHome, tea.KeyCtrlA:
		e.at = 0
	case tea.KeyEnd, tea.KeyCtrlE:
		e.at = len(e.text)
	}
	return e
}

func (e entry) insert(r []rune) entry {
	r = r[:max(0, min(len(r), maxTyped-len(e.text)))]
	return entry{slices.Insert(slices.Clone(e.text), e.at, r...), e.at + len(r)}
}

// turn takes the next of the choices; a text that is none of them starts at
// the first.
func (e entry) turn(choices []string, by int) entry {
	if len(choices) == 0 {
		return e
	}
	i := slices.Index(choices, e.String())
	if i < 0 {
		return entryOf(choices[0])
	}
	return entryOf(choices[(i+by+len(choices))%len(choices)])
}

// view is the text with a bar where typing goes; long text scrolls so that the
// bar stays in sight.
func (e entry) view(width int) string {
	from := 0
	for from < e.at && cells(e.text[from:e.at]) > max(1, width-2) {
		from++
	}
	return string(e.text[from:e.at]) + "▏" + string(e.text[e.at:])
}
