package light

import (
	"fmt"

	"github.com/charmbracelet/bubbles/key"

	"example.org/ringout/patterns"
	"example.org/ringout/tui/screen"
)

// keyMap is every key of the screen, for one hand.
type keyMap struct {
	Pick, Forward, Back, Tens, TensBack, First, Last key.Binding
	Run, Mark, Brighter, Dimmer, Faster, Slower      key.Binding
	Way, Colour, View, Part, Dark, Call              key.Binding

	counting bool // the mark is one of the keys needed most
	dark     bool // the prop is
	unlit    bool // it is, or its pattern
	walks    bool // the pattern does, by itself
}

func newKeys() *keyMap {
	return &keyMap{
		Pick:     screen.Key(numberKeys(len(patterns.All())), "choose a pattern", "1", "2", "3", "4", "5", "6", "7", "8", "9", "0"),
		Forward:  screen.Key("→", "one step on", "right"),
		Back:     screen.Key("←", "one step back", "left"),
		Tens:     screen.Key("pgdn .", "ten steps on", "pgdown", "."),
		TensBack: screen.Key("pgup ,", "ten steps back", "pgup", ","),
		First:    screen.Key("home", "first step", "home"),
		Last:     screen.Key("end", "last step", "end"),
		Run:      screen.Key("enter", "walk or hold", "enter"),
		Mark:     screen.Key("space", "mark the last that lights", " "),
		Brighter: screen.Key("↑", "level up, brighter", "up"),
		Dimmer:   screen.Key("↓", "level down, dimmer", "down"),
		Faster:   screen.Key("+", "speed up", "+", "="),
		Slower:   screen.Key("-", "speed down", "-"),
		Way:      screen.Key("r", "other way", "r"),
		Colour:   screen.Key("c", "next colour", "c"),
		View:     screen.Key("v", "view as drawn or in rows", "v"),
		Part:     screen.Key("p", "the whole, a run, or a part alone", "p"),
		Dark:     screen.Key("l", "light off, and on again", "l"),
		Call:     screen.Key("o", "roll call instead of counting up", "o"),
	}
}

// steps are the keys that step a pattern, count with it or change its pace: what is dark does
// not step.
func (k *keyMap) steps() []key.Binding {
	return []key.Binding{k.Forward, k.Back, k.Tens, k.TensBack, k.First, k.Last, k.Run, k.Mark, k.Faster, k.Slower}
}

// numberKeys are the keys that choose one of n patterns; the tenth has 0.
func numberKeys(n int) string {
	if n < 10 {
		return fmt.Sprintf("1-%d", n)
	}
	return "1-9 0"
}

// ShortHelp is the keys needed most, in few words, the most needed first.
func (k keyMap) ShortHelp() []key.Binding {
	runs := "walk"
	if k.walks {
		runs = "hold"
	}
	first := []key.Binding{screen.Hint(k.Pick, k.Pick.Help().Key, "pattern"), screen.Hint(k.Forward, "← →", "step")}
	if k.dark { // what ends it first
		first = append([]key.Binding{screen.Hint(k.Dark, "l", "light on")}, first...)
	}
	if k.counting { // what the pattern is for
		first = append([]key.Binding{screen.Hint(k.Mark, "space", "mark")}, first...)
	}
	first = append(first, screen.Hint(k.Brighter, "↑ ↓", "level"))
	if !k.dark {
		first = append(first, screen.Hint(k.Run, "enter", runs), screen.Hint(k.Dark, "l", "light off"))
	}
	if !k.unlit { // what would change shows nothing of it
		first = append(first, screen.Hint(k.Colour, "c", "colour"), screen.Hint(k.Way, "r", "way"), screen.Either(k.Faster, k.Slower, "speed"))
	}
	return append(first, screen.Hint(k.View, "v", "view"))
}

// FullHelp is all of them.
func (k keyMap) FullHelp() [][]key.Binding {
	return [][]key.Binding{
		{k.Pick, k.Run, k.Mark, k.Call, k.Dark},
		{k.Forward, k.Back, k.Tens, k.TensBack, k.First, k.Last},
		{k.Brighter, k.Dimmer, k.Faster, k.Slower, k.Way, k.Colour, k.Part, k.View},
	}
}
