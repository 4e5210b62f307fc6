package outsider

// A Light is what one place of a prop gives: red, green, blue and two whites.
type Light struct{ R, G, B, W, C uint8 }

// channel is the part of a light that a colour letter of an order names; nil
// for a letter that is none.
func (l *Light) channel(letter byte) *uint8 {
	switch letter {
	case 'R':
		return &l.R
	case 'G':
		return &l.G
	case 'B':
		return &l.B
	case 'W':
		return &l.W
	case 'C':
		return &l.C
	}
	return nil
}

// lit is the strongest part under which a place is dark, on the page.
const lit = 5

const dark = "dark"

// byParts are the names of colours: which of red, green and blue count.
var byParts = map[[3]bool]string{
	{true, false, false}: "red", {false, true, false}: "green", {false, false, true}: "blue",
	{true, true, false}: "yellow", {false, true, true}: "cyan", {true, false, true}: "magenta",
	{true, true, true}: "white",
}

// Name is the colour's name: a white adds to red, green and blue alike, and
// parts of six tenths of the strongest and more count.
func (l Light) Name() string {
	whites := int(l.W) + int(l.C)
	parts := [3]int{int(l.R) + whites, int(l.G) + whites, int(l.B) + whites}
	strongest := max(parts[0], parts[1], parts[2])
	if strongest < lit {
		return dark
	}
	var counts [3]bool
	for i, p := range parts {
		counts[i] = p*10 >= strongest*6
	}
	return byParts[counts]
}

// Brightness is the strongest of red, green and blue, plus the whites.
func (l Light) Brightness() int {
	return int(max(l.R, l.G, l.B)) + int(l.W) + int(l.C)
}

// hueName is the name that a hue of a probe has for the eye.
func hueName(hue string) string {
	if hue == "white light" || hue == "cool white" {
		return "white"
	}
	return hue
}
