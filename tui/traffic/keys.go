package traffic

import (
	"github.com/charmbracelet/bubbles/help"
	"github.com/charmbracelet/bubbles/key"
)

// keyMap is every key of the screen.
type keyMap struct {
	Next, Before, First, Last key.Binding
	Down, Up, Enter           key.Binding
	On, Back                  key.Binding
	Part, Hold, Wide          key.Binding

	next part // that Part turns to
}

func newKeys() keyMap {
	b := func(shown, does string, keys ...string) key.Binding {
		return key.NewBinding(key.WithKeys(keys...), key.WithHelp(shown, does))
	}
	return keyMap{
		Next:   b("→", "next universe", "right"),
		Before: b("←", "universe before", "left"),
		First:  b("home", "first universe", "home"),
		Last:   b("end", "last universe", "end"),
		Down:   b("↓", "next source, with all that is known of it", "down"),
		Up:     b("↑", "source before", "up"),
		Enter:  b("enter", "slots of the source", "enter"),
		On:     b("pgdn .", "more, a page on", "pgdown", "."),
		Back:   b("pgup ,", "page back", "pgup", ","),
		Part:   b("v", "your prop, sentences, who sends, or slots", "v"),
		Wide:   b("a", "hear all announced, or only yours", "a"),
		Hold:   b("space", "hold the picture, and go on", " "),
	}
}

// ShortHelp is the keys needed most, in few words.
func (k keyMap) ShortHelp() []key.Binding {
	say := func(b key.Binding, shown, does string) key.Binding {
		b.SetHelp(shown, does)
		return b
	}
	return []key.Binding{say(k.Part, "v", k.next.String()), say(k.On, "pgdn", "more"),
		say(k.Next, "← →", "universe"), say(k.Down, "↑ ↓", "source"), say(k.Wide, "a", "hear all"), say(k.Hold, "space", "hold")}
}

// FullHelp is all of them.
func (k keyMap) FullHelp() [][]key.Binding {
	return [][]key.Binding{
		{k.Next, k.Before, k.First, k.Last},
		{k.Down, k.Up, k.Enter},
		{k.Part, k.On, k.Back, k.Wide, k.Hold},
	}
}

// Keys is what the help page lists: the keys that do something on the part shown.
func (m Model) Keys() help.KeyMap {
	k := m.keys
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
