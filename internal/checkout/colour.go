package checkout

import "example.org/ringout/patterns"

// A Name is a colour as a person at the bench would call it.
type Name uint8

// The names, and Dark for a pixel that gives no light.
const (
	Dark Name = iota
	Red
	Green
	Yellow
	Blue
	Magenta
	Cyan
	White
)

var nameWords = [8]string{"dark", "red", "green", "yellow", "blue", "magenta", "cyan", "white"}

// String is the name in plain words.
func (n Name) String() string { return nameWords[n&7] }

// darkBelow is the value under which a pixel counts as dark: 2 % of full.
const darkBelow = 5

// NameOf is the name of a pixel's light. A primary counts when it reaches six
// tenths of the strongest one (assumed); a white channel adds to all three.
func NameOf(c patterns.Colour) Name {
	w := int(c.W) + int(c.C)
	r, g, b := int(c.R)+w, int(c.G)+w, int(c.B)+w
	m := max(r, g, b)
	if m < darkBelow {
		return Dark
	}
	n := Dark
	if r*10 >= m*6 {
		n |= Red
	}
	if g*10 >= m*6 {
		n |= Green
	}
	if b*10 >= m*6 {
		n |= Blue
	}
	return n
}

// A Hue is a colour that a probe sends, by name. Besides the eight names there
// are the white channels.
type Hue string

// The hues.
const (
	HueDark    Hue = "dark"
	HueRed     Hue = "red"
	HueGreen   Hue = "green"
	HueYellow  Hue = "yellow"
	HueBlue    Hue = "blue"
	HueMagenta Hue = "magenta"
	HueCyan    Hue = "cyan"
	HueWhite   Hue = "white"       // red, green and blue together
	HueWarm    Hue = "white light" // only the white of a four-slot pixel
	HueCool    Hue = "cool white"  // only the second white
)

// hueOf is the hue that lights exactly one channel.
func hueOf(ch patterns.Channel) Hue {
	return [patterns.NumChannels]Hue{HueRed, HueGreen, HueBlue, HueWarm, HueCool}[ch]
}

// hue is the hue of a name.
func (n Name) hue() Hue { return Hue(n.String()) }

// Colour is the hue at full value.
func (h Hue) Colour() patterns.Colour {
	switch h {
	case HueWarm:
		return patterns.Colour{W: 255}
	case HueCool:
		return patterns.Colour{C: 255}
	}
	n := h.name()
	var c patterns.Colour
	if n&Red != 0 {
		c.R = 255
	}
	if n&Green != 0 {
		c.G = 255
	}
	if n&Blue != 0 {
		c.B = 255
	}
	return c
}

// name is the name of the hue's light on a sound prop.
func (h Hue) name() Name {
	for i, w := range nameWords {
		if string(h) == w {
			return Name(i)
		}
	}
	if h == HueWarm || h == HueCool {
		return White
	}
	return Dark
}

// known reports whether the hue is one of the list.
func (h Hue) known() bool { return h == HueDark || h.name() != Dark }

// strongest is the brightness of the strongest of red, green and blue.
func strongest(c patterns.Colour) int {
	w := int(c.W) + int(c.C)
	return max(int(c.R), int(c.G), int(c.B)) + w
}
