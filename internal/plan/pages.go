package plan

import (
	"fmt"
	"io"
	"math"
	"strings"

	"example.org/ringout/internal/markup"
	"example.org/ringout/internal/prop"
)

// PagesMark is in every file of pages, so a later run recognises its own files.
const PagesMark = `content="ringout route pages"`

// Dimensions of the pages, in millimetres.
const (
	pageMargin  = 10.0 // of the paper
	captionHigh = 16.0 // above the drawing, with the ruler
	overlap     = 10.0 // of neighbouring pages
	plateEdge   = 15.0 // around the outermost holes
	rulerLong   = 100.0
	leastType   = 2.5 // 7 pt is 2.47 mm
)

// papers gives the width and height of each paper, in mm. "" is the area that fits
// both.
var papers = map[string][2]float64{"A4": {210, 297}, "letter": {215.9, 279.4}, "": {210, 279.4}}

// landscape gives the same papers in landscape.
var landscape = map[string][2]float64{"A4": {297, 210}, "letter": {279.4, 215.9}, "": {279.4, 210}}

// A plateSide is the plate as seen from one side.
type plateSide struct {
	name   string
	mirror bool
}

var plateSides = [2]plateSide{{"from the front", false}, {"from the back, mirrored", true}}

// A tile is one page of a side: the part of the drawing from x, y on, in mm.
type tile struct {
	name string // "B2": column B, row 2
	x, y float64
	join string // the neighbours to tape it to

	right, below bool // it has such neighbours
}

// edges returns SVG paths that mark where the edges of the next pages lie. wide and
// high are the drawing area of a page, in mm.
func (t tile) edges(wide, high float64) markup.Raw {
	var b strings.Builder
	line := func(x, y, dx, dy float64) {
		fmt.Fprintf(&b, `<path d="M%.2f %.2fl%.2f %.2f" stroke="#999" stroke-width="0.2" stroke-dasharray="1 2" fill="none"/>`, x, y, dx, dy)
	}
	if t.right {
		line(t.x+wide-overlap, t.y, 0, high)
	}
	if t.below {
		line(t.x, t.y+high-overlap, wide, 0)
	}
	return markup.Raw(b.String())
}

// WritePages writes the plate at full scale as one HTML document to print and tape
// together: from the front, then from the back. paper is "A4", "letter" or empty for
// pages that fit either.
func (sp *StringPlan) WritePages(out io.Writer, paper string) error {
	d := newPlateDrawing(sp)
	size := papers[paper]
	turn, wide, high := "portrait", size[0]-2*pageMargin, size[1]-2*pageMargin-captionHigh
	columns, rows := tilesFor(d.wide, wide), tilesFor(d.high, high)
	size = landscape[paper]
	w, h := size[0]-2*pageMargin, size[1]-2*pageMargin-captionHigh
	if c, r := tilesFor(d.wide, w), tilesFor(d.high, h); c*r < columns*rows {
		turn, wide, high, columns, rows = "landscape", w, h, c, r
	}
	p := pagesDocument{plateDrawing: d, paper: paper, turn: turn, across: wide, down: high, columns: columns, rows: rows}
	p.head()
	p.firstPage()
	for i, f := range plateSides {
		for _, t := range tiles(columns, rows, wide, high) {
			p.tile(i, f, t)
		}
	}
	p.out.Put("</body>\n</html>\n")
	_, err := p.out.WriteTo(out)
	return err
}

// tilesFor is the number of pages, overlapping by overlap, that cover a length. long
// and page are mm.
func tilesFor(long, page float64) int {
	return max(1, int(math.Ceil((long-overlap)/(page-overlap)-1e-9)))
}

func tiles(columns, rows int, wide, high float64) (out []tile) {
	name := func(c, r int) string { return fmt.Sprintf("%s%d", letters(c), r+1) }
	for r := range rows {
		for c := range columns {
			t := tile{right: c+1 < columns, below: r+1 < rows, name: name(c, r), x: float64(c) * (wide - overlap), y: float64(r) * (high - overlap)}
			var join []string
			if t.right {
				join = append(join, name(c+1, r)+" to the right")
			}
			if t.below {
				join = append(join, name(c, r+1)+" below")
			}
			t.join = strings.Join(join, ", ")
			out = append(out, t)
		}
	}
	return out
}

// letters names columns A to Z, then AA.
func letters(c int) string {
	if c >= 26 {
		return letters(c/26-1) + string(rune('A'+c%26))
	}
	return string(rune('A' + c))
}

// A plateDrawing is the plate in millimetres, y down.
type plateDrawing struct {
	sp         *StringPlan
	pixels     []prop.StringPixel
	lo, hi     prop.Point // in metres
	wide, high float64
	radius     float64 // of a hole's circle
	size       float64 // of the type
}

// newPlateDrawing sets the hole circles to 0.4 of the smallest hole distance, within
// 1.5 and 6 mm, and their numbers to 0.8 of that, within 2.5 and 4.5 mm.
func newPlateDrawing(sp *StringPlan) *plateDrawing {
	d := &plateDrawing{sp: sp, pixels: sp.Sign.Pixels(sp.Route)}
	d.lo, d.hi = sp.Sign.Bounds()
	d.wide, d.high = 1000*(d.hi.X-d.lo.X)+2*plateEdge, 1000*(d.hi.Y-d.lo.Y)+2*plateEdge
	d.radius = max(1.5, min(6, 400*sp.Sign.Nearest()))
	d.size = max(leastType, min(4.5, 0.8*d.radius))
	return d
}

// at converts a point of the plate, in metres, to the drawing, in mm.
func (d *plateDrawing) at(p prop.Point, mirror bool) prop.Point {
	x, y := 1000*(p.X-d.lo.X)+plateEdge, 1000*(d.hi.Y-p.Y)+plateEdge
	if mirror {
		x = d.wide - x
	}
	return prop.Point{X: x, Y: y}
}

// draw returns the plate as SVG elements: cords with arrows, holes with numbers, tucked
// pixels as small squares. Each kind of mark has its own shape, so colour is not needed
// to tell them apart.
func (d *plateDrawing) draw(mirror bool) string {
	var lines, marks strings.Builder
	used := d.sp.Route.Pixels()
	for i, p := range d.pixels[:used] {
		q := d.at(p.At, mirror)
		if i > 0 {
			d.cord(&lines, d.at(d.pixels[i-1].At, mirror), q)
		} else if s := d.sp.Sign.Plate.Start; s != nil {
			d.dataIn(&lines, d.at(prop.Point(*s), mirror), q)
		}
		if p.Hole < 0 {
			fmt.Fprintf(&marks, `<rect x="%.2f" y="%.2f" width="2" height="2" fill="#fff" stroke="#a33" stroke-width="0.3"/>`, q.X-1, q.Y-1)
			fmt.Fprintf(&marks, `<text x="%.2f" y="%.2f" font-size="%.2f" fill="#a33">%d</text>`+"\n", q.X, q.Y-1.4, leastType, i+1)
			continue
		}
		dash := ""
		if i == 0 {
			dash = ` stroke-width="0.9"`
		}
		fmt.Fprintf(&marks, `<circle cx="%.2f" cy="%.2f" r="%.2f"%s/>`, q.X, q.Y, d.radius, dash)
		fmt.Fprintf(&marks, `<text x="%.2f" y="%.2f" font-size="%.2f">%d</text>`+"\n", q.X, q.Y+0.36*d.size, d.size, i+1)
	}
	return fmt.Sprintf(`<rect x="0.2" y="0.2" width="%.2f" height="%.2f" fill="none" stroke="#999" stroke-width="0.3"/>`, d.wide-0.4, d.high-0.4) + "\n" +
		`<g stroke="#4a78a8" stroke-width="0.4" fill="none">` + lines.String() + "</g>\n" +
		`<g fill="#fff" fill-opacity="0.8" stroke="#222" stroke-width="0.35" text-anchor="middle">` + strings.ReplaceAll(marks.String(), "<text ", `<text stroke="none" fill-opacity="1" fill="#111" `) + "</g>\n"
}

// cord draws the line between two pixels, with an arrowhead in its middle if there is
// room.
func (d *plateDrawing) cord(b *strings.Builder, from, to prop.Point) {
	fmt.Fprintf(b, `<path d="M%.2f %.2fL%.2f %.2f"/>`, from.X, from.Y, to.X, to.Y)
	long := math.Hypot(to.X-from.X, to.Y-from.Y)
	if long < 2*d.radius+2 {
		return
	}
	deg := math.Atan2(to.Y-from.Y, to.X-from.X) * 180 / math.Pi
	fmt.Fprintf(b, `<path d="M1.3 0L-1 1L-1 -1Z" fill="#4a78a8" stroke="none" transform="translate(%.2f %.2f) rotate(%.1f)"/>`+"\n", (from.X+to.X)/2, (from.Y+to.Y)/2, deg)
}

// dataIn draws the lead to the first pixel, as far as the edge of the plate.
func (d *plateDrawing) dataIn(b *strings.Builder, from, to prop.Point) {
	from.X, from.Y = max(1, min(d.wide-1, from.X)), max(1, min(d.high-5, from.Y))
	fmt.Fprintf(b, `<g stroke-dasharray="2 1.2">`)
	d.cord(b, from, to)
	fmt.Fprintf(b, `</g><text x="%.2f" y="%.2f" font-size="%.2f" fill="#234" stroke="none">data in</text>`, max(1, min(d.wide-12, from.X-4)), from.Y+d.radius+3.2, leastType+0.5)
}

// overview draws the whole front on one page, with the page boundaries.
func (d *plateDrawing) overview(columns, rows int, wide, high float64) string {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg viewBox="0 0 %.2f %.2f" role="img" aria-label="%s"><use href="#face0"/>`, d.wide, d.high, markup.Escape("All of "+d.sp.Prop.Name+", from the front"))
	if columns*rows > 1 {
		scale := max(d.wide/170, d.high/170)
		for _, t := range tiles(columns, rows, wide, high) {
			w, h := min(wide, d.wide-t.x), min(high, d.high-t.y)
			fmt.Fprintf(&b, `<rect x="%.2f" y="%.2f" width="%.2f" height="%.2f" fill="none" stroke="#a33" stroke-width="%.2f" stroke-dasharray="%.2f"/>`, t.x, t.y, w, h, 0.4*scale, 2*scale)
			fmt.Fprintf(&b, `<text x="%.2f" y="%.2f" font-size="%.2f" fill="#a33" text-anchor="middle">%s</text>`, t.x+w/2, t.y+h/2, 6*scale, t.name)
		}
	}
	b.WriteString("</svg>")
	return b.String()
}
