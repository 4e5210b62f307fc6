package plan

import (
	"slices"

	"github.com/charmbracelet/bubbles/key"
)

// keyMap is every key of the screen.
type keyMap struct {
	Up, Down, Left, Right, First, Last    key.Binding
	Edit, Add, Remove, Earlier, Later     key.Binding
	Undo, Redo, More, Save, SaveAs        key.Binding
	Page, PageBack, ScrollUp, ScrollDown  key.Binding
	Brighter, Dimmer, Colour              key.Binding
	Accept, Cancel, Empty, ChoiceUp, Turn key.Binding
	TakeUp, Drop                          key.Binding // of changes that wait

	typing, choices, changed, none bool
}

func newKeys() keyMap {
	b := func(shown, does string, keys ...string) key.Binding {
		return key.NewBinding(key.WithKeys(keys...), key.WithHelp(shown, does))
	}
	return keyMap{
		Up:         b("↑", "figure above", "up"),
		Down:       b("↓", "figure below", "down"),
		Left:       b("←", "section before", "left"),
		Right:      b("→", "next section", "right"),
		First:      b("home", "first figure", "home"),
		Last:       b("end", "last figure", "end"),
		Edit:       b("enter", "edit, then accept", "enter"),
		Add:        b("a", "add a run, feed or part", "a"),
		Remove:     b("x", "take it out", "x"),
		Earlier:    b("[", "put it one earlier", "[", "shift+up"),
		Later:      b("]", "put it one later", "]", "shift+down"),
		Undo:       b("u", "undo", "u"),
		Redo:       b("r", "do again", "r"),
		More:       b("m", "more keys of the file, or fewer", "m"),
		Save:       b("s", "save", "s"),
		SaveAs:     b("n", "save under a name", "n"),
		Page:       b("v", "next page of results", "v"),
		PageBack:   b("V", "page before", "V"),
		ScrollDown: b("pgdn", "scroll the results", "pgdown"),
		ScrollUp:   b("pgup", "scroll back", "pgup"),
		Brighter:   b("+", "reckon with a higher level", "+", "="),
		Dimmer:     b("-", "with a lower one", "-"),
		Colour:     b("c", "reckon with the next colour", "c"),
		Accept:     b("enter", "accept", "enter"),
		Cancel:     b("esc", "leave as it was", "esc"),
		Empty:      b("ctrl+u", "empty the line; accepted, it takes the key out of the file", "ctrl+u"),
		Turn:       b("↓", "next of what is offered", "down"),
		ChoiceUp:   b("↑", "choose the one before", "up"),
		TakeUp:     b("t", "take up the changes that wait", "t"),
		Drop:       b("D", "drop them", "D"),
	}
}

// ShortHelp is the keys needed most, in few words, the most needed first.
func (k keyMap) ShortHelp() []key.Binding {
	if k.none {
		return nil
	}
	say := func(b key.Binding, shown, does string) key.Binding {
		b.SetHelp(shown, does)
		return b
	}
	if k.typing {
		out := []key.Binding{say(k.Accept, "enter", "accept")}
		if k.choices {
			out = append(out, say(k.Turn, "↑ ↓", "choose"))
		}
		return append(out, say(k.Cancel, "esc", "leave it"), say(k.Empty, "ctrl+u", "empty"))
	}
	save := say(k.Save, "s", "save")
	first := []key.Binding{say(k.Page, "v", "results"), say(k.Edit, "enter", "edit"), say(k.Down, "↑ ↓", "figure"), save}
	if k.changed { // it is the next thing to do
		first = append([]key.Binding{save}, first[:3]...)
	}
	if k.ScrollDown.Enabled() {
		first = slices.Insert(first, 2, say(k.ScrollDown, "pgdn", "scroll"))
	}
	return append(first,
		say(k.Brighter, "+ -", "level"), say(k.Add, "a", "add"), say(k.Remove, "x", "take out"), say(k.Undo, "u", "undo"),
		say(k.Colour, "c", "colour"))
}

// FullHelp is all of them.
func (k keyMap) FullHelp() [][]key.Binding {
	if k.none {
		return [][]key.Binding{{k.TakeUp, k.Drop}}
	}
	if k.typing {
		return [][]key.Binding{{k.Accept, k.Cancel, k.Empty, k.Turn, k.ChoiceUp}}
	}
	return [][]key.Binding{
		{k.Up, k.Down, k.Left, k.Right, k.First, k.Last},
		{k.Edit, k.Add, k.Remove, k.Earlier, k.Later, k.Undo, k.Redo, k.More, k.Save, k.SaveAs, k.TakeUp, k.Drop},
		{k.Page, k.PageBack, k.ScrollDown, k.ScrollUp, k.Brighter, k.Dimmer, k.Colour},
	}
}
