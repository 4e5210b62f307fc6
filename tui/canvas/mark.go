package canvas

import (
	"slices"

	"example.org/ringout/tui/style"
)

// Marked is the sign of the pixel that a person marked. Its shape differs from a pixel's,
// so that it is seen in every palette.
const Marked = "◆"

// markedInk is its colour: green, as the last sound pixel of a finding.
var markedInk = [4]ink{style.Sixteen: plain(92), style.Cube256: indexed(46), style.True: rgb(0, 255, 95)}

// MarkedSign is Marked as a drawing has it, for its legend.
func MarkedSign(d style.Depth) string { return onMat(Marked, markedInk[d], d) }

// SetMark draws Marked in place of the light of a pixel, counted in data order; a pixel
// that does not exist removes it.
func (c *Canvas) SetMark(pixel int) {
	if pixel < 0 || pixel >= len(c.flat) {
		pixel = -1
	}
	if int32(pixel) != c.mark {
		c.mark, c.drawn = int32(pixel), false
	}
}

// marks reports whether the marked pixel is drawn at a spot.
func (c *Canvas) marks(s *spot) bool {
	return c.mark >= 0 && (slices.Contains(s.up, c.mark) || slices.Contains(s.low, c.mark))
}

// fewBad is the most bad places that each stand out.
const fewBad = 6

// Bad is a sign of n bad places in the alarm's colour: in filled cells where there are few, as a block of
// many would look lit.
func Bad(st style.Styles, sign string, n int) string {
	few := n <= fewBad
	switch {
	case st.Depth == style.Letters && !few:
		return st.Strong.Render(sign)
	case st.Depth != style.Letters && few:
		return st.Warn.Filled().Render(sign)
	}
	return st.Warn.Render(sign) // filled where letters have no colour
}
