package record

import (
	"github.com/charmbracelet/bubbles/help"
	"github.com/charmbracelet/bubbles/key"

	"example.org/ringout/tui/screen"
)

// keyMap is every key of the screen.
type keyMap struct {
	Up, Down, PgUp, PgDown, First, Last    key.Binding
	Open, Back, Older, Newer               key.Binding
	Mark, Compare, Note, Sheet, Due, Again key.Binding
	Elsewhere, Accept, Cancel, Empty       key.Binding

	page   page
	typing bool
}

func newKeys() *keyMap {
	return &keyMap{
		Up:        screen.Key("↑", "line above", "up"),
		Down:      screen.Key("↓", "line below", "down"),
		PgUp:      screen.Key("pgup", "page up", "pgup"),
		PgDown:    screen.Key("pgdn", "more, a page down", "pgdown"),
		First:     screen.Key("home", "newest, or the top", "home"),
		Last:      screen.Key("end", "oldest, or the end", "end"),
		Open:      screen.Key("enter", "the whole entry", "enter"),
		Back:      screen.Key("esc", "back to the list", "esc", "backspace"),
		Newer:     screen.Key("←", "newer entry", "left"),
		Older:     screen.Key("→", "older entry", "right"),
		Mark:      screen.Key("space", "mark to compare, or take the mark away", " "),
		Compare:   screen.Key("c", "compare the two marked, or the last two", "c"),
		Note:      screen.Key("n", "add a note", "n"),
		Sheet:     screen.Key("s", "make the bench sheet", "s"),
		Due:       screen.Key("m", "reminders: all that is due", "m"),
		Again:     screen.Key("r", "read the file again", "r"),
		Elsewhere: screen.Key("w", "record the waiting note in another file", "w"),
		Accept:    screen.Key("enter", "accept", "enter"),
		Cancel:    screen.Key("esc", "back, as it was", "esc"),
		Empty:     screen.Key("ctrl+u", "empty the line", "ctrl+u"),
		page:      listPage{},
	}
}

// FullHelp is all keys.
func (k keyMap) FullHelp() [][]key.Binding {
	if k.typing {
		return [][]key.Binding{{k.Accept, k.Cancel, k.Empty}}
	}
	return [][]key.Binding{{k.Up, k.Down, k.PgUp, k.PgDown, k.First, k.Last},
		{k.Open, k.Back, k.Newer, k.Older, k.Mark, k.Compare},
		{k.Note, k.Sheet, k.Due, k.Again, k.Elsewhere}}
}

// ShortHelp is the keys needed most on the page that is shown.
func (k keyMap) ShortHelp() []key.Binding {
	if k.typing {
		return []key.Binding{screen.Hint(k.Accept, "enter", "accept"), screen.Hint(k.Cancel, "esc", "back"), screen.Hint(k.Empty, "ctrl+u", "empty")}
	}
	return k.page.short(k)
}

func (listPage) short(k keyMap) []key.Binding {
	return []key.Binding{screen.Hint(k.Open, "enter", "whole entry"), screen.Hint(k.Down, "↑ ↓", "line"), screen.Hint(k.Compare, "c", "compare"), screen.Hint(k.Note, "n", "add a note"),
		screen.Hint(k.Sheet, "s", "bench sheet"), screen.Hint(k.Mark, "space", "mark to compare"), screen.Hint(k.Due, "m", "reminders"), screen.Hint(k.Again, "r", "read again")}
}

func (entryPage) short(k keyMap) []key.Binding {
	return []key.Binding{screen.Hint(k.Back, "esc", "list"), screen.Hint(k.PgDown, "pgdn", "more"), k.turning(), screen.Hint(k.Mark, "space", "mark to compare")}
}

// turning are the keys to the entries before and after that there are.
func (k keyMap) turning() key.Binding {
	switch {
	case !k.Newer.Enabled():
		return screen.Hint(k.Older, "→", "older")
	case !k.Older.Enabled():
		return screen.Hint(k.Newer, "←", "newer")
	}
	return screen.Hint(k.Newer, "← →", "newer, older")
}

func (comparePage) short(k keyMap) []key.Binding { return scrolled(k) }

func (duePage) short(k keyMap) []key.Binding { return scrolled(k) }

func scrolled(k keyMap) []key.Binding {
	return []key.Binding{screen.Hint(k.Back, "esc", "list"), screen.Hint(k.PgDown, "pgdn", "more")}
}

// Keys are the keys of the help page.
func (m Model) Keys() help.KeyMap {
	k := *m.keys
	k.page, k.typing = m.page, m.Typing()
	n := m.entries()
	m.page.only(m, &k)
	k.Back.SetEnabled(!m.isList())
	k.Compare.SetEnabled(n > 1)
	k.Due.SetEnabled(len(m.reminders()) > 0)
	k.Again.SetEnabled(m.path != "")
	k.Note.SetEnabled(m.prop != nil)
	k.Sheet.SetEnabled(m.prop != nil)
	k.Elsewhere.SetEnabled(len(m.pending) > 0)
	return k
}

// entries is the number of entries in the list.
func (m Model) entries() int {
	if m.prop == nil || m.path == "" {
		return 0
	}
	return len(m.history.Entries)
}

// walking are the keys that move in a list or a text.
func (k *keyMap) walking() []*key.Binding {
	return []*key.Binding{&k.Up, &k.Down, &k.PgUp, &k.PgDown, &k.First, &k.Last}
}

func enable(on bool, keys ...*key.Binding) {
	for _, b := range keys {
		b.SetEnabled(on)
	}
}

func (listPage) only(m Model, k *keyMap) {
	enable(m.entries() > 1 || !m.listing() && m.scrollMost() > 0, k.walking()...)
	enable(m.entries() > 0, &k.Open, &k.Mark)
	enable(false, &k.Newer, &k.Older)
}

func (entryPage) only(m Model, k *keyMap) {
	enable(m.scrollMost() > 0, k.walking()...)
	enable(m.at < m.entries()-1, &k.Newer)
	enable(m.at > 0, &k.Older)
	enable(false, &k.Open)
}

func (comparePage) only(m Model, k *keyMap) { readOnly(m, k) }

func (duePage) only(m Model, k *keyMap) {
	readOnly(m, k)
	enable(false, &k.Due)
}

func readOnly(m Model, k *keyMap) {
	enable(m.scrollMost() > 0, k.walking()...)
	enable(false, &k.Open, &k.Mark, &k.Newer, &k.Older)
}
