package canvas

import (
	"math"
	"slices"
	"strings"

	"example.org/ringout/internal/prop"
)

// Dot is the sign of a spot of light that a camera found. Where spots share cells each is a dot of eight
// to a cell: all signs of dots are looks of one sign.
const Dot = "⠶"

// Dots is a picture of places that are closer than cells: two across and four down in a cell, which is
// about as far both ways.
type Dots struct {
	columns, rows int
	bits          []byte
}

// NewDots is an empty picture of so many cells.
func NewDots(columns, rows int) *Dots {
	columns, rows = max(0, columns), max(0, rows)
	return &Dots{columns: columns, rows: rows, bits: make([]byte, columns*rows)}
}

// dotBits are the dots of a braille pattern, by column and row (the Unicode Standard, block 2800).
var dotBits = [2][4]byte{{1, 2, 4, 64}, {8, 16, 32, 128}}

// Put sets the dot at a place in cells, from 0; nothing outside.
func (d *Dots) Put(x, y float64) {
	column, row := int(math.Floor(x)), int(math.Floor(y))
	if column < 0 || row < 0 || column >= d.columns || row >= d.rows {
		return
	}
	d.bits[row*d.columns+column] |= dotBits[int(2*(x-float64(column)))][int(4*(y-float64(row)))]
}

// At is the sign of a cell, "" without dots.
func (d *Dots) At(column, row int) string {
	if b := d.bits[row*d.columns+column]; b > 0 {
		return string(rune(0x2800) + rune(b))
	}
	return ""
}

// Sketch draws a prop as it lies in width x height cells, a dot a pixel and a sign in the cell of each
// pixel that has one; nil where the prop file does not say how it lies. It is for places, where there
// is no room for a drawing of pixels.
func Sketch(p *prop.Prop, width, height int, signs map[int]string, dots func(...string) string) []string {
	if shapeless(p) || width < 1 || height < 1 {
		return nil
	}
	at, d, over := sketched(p, width, height), NewDots(width, height), map[[2]int]string{}
	for i, pt := range at {
		d.Put(pt.X, pt.Y)
		if s := signs[i]; s != "" {
			over[[2]int{int(pt.X), int(pt.Y)}] = s
		}
	}
	out := make([]string, height)
	for y := range out {
		var b strings.Builder
		for x := range width {
			switch s := d.At(x, y); {
			case over[[2]int{x, y}] != "":
				b.WriteString(over[[2]int{x, y}])
			case s != "":
				b.WriteString(dots(s))
			default:
				b.WriteByte(' ')
			}
		}
		out[y] = b.String()
	}
	return out
}

// sketched is where each pixel lies in width x height cells, in data order.
func sketched(p *prop.Prop, width, height int) (out []prop.Point) {
	runs := prop.Layout(p)
	out = slices.Concat(runs...)
	low, high := prop.Bounds(runs...)
	const inside = 1e-3 // cells: the last place is within the last cell
	scale := math.Inf(1)
	if w := high.X - low.X; w > 0 {
		scale = math.Min(scale, (float64(width)-inside)/w)
	}
	if h := high.Y - low.Y; h > 0 {
		scale = math.Min(scale, 2*(float64(height)-inside)/h)
	}
	if math.IsInf(scale, 1) {
		scale = 0 // all in one place
	}
	for i, pt := range out {
		out[i] = prop.Point{X: (pt.X - low.X) * scale, Y: (high.Y - pt.Y) * scale / 2}
	}
	return out
}
