package plan

import (
	"slices"

	"github.com/charmbracelet/bubbles/key"

	"example.org/ringout/tui/screen"
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
	missing                        bool   // the chosen section has nothing in it yet
	brings                         string // the page that v brings
}

func newKeys() *keyMap {
	return &keyMap{
		Up:         screen.Key("↑", "figure above", "up"),
		Down:       screen.Key("↓", "figure below", "down"),
		Left:       screen.Key("←", "section before", "left"),
		Right:      screen.Key("→", "next section", "right"),
		First:      screen.Key("home", "first figure", "home"),
		Last:       screen.Key("end", "last figure", "end"),
		Edit:       screen.Key("enter", "edit, then accept", "enter"),
		Add:        screen.Key("a", "add a run, feed or part", "a"),
		Remove:     screen.Key("x", "take it out", "x"),
		Earlier:    screen.Key("[", "put it one earlier", "[", "shift+up"),
		Later:      screen.Key("]", "put it one later", "]", "shift+down"),
		Undo:       screen.Key("u", "undo", "u"),
		Redo:       screen.Key("r", "do again", "r"),
		More:       screen.Key("m", "more keys of the file, or fewer", "m"),
		Save:       screen.Key("s", "save", "s"),
		SaveAs:     screen.Key("n", "save under a name", "n"),
		Page:       screen.Key("v", "next page of results", "v"),
		PageBack:   screen.Key("V", "page before", "V"),
		ScrollDown: screen.Key("pgdn", "more of the results", "pgdown"),
		ScrollUp:   screen.Key("pgup", "scroll back", "pgup"),
		Brighter:   screen.Key("+", "reckon with a higher level", "+", "="),
		Dimmer:     screen.Key("-", "with a lower level", "-"),
		Colour:     screen.Key("c", "reckon with the next colour", "c"),
		Accept:     screen.Key("enter", "accept", "enter"),
		Cancel:     screen.Key("esc", "back, as it was", "esc"),
		Empty:      screen.Key("ctrl+u", "empty the line; accepted, it takes the key out of the file", "ctrl+u"),
		Turn:       screen.Key("↓", "next of what is offered", "down"),
		ChoiceUp:   screen.Key("↑", "choose the one before", "up"),
		TakeUp:     screen.Key("t", "take up the changes that wait", "t"),
		Drop:       screen.Key("D", "drop them", "D"),
	}
}

// ShortHelp is the keys needed most, in few words, the most needed first.
func (k keyMap) ShortHelp() []key.Binding {
	if k.none {
		return nil
	}
	if k.typing {
		out := []key.Binding{screen.Hint(k.Accept, "enter", "accept")}
		if k.choices {
			out = append(out, screen.Hint(k.Turn, "↑ ↓", "choose"))
		}
		return append(out, screen.Hint(k.Cancel, "esc", "back"), screen.Hint(k.Empty, "ctrl+u", "empty"))
	}
	save := screen.Hint(k.Save, "s", "save")
	first := []key.Binding{screen.Hint(k.Page, "v", k.brings), screen.Hint(k.Edit, "enter", "edit"), screen.Hint(k.Down, "↑ ↓", "figure"), save}
	if k.changed { // saving is the next thing to do
		first = append([]key.Binding{save}, first[:3]...)
	}
	if k.missing {
		first = slices.Insert(first, 1, screen.Hint(k.Add, "a", "add"))
		first = slices.DeleteFunc(first, func(b key.Binding) bool { return b.Help().Key == "enter" })
	}
	if k.ScrollDown.Enabled() {
		first = slices.Insert(first, 2, screen.Hint(k.ScrollDown, "pgdn", "more"))
	}
	level := screen.Either(k.Brighter, k.Dimmer, "level")
	rest := []key.Binding{level, screen.Hint(k.Add, "a", "add")}
	if k.missing {
		rest = rest[:1]
	}
	return append(append(first, rest...),
		screen.Hint(k.Remove, "x", "take out"), screen.Hint(k.Undo, "u", "undo"),
		screen.Hint(k.Colour, "c", "colour"))
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
