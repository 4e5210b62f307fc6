package main

import (
	"fmt"
	"strconv"

	"example.org/ringout/internal/testkit/vision"
)

// A palette defines how a terminal shows colours.
type palette struct {
	fore, back string
	see        vision.Kind
}

func newPalette(light bool, see string) palette {
	p := palette{fore: "#d0d0d0", back: "#141414", see: vision.Kind(see)}
	if light {
		p.fore, p.back = "#202020", "#fafafa"
	}
	return p
}

// sixteen are the first sixteen colours of xterm (its default resources).
var sixteen = [16]string{"#000000", "#cd0000", "#00cd00", "#cdcd00", "#0000ee", "#cd00cd", "#00cdcd", "#e5e5e5",
	"#7f7f7f", "#ff0000", "#00ff00", "#ffff00", "#5c5cff", "#ff00ff", "#00ffff", "#ffffff"}

// colours returns the foreground and background of a cell as seen.
func (p palette) colours(c cell) (fore, back string) {
	fore, back = p.hex(c.fore, p.fore), p.hex(c.back, p.back)
	if c.reverse {
		fore, back = back, fore
	}
	if c.faint {
		fore = mixed(fore, back)
	}
	return p.seen(fore), p.seen(back)
}

// hex returns a colour of a cell as #rrggbb; own for the default. Indexes from 16
// are xterm's cube of six steps a side, then a ramp of greys.
func (p palette) hex(colour, own string) string {
	if colour == "" || colour[0] == '#' {
		return or(colour, own)
	}
	n, _ := strconv.Atoi(colour)
	switch {
	case n < 16:
		return sixteen[n]
	case n >= 232:
		v := 8 + 10*(n-232)
		return fmt.Sprintf("#%02x%02x%02x", v, v, v)
	}
	steps := [6]int{0, 95, 135, 175, 215, 255}
	n -= 16
	return fmt.Sprintf("#%02x%02x%02x", steps[n/36], steps[n/6%6], steps[n%6])
}

func or(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

func rgb(hex string) (r, g, b uint8) {
	v, _ := strconv.ParseUint(hex[1:], 16, 32)
	return uint8(v >> 16), uint8(v >> 8), uint8(v)
}

// mixed is the colour half-way between two, as terminals commonly draw faint text.
func mixed(a, b string) string {
	ar, ag, ab := rgb(a)
	br, bg, bb := rgb(b)
	half := func(x, y uint8) int { return (int(x) + int(y)) / 2 }
	return fmt.Sprintf("#%02x%02x%02x", half(ar, br), half(ag, bg), half(ab, bb))
}

// seen converts a colour for the palette's kind of colour vision.
func (p palette) seen(hex string) string {
	if p.see == vision.Usual {
		return hex
	}
	r, g, b := vision.Seen(p.see, [3]uint8(bytes3(rgb(hex))))
	return fmt.Sprintf("#%02x%02x%02x", r, g, b)
}

func bytes3(r, g, b uint8) []byte { return []byte{r, g, b} }
