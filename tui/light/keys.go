package light

import (
	"fmt"

	"github.com/charmbracelet/bubbles/key"

	"example.org/ringout/patterns"
)

// keyMap is every key of the screen, for one hand.
type keyMap struct {
	Pick, Forward, Back, Tens, TensBack, First, Last key.Binding
	Run, Mark, Brighter, Dimmer, Faster, Slower      key.Binding
	Way, Colour, View, Part, Dark, Call              key.Binding

	counting bool // the mark is one of the keys needed most
	dark     bool // the prop is
	walks    bool // the pattern does, by itself
}

func newKeys() keyMap {
	b := func(shown, does string, keys ...string) key.Binding {
		return key.NewBinding(key.WithKeys(keys...), key.WithHelp(shown, does))
	}
	return keyMap{
		Pick:     b(numberKeys(), "choose a pattern", "1", "2", "3", "4", "5", "6", "7", "8", "9", "0"),
		Forward:  b("→", "one step on", "right"),
		Back:     b("←", "one step back", "left"),
		Tens:     b("pgdn .", "ten steps on", "pgdown", "."),
		TensBack: b("pgup ,", "ten steps back", "pgup", ","),
		First:    b("home", "first step", "home"),
		Last:     b("end", "last step", "end"),
		Run:      b("enter", "walk or hold", "enter"),
		Mark:     b("space", "mark the last that lights", " "),
		Brighter: b("↑", "level up, brighter", "up"),
		Dimmer:   b("↓", "level down, dimmer", "down"),
		Faster:   b("+", "speed up", "+", "="),
		Slower:   b("-", "speed down", "-"),
		Way:      b("r", "other way", "r"),
		Colour:   b("c", "next colour", "c"),
		View:     b("v", "view as drawn or in rows", "v"),
		Part:     b("p", "the whole, a run, or a part alone", "p"),
		Dark:     b("d", "dark, and light again", "d"),
		Call:     b("o", "roll call instead of counting up", "o"),
	}
}

// numberKeys are the keys that choose a pattern; the tenth has 0.
func numberKeys() string {
	if n := len(patterns.All()); n < 10 {
		return fmt.Sprintf("1-%d", n)
	}
	return "1-9 0"
}

// ShortHelp is the keys needed most, in few words, the most needed first.
func (k keyMap) ShortHelp() []key.Binding {
	say := func(b key.Binding, shown, does string) key.Binding {
		b.SetHelp(shown, does)
		return b
	}
	darkens := "dark"
	if k.dark {
		darkens = "light again"
	}
	runs := "walk"
	if k.walks {
		runs = "hold"
	}
	first := []key.Binding{say(k.Pick, k.Pick.Help().Key, "pattern"), say(k.Forward, "← →", "step")}
	if k.dark { // what ends it first
		first = append([]key.Binding{say(k.Dark, "d", darkens)}, first...)
		darkens = ""
	}
	if k.counting {
		first = append(first, say(k.Mark, "space", "last that lights"))
	}
	first = append(first, say(k.Brighter, "↑ ↓", "level"), say(k.Run, "enter", runs))
	if darkens != "" {
		first = append(first, say(k.Dark, "d", darkens))
	}
	return append(first, say(k.Colour, "c", "colour"), say(k.Way, "r", "way"), say(k.Faster, "+ -", "speed"), say(k.View, "v", "view"))
}

// FullHelp is all of them.
func (k keyMap) FullHelp() [][]key.Binding {
	return [][]key.Binding{
		{k.Pick, k.Run, k.Mark, k.Call, k.Dark},
		{k.Forward, k.Back, k.Tens, k.TensBack, k.First, k.Last},
		{k.Brighter, k.Dimmer, k.Faster, k.Slower, k.Way, k.Colour, k.Part, k.View},
	}
}
