package plan

import "example.org/ringout/internal/markup"

// A pagesDocument builds the document of WritePages.
type pagesDocument struct {
	*plateDrawing
	paper, turn  string
	across, down float64 // of the drawing on one page
	columns      int     // of pages
	rows         int
	out          markup.Document
}

const pagesStyle = `* { box-sizing: border-box; margin: 0; padding: 0; }
body { font: 9pt/1.3 sans-serif; color: #111; background: #fff; }
section:last-child { break-after: auto; }
h1 { font-size: 13pt; margin-bottom: 2mm; }
ul { padding-left: 4mm; margin: 2mm 0; }
.defs { position: absolute; width: 0; height: 0; overflow: hidden; }
@media screen { section { margin: 8mm auto; outline: 1px solid #ccc; } }
`

// head writes everything before the first page, with the two sides as SVG definitions.
func (p *pagesDocument) head() {
	p.out.Putf(`<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="generator" content="ringout route pages">
<title>%s · which pixel goes into which hole</title>
<style>
@page { size: %s %s; margin: %gmm; }
`, p.sp.Prop.Name, p.paper, p.turn, pageMargin)
	p.out.Put(pagesStyle)
	p.out.Putf(`section { width: %gmm; break-after: page; overflow: hidden; }
.all svg { display: block; max-width: 100%%; width: %gmm; max-height: 170mm; margin: 3mm 0; }
.caption { height: %gmm; overflow: hidden; }
.caption svg { display: block; width: %gmm; height: 5mm; }
.page svg.plate { display: block; width: %gmm; height: %gmm; }
</style>
</head>
<body>
<svg class="defs" aria-hidden="true"><defs>
`, p.across, p.wide, captionHigh, rulerLong, p.across, p.down)
	for i, f := range plateSides {
		p.out.Putf("<g id=\"face%d\" font-family=\"sans-serif\">%s</g>\n", i, markup.Raw(p.draw(f.mirror)))
	}
	p.out.Put("</defs></svg>\n")
}

// firstPage writes the first page: instructions, the whole plate, and its facts.
func (p *pagesDocument) firstPage() {
	name := p.sp.Prop.Name
	p.out.Putf(`<section class="all">
<h1>%s: which pixel goes into which hole</h1>
<p>Print at 100 %%, not fitted to the page, and measure the ruler on each page. Tape the pages by their names, then to the plate. Push pixel 1 into hole 1, and so on.
The string goes in from the back: use the mirrored pages there.`, name)
	if p.columns*p.rows > 1 {
		p.out.Putf(" Each side is %d pages wide and %d high; the edge of a page comes to lie on the dotted line of its neighbour.", p.columns, p.rows)
	}
	p.out.Putf("</p>\n%s\n", markup.Raw(p.overview(p.columns, p.rows, p.across, p.down)))
	p.out.Put(`<p>Circle: a hole with the number of its pixel; the first has a thick edge. Square: a pixel tucked away dark. Line and arrow: the way of the cord. Dashed: the lead from the controller.</p>
<ul>`)
	for _, fact := range p.sp.Facts() {
		p.out.Putf("<li>%s</li>\n", fact)
	}
	p.out.Put(`</ul>
<p>Power off before you push, pull or solder. Mains work is for licensed people, by local codes.</p>
</section>
`)
}

// tile writes one page of a side.
func (p *pagesDocument) tile(number int, f plateSide, t tile) {
	p.out.Putf(`<section class="page">
<div class="caption"><b>%s, %s</b> · page %s of %d by %d`, p.sp.Prop.Name, f.name, t.name, p.columns, p.rows)
	if t.join != "" {
		p.out.Putf(" · joins %s", t.join)
	}
	p.out.Put(`
<svg viewBox="0 0 100 5"><path d="M0.2 0.5V4M99.8 0.5V4M0.2 2.2H99.8" stroke="#111" stroke-width="0.3" fill="none"/><text x="50" y="4.8" font-size="2.6" text-anchor="middle">100 mm: print at 100 %</text></svg></div>
`)
	p.out.Putf(`<svg class="plate" viewBox="%g %g %g %g"><use href="#face%d"/>%s</svg>
</section>
`, t.x, t.y, p.across, p.down, number, t.edges(p.across, p.down))
}
