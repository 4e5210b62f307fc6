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

// Sketch draws a prop as it lies in width x height cells, a dot a pixel, a sign in the cell of each
// pixel that has one, and the way of the data; nil where the prop file does not say how it lies. It is
// for places, where there is no room for a drawing of pixels.
func Sketch(p *prop.Prop, width, height int, signs map[int]string, dots func(...string) string) []string {
	if shapeless(p) || width < 1 || height < 1 {
		return nil
	}
	at, d := sketched(p, width, height), NewDots(width, height)
	over := sketchedWay(p, at)
	for i, pt := range at {
		d.Put(pt.X, pt.Y)
		if s := signs[i]; s != "" {
			over[cellOf(pt)] = s
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

// sketchedWay are the arrowheads of a sketch by column and row, MinHeads a run where there are cells, in
// the place of dots, and the triangle before the first pixel, which may have a sign of its own.
func sketchedWay(p *prop.Prop, at []prop.Point) map[[2]int]string {
	over, first := map[[2]int]string{}, 0
	for _, run := range p.Runs {
		here := at[first : first+run.Pixels]
		way := make([]spotAt, len(here))
		for i, pt := range here {
			way[i] = spotAt{pt.X, 2 * pt.Y}
		}
		if first == 0 && len(here) > 0 {
			to := along(way, 0).sector(len(triangles))
			back := [][2]int{{-1, 0}, {0, -1}, {1, 0}, {0, 1}}[to]
			over[[2]int{max(0, int(here[0].X)+back[0]), max(0, int(here[0].Y)+back[1])}] = triangles[to]
		}
		for k := range MinHeads {
			if i, ok := freeDot(here, (2*k+1)*len(here)/(2*MinHeads), over); ok {
				over[cellOf(here[i])] = arrows[along(way, i).sector(len(arrows))]
			}
		}
		first += run.Pixels
	}
	return over
}

// freeDot is the pixel of a run nearest to pixel i, at most a third of the run's stretch between
// arrowheads away, in whose cell no sign stands.
func freeDot(run []prop.Point, i int, over map[[2]int]string) (int, bool) {
	for far := range max(1, len(run)/(3*MinHeads)) {
		for _, j := range []int{i + far, i - far} {
			if j >= 0 && j < len(run) && over[cellOf(run[j])] == "" {
				return j, true
			}
		}
	}
	return 0, false
}

// cellOf is the column and the row of a place in a sketch.
func cellOf(pt prop.Point) [2]int { return [2]int{int(pt.X), int(pt.Y)} }

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
