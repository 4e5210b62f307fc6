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
		PgDown:    b("pgdn", "more, a page down", "pgdown"),
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
	return k.page.short(k, say)
}

func (listPage) short(k keyMap, say saying) []key.Binding {
	return []key.Binding{say(k.Open, "enter", "whole entry"), say(k.Compare, "c", "compare"), say(k.Note, "n", "add a note"),
		say(k.Sheet, "s", "bench sheet"), say(k.Mark, "space", "mark"), say(k.Mind, "m", "reminders"), say(k.Again, "r", "read again")}
}

func (entryPage) short(k keyMap, say saying) []key.Binding {
	return []key.Binding{say(k.Back, "esc", "list"), say(k.PgDown, "pgdn", "more"), say(k.Newer, "← →", "newer, older"), say(k.Mark, "space", "mark")}
}

func (comparePage) short(k keyMap, say saying) []key.Binding { return scrolled(k, say) }

func (mindPage) short(k keyMap, say saying) []key.Binding { return scrolled(k, say) }

func scrolled(k keyMap, say saying) []key.Binding {
	return []key.Binding{say(k.Back, "esc", "list"), say(k.PgDown, "pgdn", "more")}
}

// Keys is what the help page lists.
func (m Model) Keys() help.KeyMap {
	k := m.keys
	k.page, k.typing = m.page, m.Typing()
	n := m.entries()
	m.page.only(m, &k)
	k.Back.SetEnabled(!m.isList())
	k.Compare.SetEnabled(n > 1)
	k.Mind.SetEnabled(len(m.reminders()) > 0)
	k.Again.SetEnabled(m.path != "")
	k.Note.SetEnabled(m.prop != nil)
	k.Sheet.SetEnabled(m.prop != nil)
	k.Elsewhere.SetEnabled(len(m.pending) > 0)
	return k
}

// entries are how many there are to walk.
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
	enable(m.entries() > 0, append(k.walking(), &k.Open, &k.Mark)...)
	enable(false, &k.Newer, &k.Older)
}

func (entryPage) only(m Model, k *keyMap) {
	enable(m.scrollMost() > 0, k.walking()...)
	enable(m.entries() > 1, &k.Newer, &k.Older)
	enable(false, &k.Open)
}

func (comparePage) only(m Model, k *keyMap) { readOnly(m, k) }

func (mindPage) only(m Model, k *keyMap) { readOnly(m, k) }

func readOnly(m Model, k *keyMap) {
	enable(m.scrollMost() > 0, k.walking()...)
	enable(false, &k.Open, &k.Mark, &k.Newer, &k.Older)
}
