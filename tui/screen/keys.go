package screen

import "github.com/charmbracelet/bubbles/key"

// BenchKeys are the keys the bench keeps for itself on every screen.
type BenchKeys struct {
	Next, Prev, Jump, Far, Motion, Simulate, Help, Quit, Leave key.Binding
}

// Bench is the bench's own key map.
func Bench() BenchKeys {
	return BenchKeys{
		Next:     key.NewBinding(key.WithKeys("tab"), key.WithHelp("tab", "next page")),
		Prev:     key.NewBinding(key.WithKeys("shift+tab"), key.WithHelp("shift+tab", "page before")),
		Jump:     key.NewBinding(key.WithKeys("S", "P", "L", "C", "T", "R"), key.WithHelp("S P L C T R", "the page with that first letter")),
		Far:      key.NewBinding(key.WithKeys("f", "ctrl+f"), key.WithHelp("f ctrl+f", "far view")),
		Motion:   key.NewBinding(key.WithKeys("M"), key.WithHelp("M", "moving arrows on or off")),
		Simulate: key.NewBinding(key.WithKeys("I"), key.WithHelp("I", "imitate the prop, where none listens")),
		Help:     key.NewBinding(key.WithKeys("?"), key.WithHelp("?", "all keys")),
		Quit:     key.NewBinding(key.WithKeys("q"), key.WithHelp("q", "leave: the prop goes dark")),
		Leave:    key.NewBinding(key.WithKeys("ctrl+c"), key.WithHelp("ctrl+c", "leave: the prop goes dark; also while typing")),
	}
}

// ShortHelp is what the foot of every page shows after the screen's own keys.
func (k BenchKeys) ShortHelp() []key.Binding {
	far, quit := k.Far, k.Quit
	far.SetHelp("f", far.Help().Desc)
	quit.SetHelp("q", "leave")
	return []key.Binding{k.Next, far, k.Help, quit}
}

// FullHelp is the bench's column of the help page.
func (k BenchKeys) FullHelp() [][]key.Binding {
	return [][]key.Binding{{k.Next, k.Prev, k.Jump, k.Far, k.Motion, k.Simulate, k.Help, k.Quit, k.Leave}}
}
