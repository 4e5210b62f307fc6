package record

import (
	"github.com/charmbracelet/bubbles/help"
	"github.com/charmbracelet/bubbles/key"
)

// keyMap is every key of the screen.
type keyMap struct {
	Up, Down, PgUp, PgDown, First, Last     key.Binding
	Open, Back, Older, Newer                key.Binding
	Mark, Compare, Note, Sheet, Mind, Again key.Binding
	Elsewhere, Accept, Cancel, Empty        key.Binding

	page   page
	typing bool
}

func newKeys() keyMap {
	b := func(shown, does string, keys ...string) key.Binding {
		return key.NewBinding(key.WithKeys(keys...), key.WithHelp(shown, does))
	}
	return keyMap{
		Up:        b("↑", "line above", "up"),
		Down:      b("↓", "line below", "down"),
		PgUp:      b("pgup", "page up", "pgup"),
		PgDown:    b("pgdn", "page down", "pgdown"),
		First:     b("home", "newest, or the top", "home"),
		Last:      b("end", "oldest, or the end", "end"),
		Open:      b("enter", "the whole entry", "enter"),
		Back:      b("esc", "back to the list", "esc", "backspace"),
		Newer:     b("←", "newer entry", "left"),
		Older:     b("→", "older entry", "right"),
		Mark:      b("space", "mark to compare, or take the mark away", " "),
		Compare:   b("c", "compare the two marked, or the last two", "c"),
		Note:      b("n", "add a note", "n"),
		Sheet:     b("s", "make the bench sheet", "s"),
		Mind:      b("m", "reminders: all that is due", "m"),
		Again:     b("r", "read the file again", "r"),
		Elsewhere: b("w", "record the waiting note in another file", "w"),
		Accept:    b("enter", "take it", "enter"),
		Cancel:    b("esc", "leave it", "esc"),
		Empty:     b("ctrl+u", "empty the line", "ctrl+u"),
	}
}

// FullHelp is all keys.
func (k keyMap) FullHelp() [][]key.Binding {
	if k.typing {
		return [][]key.Binding{{k.Accept, k.Cancel, k.Empty}}
	}
	return [][]key.Binding{{k.Up, k.Down, k.PgUp, k.PgDown, k.First, k.Last},
		{k.Open, k.Back, k.Newer, k.Older, k.Mark, k.Compare},
		{k.Note, k.Sheet, k.Mind, k.Again, k.Elsewhere}}
}

// ShortHelp is the keys needed most on the page that is shown.
func (k keyMap) ShortHelp() []key.Binding {
	say := func(b key.Binding, shown, does string) key.Binding {
		b.SetHelp(shown, does)
		return b
	}
	if k.typing {
		return []key.Binding{say(k.Accept, "enter", "take it"), say(k.Cancel, "esc", "leave it"), say(k.Empty, "ctrl+u", "empty")}
	}
	switch k.page {
	case entryPage:
		return []key.Binding{say(k.Up, "↑ ↓", "scroll"), say(k.Newer, "← →", "newer, older"), say(k.Back, "esc", "list"), say(k.Mark, "space", "mark")}
	case comparePage, mindPage:
		return []key.Binding{say(k.Up, "↑ ↓", "scroll"), say(k.Back, "esc", "list")}
	}
	return []key.Binding{say(k.Open, "enter", "whole entry"), say(k.Compare, "c", "compare"), say(k.Note, "n", "add a note"),
		say(k.Sheet, "s", "bench sheet"), say(k.Mark, "space", "mark"), say(k.Mind, "m", "reminders"), say(k.Again, "r", "read again")}
}

// Keys is what the help page lists.
func (m Model) Keys() help.KeyMap {
	k := m.keys
	k.page, k.typing = m.page, m.Typing()
	return k.only(m)
}

// only switches off what would do nothing now.
func (k keyMap) only(m Model) keyMap {
	n := len(m.history.Entries)
	if m.prop == nil || m.path == "" {
		n = 0
	}
	for _, b := range []*key.Binding{&k.Open, &k.Mark, &k.First, &k.Last, &k.Up, &k.Down, &k.PgUp, &k.PgDown} {
		b.SetEnabled(n > 0 || m.page != listPage)
	}
	for _, b := range []*key.Binding{&k.Newer, &k.Older} {
		b.SetEnabled(m.page == entryPage && n > 1)
	}
	k.Back.SetEnabled(m.page != listPage)
	if m.page != listPage {
		long := m.scrollMost() > 0
		for _, b := range []*key.Binding{&k.Up, &k.Down, &k.PgUp, &k.PgDown, &k.First, &k.Last} {
			b.SetEnabled(long)
		}
		for _, b := range []*key.Binding{&k.Open, &k.Mark} {
			b.SetEnabled(m.page == entryPage && b != &k.Open)
		}
	}
	k.Compare.SetEnabled(n > 1)
	k.Mind.SetEnabled(len(m.reminders()) > 0)
	k.Again.SetEnabled(m.path != "")
	k.Note.SetEnabled(m.prop != nil)
	k.Sheet.SetEnabled(m.prop != nil)
	k.Elsewhere.SetEnabled(len(m.pending) > 0)
	return k
}
