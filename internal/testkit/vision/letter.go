package vision

import "strings"

// Letter returns the letter for a pixel on a screen without colours, from the name of
// what is seen: the first letter of its colour, a capital unless it is dim.
func Letter(name string) string {
	colour := strings.TrimPrefix(strings.TrimPrefix(name, "dim "), "medium ")
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
