package plan

import (
	"fmt"
	"html"
	"html/template"
	"io"
	"math"
	"strings"

	"example.org/ringout/internal/prop"
)

// PagesMark stands in every file of pages, so that they know each other.
const PagesMark = `content="ringout route pages"`

// All measures of the pages are millimetres.
const (
	pageMargin  = 10.0 // of the paper
	captionHigh = 16.0 // above the drawing, with the ruler
	overlap     = 10.0 // of neighbouring pages
	plateEdge   = 15.0 // round the outermost holes
	rulerLong   = 100.0
	leastType   = 2.5 // 7 pt are 2.47 mm
)

// papers are width and height of the sheets. Pages for any paper fit both.
var papers = map[string][2]float64{"A4": {210, 297}, "letter": {215.9, 279.4}, "": {210, 279.4}}

// flat are the same sheets lying on their side.
var flat = map[string][2]float64{"A4": {297, 210}, "letter": {279.4, 215.9}, "": {279.4, 210}}

// A face is the plate as seen from one side.
type face struct {
	Name   string
	Mirror bool
}

var faces = [2]face{{"from the front", false}, {"from the back, mirrored", true}}

// A tile is one page of a face: the part of the drawing from X, Y on.
type tile struct {
	Name string // "B2": column B, row 2
	X, Y float64
	Join string // the neighbours to tape it to

	right, below bool // it has such neighbours
}

// Edges are the lines on which the edge of the next page comes to lie.
func (t tile) Edges(wide, high float64) template.HTML {
	var b strings.Builder
	line := func(x, y, dx, dy float64) {
		fmt.Fprintf(&b, `<path d="M%.2f %.2fl%.2f %.2f" stroke="#999" stroke-width="0.2" stroke-dasharray="1 2" fill="none"/>`, x, y, dx, dy)
	}
	if t.right {
		line(t.X+wide-overlap, t.Y, 0, high)
	}
	if t.below {
		line(t.X, t.Y+high-overlap, wide, 0)
	}
	return template.HTML(b.String())
}

// A facePages is one face cut into pages.
type facePages struct {
	ID, Title string
	Symbol    template.HTML // made by draw, which escapes
	Tiles     []tile
}

// WritePages writes the plate true to scale as one HTML document to print and
// tape together: from the front, then from the back. paper is "A4", "letter"
// or empty for pages that fit either.
func (sp *StringPlan) WritePages(out io.Writer, paper string) error {
	d := newPlateDrawing(sp)
	size := papers[paper]
	turn, wide, high := "portrait", size[0]-2*pageMargin, size[1]-2*pageMargin-captionHigh
	columns, rows := tilesFor(d.wide, wide), tilesFor(d.high, high)
	size = flat[paper]
	w, h := size[0]-2*pageMargin, size[1]-2*pageMargin-captionHigh
	if c, r := tilesFor(d.wide, w), tilesFor(d.high, h); c*r < columns*rows {
		turn, wide, high, columns, rows = "landscape", w, h, c, r
	}
	data := struct {
		Name, Paper, Turn string
		Wide, High        float64
		PlateWide         float64
		PlateHigh         float64
		Margin, Caption   float64
		Ruler             float64
		Facts             []string
		Columns, Rows     int
		Faces             []facePages
		Overview          template.HTML
	}{Name: sp.Prop.Name, Paper: paper, Turn: turn, Wide: wide, High: high, PlateWide: d.wide, PlateHigh: d.high, Margin: pageMargin, Caption: captionHigh,
		Ruler: rulerLong, Facts: sp.Facts(), Columns: columns, Rows: rows, Overview: template.HTML(d.overview(columns, rows, wide, high))}
	for i, f := range faces {
		data.Faces = append(data.Faces, facePages{ID: fmt.Sprintf("face%d", i), Title: f.Name, Symbol: template.HTML(d.draw(f.Mirror)),
			Tiles: tiles(columns, rows, wide, high)})
	}
	return pagesTemplate.Execute(out, data)
}

// tilesFor is how many pages it takes to cover a length.
func tilesFor(long, page float64) int {
	return max(1, int(math.Ceil((long-overlap)/(page-overlap)-1e-9)))
}

func tiles(columns, rows int, wide, high float64) (out []tile) {
	name := func(c, r int) string { return fmt.Sprintf("%s%d", letters(c), r+1) }
	for r := range rows {
		for c := range columns {
			t := tile{right: c+1 < columns, below: r+1 < rows, Name: name(c, r), X: float64(c) * (wide - overlap), Y: float64(r) * (high - overlap)}
			var join []string
			if t.right {
				join = append(join, name(c+1, r)+" to the right")
			}
			if t.below {
				join = append(join, name(c, r+1)+" below")
			}
			t.Join = strings.Join(join, ", ")
			out = append(out, t)
		}
	}
	return out
}

// letters numbers columns A to Z, then AA.
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

func newPlateDrawing(sp *StringPlan) *plateDrawing {
	d := &plateDrawing{sp: sp, pixels: sp.Sign.Pixels(sp.Route)}
	d.lo, d.hi = sp.Sign.Bounds()
	d.wide, d.high = 1000*(d.hi.X-d.lo.X)+2*plateEdge, 1000*(d.hi.Y-d.lo.Y)+2*plateEdge
	d.radius = max(1.5, min(6, 400*sp.Sign.Nearest()))
	d.size = max(leastType, min(4.5, 0.8*d.radius))
	return d
}

func (d *plateDrawing) at(p prop.Point, mirror bool) prop.Point {
	x, y := 1000*(p.X-d.lo.X)+plateEdge, 1000*(d.hi.Y-p.Y)+plateEdge
	if mirror {
		x = d.wide - x
	}
	return prop.Point{X: x, Y: y}
}

// draw is the plate as SVG elements: cords with arrows, holes with numbers,
// tucked pixels as small squares. Every mark has a shape of its own; colour
// only helps.
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

// cord is the way between two pixels, with an arrowhead in its middle where
// there is room for one.
func (d *plateDrawing) cord(b *strings.Builder, from, to prop.Point) {
	fmt.Fprintf(b, `<path d="M%.2f %.2fL%.2f %.2f"/>`, from.X, from.Y, to.X, to.Y)
	long := math.Hypot(to.X-from.X, to.Y-from.Y)
	if long < 2*d.radius+2 {
		return
	}
	deg := math.Atan2(to.Y-from.Y, to.X-from.X) * 180 / math.Pi
	fmt.Fprintf(b, `<path d="M1.3 0L-1 1L-1 -1Z" fill="#4a78a8" stroke="none" transform="translate(%.2f %.2f) rotate(%.1f)"/>`+"\n", (from.X+to.X)/2, (from.Y+to.Y)/2, deg)
}

// dataIn is the lead to the first pixel, drawn as far as the plate goes.
func (d *plateDrawing) dataIn(b *strings.Builder, from, to prop.Point) {
	from.X, from.Y = max(1, min(d.wide-1, from.X)), max(1, min(d.high-5, from.Y))
	fmt.Fprintf(b, `<g stroke-dasharray="2 1.2">`)
	d.cord(b, from, to)
	fmt.Fprintf(b, `</g><text x="%.2f" y="%.2f" font-size="%.2f" fill="#234" stroke="none">data in</text>`, max(1, min(d.wide-12, from.X-4)), from.Y+d.radius+3.2, leastType+0.5)
}

// overview is the whole front on one page, with the pages it is cut into.
func (d *plateDrawing) overview(columns, rows int, wide, high float64) string {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg viewBox="0 0 %.2f %.2f" role="img" aria-label="%s"><use href="#face0"/>`, d.wide, d.high, html.EscapeString("All of "+d.sp.Prop.Name+", from the front"))
	if columns*rows > 1 {
		scale := max(d.wide/170, d.high/170)
		for _, t := range tiles(columns, rows, wide, high) {
			w, h := min(wide, d.wide-t.X), min(high, d.high-t.Y)
			fmt.Fprintf(&b, `<rect x="%.2f" y="%.2f" width="%.2f" height="%.2f" fill="none" stroke="#a33" stroke-width="%.2f" stroke-dasharray="%.2f"/>`, t.X, t.Y, w, h, 0.4*scale, 2*scale)
			fmt.Fprintf(&b, `<text x="%.2f" y="%.2f" font-size="%.2f" fill="#a33" text-anchor="middle">%s</text>`, t.X+w/2, t.Y+h/2, 6*scale, t.Name)
		}
	}
	b.WriteString("</svg>")
	return b.String()
}

var pagesTemplate = template.Must(template.New("pages").Parse(`<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="generator" content="ringout route pages">
<title>{{.Name}} · which pixel goes into which hole</title>
<style>
@page { size: {{.Paper}} {{.Turn}}; margin: {{.Margin}}mm; }
* { box-sizing: border-box; margin: 0; padding: 0; }
body { font: 9pt/1.3 sans-serif; color: #111; background: #fff; }
section { width: {{.Wide}}mm; break-after: page; overflow: hidden; }
section:last-child { break-after: auto; }
h1 { font-size: 13pt; margin-bottom: 2mm; }
ul { padding-left: 4mm; margin: 2mm 0; }
.all svg { display: block; max-width: 100%; width: {{.PlateWide}}mm; max-height: 170mm; margin: 3mm 0; }
.caption { height: {{.Caption}}mm; overflow: hidden; }
.caption svg { display: block; width: {{.Ruler}}mm; height: 5mm; }
.page svg.plate { display: block; width: {{.Wide}}mm; height: {{.High}}mm; }
.defs { position: absolute; width: 0; height: 0; overflow: hidden; }
@media screen { section { margin: 8mm auto; outline: 1px solid #ccc; } }
</style>
</head>
<body>
<svg class="defs" aria-hidden="true"><defs>
{{range .Faces}}<g id="{{.ID}}" font-family="sans-serif">{{.Symbol}}</g>
{{end}}</defs></svg>
<section class="all">
<h1>{{.Name}}: which pixel goes into which hole</h1>
<p>Print at 100 %, not fitted to the page, and measure the ruler on each page. Tape the pages by their names, tape them to the plate, and push pixel 1 into hole 1, and so on.
The string goes in from the back: use the mirrored pages there.{{if gt (len (index .Faces 0).Tiles) 1}} Each side is {{.Columns}} pages wide and {{.Rows}} high; the edge of a page comes to lie on the dotted line of its neighbour.{{end}}</p>
{{.Overview}}
<p>Circle: a hole with the number of its pixel; the first has a thick edge. Square: a pixel tucked away dark. Line and arrow: the way of the cord. Dashed: the lead from the controller.</p>
<ul>{{range .Facts}}<li>{{.}}</li>
{{end}}</ul>
<p>Switch the supply off before you push, pull or solder. Mains work is for licensed people, by local codes.</p>
</section>
{{$top := .}}{{range .Faces}}{{$face := .}}{{range .Tiles}}<section class="page">
<div class="caption"><b>{{$top.Name}}, {{$face.Title}}</b> · page {{.Name}} of {{$top.Columns}} by {{$top.Rows}}{{if .Join}} · joins {{.Join}}{{end}}
<svg viewBox="0 0 100 5"><path d="M0.2 0.5V4M99.8 0.5V4M0.2 2.2H99.8" stroke="#111" stroke-width="0.3" fill="none"/><text x="50" y="4.8" font-size="2.6" text-anchor="middle">100 mm: print at 100 %</text></svg></div>
<svg class="plate" viewBox="{{.X}} {{.Y}} {{$top.Wide}} {{$top.High}}"><use href="#{{$face.ID}}"/>{{.Edges $top.Wide $top.High}}</svg>
</section>
{{end}}{{end}}</body>
</html>
`))
