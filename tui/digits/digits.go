// Package digits draws numbers large enough to read from two metres, out of
// half blocks: one character cell holds two dots, one above the other.
//
// A legible height is the reading distance over 200 (common practice), 10 mm
// at two metres. Five rows of a 12-point terminal are over 20 mm, three are 12.
package digits

import "strings"

// The heights a number can be drawn in, in rows.
const (
	Tall  = 5
	Short = 3
)

// Lines draws text of digits, spaces and the signs - / % as rows of equal
// width. Height Tall or more draws tall, any other short. Other letters are
// left out.
func Lines(text string, height int) []string {
	glyphs, rows := short, Short
	if height >= Tall {
		glyphs, rows = tall, Tall
	}
	out := make([]strings.Builder, rows)
	first := true
	for _, r := range text {
		g, ok := glyphs[r]
		if !ok {
			continue
		}
		for row := range rows {
			if !first {
				out[row].WriteByte(' ')
			}
			writeRow(&out[row], g[2*row], g[2*row+1])
		}
		first = false
	}
	lines := make([]string, rows)
	for i := range out {
		lines[i] = out[i].String()
	}
	return lines
}

// writeRow joins an upper and a lower line of dots into one row of cells.
func writeRow(b *strings.Builder, upper, lower string) {
	for i := range len(upper) {
		switch up, low := upper[i] == '#', lower[i] == '#'; {
		case up && low:
			b.WriteRune('█')
		case up:
			b.WriteRune('▀')
		case low:
			b.WriteRune('▄')
		default:
			b.WriteByte(' ')
		}
	}
}

// glyph turns a drawing into its lines of dots.
func glyph(drawing string) []string { return strings.Fields(drawing) }
