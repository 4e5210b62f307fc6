package check

import (
	"slices"

	"github.com/charmbracelet/bubbles/help"
	"github.com/charmbracelet/bubbles/key"

	"example.org/ringout/internal/checkout"
)

// keyMap is every key of the screen, for one hand.
type keyMap struct {
	Digit, Up, Down, Take, Back, Leave                key.Binding
	Change, Stop, Mended, Plan, Record, Number, Meter key.Binding
	View, Brighter, Dimmer, Dark, PgUp, PgDown, Call  key.Binding

	page    page
	volts   bool // the page asks for a reading
	meter   bool // and the demo has one
	order   bool // the test tells the order of a bulb's slots, which the plan can follow
	marks   bool // the place is on a drawing that v turns to
	typed   bool // a line is being typed
	colours bool // the answers are colours
}

func newKeys() keyMap {
	b := func(shown, does string, keys ...string) key.Binding {
		return key.NewBinding(key.WithKeys(keys...), key.WithHelp(shown, does))
	}
	return keyMap{
		Digit:    b("1-9, r g b …", "answer, or choose a line", "1", "2", "3", "4", "5", "6", "7", "8", "9", "0"),
		Up:       b("↑", "line above", "up"),
		Down:     b("↓", "line below", "down"),
		Take:     b("enter", "take the line shown", "enter", " "),
		Back:     b("←", "take the last answer back", "left", "backspace"),
		Leave:    b("esc", "to the start of this page", "esc"),
		Change:   b("e", "change an earlier answer", "e"),
		Stop:     b("x", "end here, with what is known", "x"),
		Mended:   b("m", "I mended it: check again", "m"),
		Plan:     b("p", "take over into the prop file", "p"),
		Record:   b("w", "record in a file of your choice", "w"),
		Number:   b("n", "type a count, or a reading", "n"),
		Meter:    b("t", "take what the demo's meter reads", "t"),
		Call:     b("o", "roll call, where a count is off", "o"),
		View:     b("v", "next drawing", "v"),
		Brighter: b("+", "brighter", "+", "="),
		Dimmer:   b("-", "dimmer", "-"),
		Dark:     b("l", "light off, and on again", "l"),
		PgUp:     b("pgup", "page up", "pgup"),
		PgDown:   b("pgdn", "page down", "pgdown"),
	}
}

// FullHelp is all keys.
func (k keyMap) FullHelp() [][]key.Binding {
	return [][]key.Binding{{k.Digit, k.Up, k.Down, k.Take, k.Back, k.Leave},
		{k.Change, k.Stop, k.Mended, k.Plan, k.Record, k.Number, k.Meter, k.Call},
		{k.View, k.Brighter, k.Dimmer, k.Dark, k.PgUp, k.PgDown}}
}

// ShortHelp is the keys needed most on the page that is shown.
func (k keyMap) ShortHelp() []key.Binding {
	say := func(b key.Binding, shown, does string) key.Binding {
		b.SetHelp(shown, does)
		return b
	}
	digit := say(k.Digit, "1-9 0", "answer")
	if k.typed {
		return []key.Binding{say(k.Take, "enter", "take it"), say(k.Leave, "esc", "leave it")}
	}
	switch k.page {
	case questionPage:
		if k.colours {
			digit = say(k.Digit, "r g b … 1-9 0", "answer")
		}
		return []key.Binding{digit, say(k.Back, "←", "back"), say(k.View, "v", "drawing"), say(k.Change, "e", "change"), say(k.Stop, "x", "end here"), say(k.Brighter, "+", "brighter")}
	case countPage:
		return []key.Binding{digit, say(k.Back, "←", "back"), say(k.Number, "n", "type a count"), say(k.Leave, "esc", "start")}
	case drillPage:
		if k.volts {
			keys := []key.Binding{say(k.Meter, "t", "take the demo's"), say(k.Number, "n", "type"), say(k.Back, "←", "back"), say(k.View, "v", "drawing"), say(k.Stop, "x", "end here"), say(k.Dimmer, "-", "dimmer")}
			if !k.meter {
				keys = keys[1:]
			}
			return keys
		}
		return []key.Binding{say(k.Digit, "1-9 0", "answer"), say(k.Back, "←", "back"), say(k.View, "v", "drawing"), say(k.Stop, "x", "end here"), say(k.Brighter, "+", "brighter")}
	case countedPage:
		return []key.Binding{say(k.Leave, "esc", "start"), say(k.Plan, "p", "into the plan"), say(k.View, "v", "drawing")}
	case drilledPage:
		keys := []key.Binding{say(k.Leave, "esc", "start")}
		if k.order {
			keys = append(keys, say(k.Plan, "p", "into the plan"))
		}
		if k.marks {
			keys = append(keys, say(k.View, "v", "drawing"))
		}
		return append(keys, say(k.Record, "w", "record"), say(k.Down, "↓", "scroll"))
	case findingPage:
		if k.marks {
			return []key.Binding{say(k.View, "v", "where"), say(k.Mended, "m", "I mended it"), say(k.Back, "←", "back"), say(k.Plan, "p", "into the plan"), say(k.Record, "w", "record"), say(k.Leave, "esc", "start")}
		}
		return []key.Binding{say(k.Mended, "m", "I mended it"), say(k.Plan, "p", "into the plan"), say(k.Back, "←", "back"), say(k.Record, "w", "record"), say(k.Leave, "esc", "start")}
	case planPage:
		return []key.Binding{say(k.Take, "enter", "save it"), say(k.Leave, "esc", "leave it")}
	case earlierPage, changePage:
		return []key.Binding{say(k.Digit, "1-9", "choose"), say(k.Take, "enter", "take"), say(k.Leave, "esc", "leave it")}
	}
	return []key.Binding{say(k.Digit, "1-9", "choose"), say(k.Take, "enter", "take")}
}

// Keys is what the help page lists.
func (m Model) Keys() help.KeyMap {
	k := m.keys
	k.page, k.volts, k.meter = m.page, m.page == drillPage && m.anyDigit(), m.demo
	k.order, k.typed = m.drilled.entry.Order != "", m.entering != nil
	k.colours = slices.ContainsFunc(m.offered(), func(a checkout.Answer) bool { return a.Sees.Colour() })
	k.marks = m.size.Width < 70 && (m.page == findingPage || m.marked())
	return k
}
