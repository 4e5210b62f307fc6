package vision

import "strings"

// Letter is how a pixel is to be drawn on a screen without colours, by the name of
// what is seen: the first letter of its colour, a capital unless it is dim.
func Letter(name string) string {
	colour := strings.TrimPrefix(name, "dim ")
	switch {
	case name == "dark":
		return "•"
	case name == "faint":
		return "w"
	case colour != name:
		return colour[:1]
	}
	return strings.ToUpper(colour[:1])
}
