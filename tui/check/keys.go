package check

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/help"
	"github.com/charmbracelet/bubbles/key"

	"example.org/ringout/tui/screen"
)

// keyMap is every key of the screen, for one hand. Letters of colours belong to
// the answers of a question, so no other key of such a page is one of them.
type keyMap struct {
	Digit, Up, Down, Take, Back, Leave, PgUp, PgDown  key.Binding
	Change, Stop, Mended, Plan, Record, Number, Meter key.Binding
	View, Brighter, Dimmer, Off, Call, Nearer         key.Binding
	Farther, Right, Zoom, All, Unlit, Skip            key.Binding
}

func newKeys() *keyMap {
	return &keyMap{
		Digit:    screen.Key("1-9, r g b …", "answer, or choose a line", "1", "2", "3", "4", "5", "6", "7", "8", "9", "0"),
		Up:       screen.Key("↑", "line above", "up"),
		Down:     screen.Key("↓", "line below", "down"),
		Take:     screen.Key("enter", "take the line shown", "enter", " "),
		Back:     screen.Key("←", "take the last answer back", "left", "backspace"),
		Leave:    screen.Key("esc", "back, to the start of this page", "esc"),
		Change:   screen.Key("e", "change an earlier answer", "e"),
		Stop:     screen.Key("x", "end here, with what is known", "x"),
		Mended:   screen.Key("m", "I mended it: check again", "m"),
		Plan:     screen.Key("p", "take over into the prop file", "p"),
		Record:   screen.Key("w", "record in a file of your choice", "w"),
		Number:   screen.Key("n", "type a count, or a reading", "n"),
		Meter:    screen.Key("t", "take the simulated reading", "t"),
		Skip:     screen.Key("s", "skip a reading that the meter can't reach", "s"),
		Call:     screen.Key("o", "roll call; in one, other colours", "o"),
		View:     screen.Key("v", "drawing: the next one", "v"),
		Brighter: screen.Key("+", "brighter", "+", "="),
		Dimmer:   screen.Key("-", "dimmer", "-"),
		Off:      screen.Key("l", "light off, and on again", "l"),
		Nearer:   screen.Key("[", "walk the light to the pixel before", "["),
		Farther:  screen.Key("]", "walk the light to the pixel after", "]"),
		Right:    screen.Key("→", "move the mark to the right", "right"),
		Zoom:     screen.Key("z", "draw the camera's picture nearer, or whole", "z"),
		All:      screen.Key("a", "more of what is left", "a"),
		Unlit:    screen.Key("d", "before the camera: the prop stays dark", "d"),
		PgUp:     screen.Key("pgup", "page up", "pgup"),
		PgDown:   screen.Key("pgdn", "page down", "pgdown"),
	}
}

// all is every key.
func (k *keyMap) all() []key.Binding {
	return []key.Binding{k.Digit, k.Up, k.Down, k.Take, k.Back, k.Leave,
		k.Change, k.Stop, k.Mended, k.Plan, k.Record, k.Number, k.Meter, k.Skip, k.Call, k.All,
		k.View, k.Brighter, k.Dimmer, k.Off, k.Nearer, k.Farther, k.Right, k.Zoom, k.Unlit, k.PgUp, k.PgDown}
}

// pageKeys is the help of a page: its own keys for the foot, all keys for the help page.
type pageKeys struct {
	short []key.Binding
	full  [][]key.Binding
}

// ShortHelp are the keys with an effect on the page now.
func (k pageKeys) ShortHelp() []key.Binding { return k.short }

// FullHelp is all keys.
func (k pageKeys) FullHelp() [][]key.Binding { return k.full }

// digitsTo are the digits of a list of n lines, at most nine.
func digitsTo(n int) string {
	switch n = min(n, 9); n {
	case 1:
		return "1"
	case 2:
		return "1 2"
	}
	return fmt.Sprintf("1-%d", n)
}

// choosing are the keys of a list of n lines.
func (k *keyMap) choosing(n int) []key.Binding {
	return []key.Binding{screen.Hint(k.Digit, digitsTo(n), "choose"), screen.Hint(k.Take, "enter", "take")}
}

// answering is the key hint of answers: at most three of their letters, one in a narrow
// window, where the far view needs the room, then the digits.
func (k *keyMap) answering(presses []string, width int) key.Binding {
	most := 3
	if width < wideHints {
		most = 1
	}
	var signs []string
	digits, unsure := 0, false
	for _, p := range presses {
		switch {
		case p == "0":
			unsure = true
		case p[0] <= '9':
			digits++
		case len(signs) < most:
			signs = append(signs, p)
		case len(signs) == most:
			signs = append(signs, "…")
		}
	}
	if digits > 0 && len(signs) <= most { // the ellipsis covers them too
		signs = append(signs, digitsTo(digits))
	}
	if unsure {
		signs = append(signs, "0")
	}
	return screen.Hint(k.Digit, strings.Join(signs, " "), "answer")
}

// wideHints is the width from which on three letters of answers are hinted at.
const wideHints = 100

// shortest is the number of keys in the foot of the page.
const shortest = 7

// Keys is what the foot line and the help page list: the keys of the page shown.
func (m Model) Keys() help.KeyMap {
	short := m.page.help(m)
	return pageKeys{slices.Clip(short[:min(len(short), shortest)]), [][]key.Binding{m.inFull(short)}}
}

// inFull are the keys of a page with full texts, and the arrows and level keys that go
// with them.
func (m Model) inFull(short []key.Binding) (out []key.Binding) {
	k := m.keys
	with := map[string][]key.Binding{
		k.Digit.Keys()[0]:   {k.Up, k.Down, k.Take},
		k.Down.Keys()[0]:    {k.Up, k.PgUp, k.PgDown},
		k.Farther.Keys()[0]: {k.Nearer}, k.Brighter.Keys()[0]: {k.Dimmer},
	}
	if m.page.traits(m).scrolls {
		delete(with, k.Digit.Keys()[0])
	}
	add := func(b key.Binding) {
		if !slices.ContainsFunc(out, func(o key.Binding) bool { return o.Keys()[0] == b.Keys()[0] }) {
			out = append(out, b)
		}
	}
	for _, b := range short {
		add(k.long(b))
		for _, o := range with[b.Keys()[0]] {
			add(o)
		}
	}
	if m.page.shows(m).Frames != nil && !m.Typing() {
		for _, b := range []key.Binding{k.Brighter, k.Dimmer, k.Off} {
			add(b)
		}
	}
	if !m.page.traits(m).first {
		add(k.Leave)
	}
	return out
}

// long is a hint in the words of the help page. A hint for several keys, as
// the digits are, keeps its sign.
func (k *keyMap) long(short key.Binding) key.Binding {
	for _, b := range k.all() {
		if b.Keys()[0] != short.Keys()[0] {
			continue
		}
		if len(b.Keys()) > 2 {
			b.SetHelp(short.Help().Key, b.Help().Desc)
		}
		return b
	}
	return short
}
