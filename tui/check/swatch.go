package check

import (
	"example.org/ringout/internal/checkout"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// swatch is a colour answer's colour as the drawings have it, with their ground at both
// sides: white is seen on a white page. Empty where there are no colours.
func swatch(st style.Styles, c patterns.Colour, level float64) string {
	switch {
	case st.Depth == style.Letters:
		return ""
	case c.Dark():
		return st.Quiet.Render("░░░")
	}
	return canvas.Inked("▐█▌", c.Dim(level), level, st.Depth)
}

// tokenSwatch is the swatch of an answer; empty for one that is no colour.
func tokenSwatch(st style.Styles, t checkout.Token, level float64) string {
	if t > checkout.Token(checkout.White) {
		return ""
	}
	return swatch(st, checkout.Hue(checkout.Name(t).String()).Colour(), level)
}
