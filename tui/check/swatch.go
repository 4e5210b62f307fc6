package check

import (
	"example.org/ringout/internal/checkout"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// swatch is a colour answer's colour as two pixels of a drawing, with its ground around them: all have one. Empty
// where there are no colours, and for the light of a white LED where warm and cool white look alike.
func swatch(st style.Styles, c patterns.Colour, level float64) string {
	of := func(c patterns.Colour) string { return canvas.Inked(" ■■ ", c.Dim(level), level, st.Depth) }
	white := c.W > 0 || c.C > 0
	if st.Depth == style.Letters || white && of(patterns.Colour{W: 255}) == of(patterns.Colour{C: 255}) {
		return ""
	}
	return of(c)
}

// tokenSwatch is the swatch of an answer; empty for one that is no colour.
func tokenSwatch(st style.Styles, t checkout.Token, level float64) string {
	if t > checkout.Token(checkout.White) {
		return ""
	}
	return swatch(st, checkout.Hue(checkout.Name(t).String()).Colour(), level)
}
