package canvas

import (
	"slices"

	"example.org/ringout/tui/style"
)

// Asked is the sign of a pixel that a question is about.
const Asked = "?"

// askedInk is on askedGround: a filled cell is seen from two metres, also among white light.
var (
	askedInk    = [4]ink{style.Sixteen: plain(30), style.Cube256: indexed(16), style.True: rgb(0, 0, 0)}
	askedGround = [4]ink{style.Sixteen: plain(93), style.Cube256: indexed(172), style.True: rgb(200, 139, 48)}
)

// AskedSign is Asked as a drawing of light has it, for its legend.
func AskedSign(d style.Depth) string {
	if d == style.Letters { // reversed, or it is lost among letters
		return "\x1b[7m" + Asked + "\x1b[0m"
	}
	b := askedInk[d].append([]byte("\x1b["), 0)
	return string(askedGround[d].append(append(b, ';'), 10)) + "m" + Asked + "\x1b[0m"
}

// SetAsked draws Asked at pixels, counted in data order, in place of their light: from the
// next Set on.
func (c *Canvas) SetAsked(pixels []int32) {
	if !slices.Equal(pixels, c.asked) {
		c.asked, c.drawn = slices.Clone(pixels), false
	}
}

// asks reports whether a pixel of the question is drawn at a spot.
func (c *Canvas) asks(s *spot) bool {
	return slices.ContainsFunc(c.asked, func(i int32) bool { return slices.Contains(s.up, i) || slices.Contains(s.low, i) })
}
