package screen

import (
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/key"
)

// BenchKeys are the keys the bench keeps for itself on every screen.
type BenchKeys struct {
	Next, Prev, Jump, Far, Motion, Simulate, Help, Quit, Leave key.Binding
}

// Bench is the bench's own key map. The first letter of each screen's name jumps to it.
func Bench(names ...string) BenchKeys {
	var letters []string
	for _, n := range names {
		if !slices.Contains(letters, n[:1]) {
			letters = append(letters, n[:1])
		}
	}
	return BenchKeys{
		Next:     Key("tab", "next page", "tab"),
		Prev:     Key("shift+tab", "page before", "shift+tab"),
		Jump:     Key(strings.Join(letters, " "), "the page with that first letter", letters...),
		Far:      Key("f ctrl+f", "far view", "f", "ctrl+f"),
		Motion:   Key("M", "moving arrows on or off", "M"),
		Simulate: Key("I", "simulate the prop, where none listens", "I"),
		Help:     Key("? f1", "all keys", "?", "f1"),
		Quit:     Key("q", "leave: the prop goes dark", "q"),
		Leave:    Key("ctrl+c", "leave: the prop goes dark; also while typing", "ctrl+c"),
	}
}

// ShortHelp is what the foot of every page shows after the screen's own keys.
func (k BenchKeys) ShortHelp() []key.Binding {
	return []key.Binding{k.Next, Hint(k.Far, "f", k.Far.Help().Desc), Hint(k.Help, "?", k.Help.Help().Desc), Hint(k.Quit, "q", "leave")}
}

// FullHelp is the bench's column of the help page.
func (k BenchKeys) FullHelp() [][]key.Binding {
	return [][]key.Binding{{k.Next, k.Prev, k.Jump, k.Far, k.Motion, k.Simulate, k.Help, k.Quit, k.Leave}}
}

// Key is a key of a screen: its sign and its words on the help page, and what the
// terminal calls it. It is not inlined: in every row of every table of keys they made the
// program 135 kB larger.
//
//go:noinline
func Key(sign, does string, keys ...string) key.Binding {
	return key.NewBinding(key.WithKeys(keys...), key.WithHelp(sign, does))
}

// Hint is a key in other words, as the foot line has them; not inlined for the same reason.
//
//go:noinline
func Hint(b key.Binding, sign, does string) key.Binding {
	b.SetHelp(sign, does)
	return b
}

// Either is the hint of two opposite keys, with the signs of those that act now: at its end a
// value goes one way only.
func Either(a, b key.Binding, does string) key.Binding {
	switch {
	case !a.Enabled():
		return Hint(b, b.Help().Key, does)
	case !b.Enabled():
		return Hint(a, a.Help().Key, does)
	}
	return Hint(a, a.Help().Key+" "+b.Help().Key, does)
}
