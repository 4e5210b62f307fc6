package outsider

// A Light is the light of one place, 0 to 255 per channel; C is cool white.
type Light struct{ R, G, B, W, C uint8 }

// channel returns the channel for a letter of a colour order; nil for an unknown
// letter.
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

// lit is the least value of the strongest channel at which a place counts as lit
// (internal/cli/pages/json-lines.md).
const lit = 5

const dark = "dark"

// byParts maps the set of red, green and blue that count to a colour name.
var byParts = map[[3]bool]string{
	{true, false, false}: "red", {false, true, false}: "green", {false, false, true}: "blue",
	{true, true, false}: "yellow", {false, true, true}: "cyan", {true, false, true}: "magenta",
	{true, true, true}: "white",
}

// Name is the colour name. White is added to red, green and blue alike; of these,
// those of at least 0.6 of the strongest count.
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

// hueName is the colour name for a hue of a probe.
func hueName(hue string) string {
	if hue == "white light" || hue == "cool white" {
		return "white"
	}
	return hue
}
