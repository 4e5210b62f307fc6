package screen

import "github.com/charmbracelet/bubbles/key"

// BenchKeys are the keys the bench keeps for itself on every screen.
type BenchKeys struct {
	Next, Prev, Help, Quit, Leave key.Binding
}

// Bench is the bench's own key map.
func Bench() BenchKeys {
	return BenchKeys{
		Next:  key.NewBinding(key.WithKeys("tab"), key.WithHelp("tab", "next tag")),
		Prev:  key.NewBinding(key.WithKeys("shift+tab"), key.WithHelp("shift+tab", "tag before")),
		Help:  key.NewBinding(key.WithKeys("?"), key.WithHelp("?", "all keys")),
		Quit:  key.NewBinding(key.WithKeys("q"), key.WithHelp("q", "go dark and leave")),
		Leave: key.NewBinding(key.WithKeys("ctrl+c"), key.WithHelp("ctrl+c", "the same, also while typing")),
	}
}

// ShortHelp is what the foot of every page shows after the screen's own keys.
func (k BenchKeys) ShortHelp() []key.Binding {
	next, help, quit := k.Next, k.Help, k.Quit
	next.SetHelp("tab", "tag")
	help.SetHelp("?", "keys")
	quit.SetHelp("q", "leave")
	return []key.Binding{next, help, quit}
}

// FullHelp is the bench's column of the help page.
func (k BenchKeys) FullHelp() [][]key.Binding {
	return [][]key.Binding{{k.Next, k.Prev, k.Help, k.Quit, k.Leave}}
}
