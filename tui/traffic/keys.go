package traffic

import (
	"github.com/charmbracelet/bubbles/help"
	"github.com/charmbracelet/bubbles/key"

	"example.org/ringout/tui/screen"
)

// keyMap is every key of the screen.
type keyMap struct {
	Next, Before, First, Last key.Binding
	Down, Up, Enter           key.Binding
	On, Back                  key.Binding
	Part, Hold, Wide          key.Binding

	next part // that Part turns to
}

func newKeys() *keyMap {
	return &keyMap{
		Next:   screen.Key("→", "next universe", "right"),
		Before: screen.Key("←", "universe before", "left"),
		First:  screen.Key("home", "first universe", "home"),
		Last:   screen.Key("end", "last universe", "end"),
		Down:   screen.Key("↓", "next source, with all that is known of it", "down"),
		Up:     screen.Key("↑", "source before", "up"),
		Enter:  screen.Key("enter", "slots of the source", "enter"),
		On:     screen.Key("pgdn .", "more, a page on", "pgdown", "."),
		Back:   screen.Key("pgup ,", "page back", "pgup", ","),
		Part:   screen.Key("v", "your prop, sentences, who lights it, or slots", "v"),
		Wide:   screen.Key("a", "hear all announced, or only yours", "a"),
		Hold:   screen.Key("space", "hold the picture, and go on", " "),
	}
}

// ShortHelp is the keys needed most, in few words.
func (k keyMap) ShortHelp() []key.Binding {
	return []key.Binding{screen.Hint(k.Part, "v", k.next.String()), screen.Hint(k.On, "pgdn", "more"),
		screen.Hint(k.Next, "← →", "universe"), screen.Hint(k.Down, "↑ ↓", "source"), screen.Hint(k.Wide, "a", "hear all"), screen.Hint(k.Hold, "space", "hold")}
}

// FullHelp is all of them.
func (k keyMap) FullHelp() [][]key.Binding {
	return [][]key.Binding{
		{k.Next, k.Before, k.First, k.Last},
		{k.Down, k.Up, k.Enter},
		{k.Part, k.On, k.Back, k.Wide, k.Hold},
	}
}

// Keys are the keys with an effect on the part shown.
func (m Model) Keys() help.KeyMap {
	k := *m.keys
	listed := m.part == sources || m.part == thing && m.prop == nil
	for _, b := range []*key.Binding{&k.Next, &k.Before, &k.First, &k.Last} {
		b.SetEnabled(m.part == slots && len(m.universes) > 1)
	}
	for _, b := range []*key.Binding{&k.Up, &k.Down} {
		b.SetEnabled(listed && len(m.rows) > 0)
	}
	k.Enter.SetEnabled(listed && m.chosen() != nil)
	k.Wide.SetEnabled(m.listener != nil)
	k.On.SetEnabled(m.page.more > 0)
	k.Back.SetEnabled(m.top > 0)
	silent := m.prop == nil && len(m.rows) == 0 && len(m.news.Events) == 0
	k.Part.SetEnabled(!silent)
	k.Hold.SetEnabled(!silent || m.held)
	k.next = (m.part + 1) % parts
	return k
}
