package check

import (
	"example.org/ringout/internal/checkout"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// swatch is a colour answer's colour as two pixels of a drawing, apart from the swatches above
// and below. Bright colours and dark have the ground of drawings, so that white is seen on a white
// page. Empty where there are no colours.
func swatch(st style.Styles, c patterns.Colour, level float64) string {
	bright := c.W > 0 || c.C > 0 || c.G > 0 && (c.R > 0 || c.B > 0)
	switch {
	case st.Depth == style.Letters:
		return ""
	case bright, c.Dark():
		return canvas.Inked("■■", c.Dim(level), level, st.Depth) + " "
	}
	return canvas.Alone("■■", c.Dim(level), level, st.Depth) + " "
}

// tokenSwatch is the swatch of an answer; empty for one that is no colour.
func tokenSwatch(st style.Styles, t checkout.Token, level float64) string {
	if t > checkout.Token(checkout.White) {
		return ""
	}
	return swatch(st, checkout.Hue(checkout.Name(t).String()).Colour(), level)
}
