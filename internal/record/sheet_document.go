package record

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/markup"
	"example.org/ringout/internal/prop"
)

// A sheetDocument builds the document of WriteHTML.
type sheetDocument struct {
	contents   [][]contentsRow // a list for each page of contents
	collisions []string        // above the first of them
	missing    string          // the same: props that are not in it
	sum        string          // over all props
	pages      int
	out        markup.Document
}

const sheetStyle = `* { box-sizing: border-box; }
body { font: 9.5pt/1.25 sans-serif; color: #111; background: #fff; margin: 0 auto; max-width: 192mm; }
section { padding: 4mm 0; }
@media print {
  section { height: 100vh; padding: 0; break-after: page; display: flow-root; }
  section:last-child { break-after: auto; }
}
h1 { font-size: 18pt; margin: 0; border-bottom: 0.4mm solid #111; overflow-wrap: anywhere; }
h2 { font-size: 1.1em; margin: 0.8em 0 0.2em; }
p { margin: 0.6mm 0; }
figure { margin: 1mm 0; }
svg { display: block; margin: 0 auto; width: 186mm; max-width: 100%; }
table { border-collapse: collapse; width: 100%; }
th, td { text-align: left; padding: 0.15em 0.5em; border-bottom: 0.2mm solid #999; vertical-align: top; white-space: nowrap; }
td:first-child, td.free { white-space: normal; overflow-wrap: anywhere; }
td.n, th.n { text-align: right; }
.two { display: grid; align-items: start; grid-template-columns: 1fr 1fr; gap: 0 6mm; }
dl { margin: 0; display: grid; grid-template-columns: auto 1fr; gap: 0 2.5mm; overflow-wrap: anywhere; }
dt { font-weight: bold; } dd { margin: 0; }
ul { margin: 0; padding-left: 4.5mm; }
.verdict { border: 0.3mm solid #111; padding: 1mm 2.5mm; margin: 2mm 0; overflow-wrap: anywhere; }
.labels { font-family: monospace; font-size: max(0.92em, 7pt); columns: 2; column-gap: 6mm; overflow-wrap: anywhere; }
.labels div { break-inside: avoid; }
.buy { font-size: max(0.92em, 7pt); columns: 2; column-gap: 6mm; overflow-wrap: anywhere; }
.buy div { break-inside: avoid; padding-left: 1.4em; text-indent: -1.4em; }
.list td:first-child { white-space: nowrap; }
.cautions { font-size: max(0.85em, 7pt); border-top: 0.3mm solid #111; margin-top: 2mm; padding-top: 1mm; }
.rule { height: 9mm; border-bottom: 0.2mm solid #999; }
.made { color: #444; font-size: 8pt; }
.contents h1 { margin-bottom: 2mm; }
</style>
</head>
<body>
`

// head writes everything before the first page.
func (d *sheetDocument) head(paper Paper, pages []Page) {
	d.out.Put(`<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Bench sheet`)
	for _, pg := range pages {
		d.out.Putf(" · %s", pg.Prop.Name)
	}
	size := ""
	if paper != AnyPaper {
		size = "size: " + string(paper) + ";"
	}
	d.out.Putf("</title>\n<style>\n@page { %s margin: 12mm; }\n", size)
	d.out.Put(sheetStyle)
}

func (d *sheetDocument) contentsPage(number int, rows []contentsRow) {
	d.out.Putf(`<section class="contents">
<h1>Bench sheets</h1>
<p class="made">%s · page %d of %d</p>
`, d.sum, number, d.pages)
	if number == 1 && d.missing != "" {
		d.out.Putf(`<div class="verdict"><b>Some props are missing</b><br>%s</div>`+"\n", d.missing)
	}
	if number == 1 && len(d.collisions) > 0 {
		d.out.Put(`<div class="verdict"><b>Props use the same slots</b>`)
		for _, s := range d.collisions {
			d.out.Putf("<br>%s\n", s)
		}
		d.out.Put("</div>\n")
	}
	d.out.Put(`<table><thead><tr><th>Prop</th><th class="n">Page</th><th class="n">Pixels</th><th>Host</th><th>Universes</th><th class="n">White at full</th><th>Check-out</th></tr></thead>
<tbody>`)
	for _, r := range rows {
		d.out.Putf(`<tr><td>%s</td><td class="n">%d</td><td class="n">%d</td><td>%s</td><td>%s</td><td class="n">%s</td><td class="free">%s</td></tr>`+"\n",
			r.Name, r.Page, r.Pixels, r.Host, r.Universes, r.Amps, r.Verdict)
	}
	d.out.Put("</tbody></table>\n</section>\n")
}

func (d *sheetDocument) listPage(number int, rows []listRow) {
	d.out.Putf(`<section class="list">
<h1>Shopping list for all props</h1>
<p class="made">%s · page %d of %d</p>
<table><thead><tr><th></th><th class="n">How much</th><th>What</th><th>Mind</th><th>For</th></tr></thead>
<tbody>`, listReserve, number, d.pages)
	for _, r := range rows {
		d.out.Putf(`<tr><td>%s</td><td class="n">☐ %s</td><td class="free">%s</td><td class="free">%s</td><td class="free">%s</td></tr>`+"\n",
			r.Group, r.Amount, r.Name, r.Note, r.For)
	}
	d.out.Put("</tbody></table>\n</section>\n")
}

// front writes the drawing, the verdict, and the addresses if there is room.
func (d *sheetDocument) front(h htmlPage) {
	d.out.Putf(`<section class="front">
<h1>%s</h1>
<p class="made">Bench sheet · %s · made %s by ringout %s · page %d of %d</p>
<figure>%s</figure>
<p class="made">%s</p>
<div class="verdict"><b>%s</b></div>
`, h.Prop.Name, h.Sum, h.Date, h.Ringout, h.Front, d.pages, h.Drawing, h.legend(), h.Head)
	if h.OnFront && h.More == nil {
		d.addresses(h.Tables)
	}
	d.cautions(h.Warnings)
	d.out.Put("</section>\n")
}

// legend explains the signs that the drawing contains.
func (h htmlPage) legend() string {
	p := h.Prop
	if p.Bulb() {
		return "The bulb is one pixel."
	}
	text := "Numbers are pixels in data order"
	if p.Pixels() >= h.Every {
		text += fmt.Sprintf(", every %dth one shaded", h.Every)
	}
	text += ". Filled circle: first pixel of a run."
	if _, lit := p.Lights(); lit < p.Pixels() {
		text += " Dashed circle: gives no light."
	}
	if p.Pixels() > 1 {
		text += " Triangle: travel of data."
	}
	if len(p.Runs) > 1 {
		text += " J: joint."
	}
	if len(p.Feeds) > 0 {
		text += " F and square: feed."
	}
	return text
}

// unbroken joins the end of each label with no-break spaces, so that its arrow is not alone on
// a line.
func unbroken(labels []string) []string {
	out := slices.Clone(labels)
	for i := range out {
		out[i] = strings.ReplaceAll(out[i], "data in >", "data\u00a0in\u00a0>")
	}
	return out
}

// prop writes all pages of a prop.
func (d *sheetDocument) prop(h htmlPage) {
	d.front(h)
	d.back(h)
	at, rest := h.Front+2, h.Rest
	for i, rows := range h.More {
		var below []block
		if i == len(h.More)-1 && h.RestBelow {
			below, rest = rest[0], rest[1:]
		}
		d.rowsPage(h, at, rows, below)
		at++
	}
	for _, blocks := range rest {
		d.startPage(h, at)
		d.blocks(blocks)
		at++
	}
	if at < h.Front+h.length() {
		d.startPage(h, at)
		d.out.Put("<p class=\"made\">Free for notes</p>\n" + ruled + "</section>\n")
	}
}

// ruled are lines to write on, 9 mm apart, as many as the shorter paper has (255 mm).
var ruled = markup.Raw(strings.Repeat("<div class=\"rule\"></div>", 26))

// startPage starts a page after the back.
func (d *sheetDocument) startPage(h htmlPage, number int) {
	d.out.Putf(`<section class="back" style="font-size: %.1fpt">
<p class="made">%s · page %d of %d</p>
`, leastType, h.Prop.Name, number, d.pages)
}

// cautions writes the warnings at full level.
func (d *sheetDocument) cautions(findings []string) {
	if len(findings) > 0 {
		d.out.Put("<h2>Warnings at full level</h2>")
		d.list(findings)
		d.out.Put("\n")
	}
}

// rowsPage writes a page of addresses and labels, and blocks below them.
func (d *sheetDocument) rowsPage(h htmlPage, number int, rows []prop.Row, below []block) {
	d.startPage(h, number)
	d.addresses([][]prop.Row{rows})
	d.out.Put("<h2>Labels</h2>\n<div class=\"labels\">")
	part := h.Page
	part.Rows = slices.DeleteFunc(slices.Clone(h.Rows), func(r prop.Row) bool {
		return r.FirstPixel < rows[0].FirstPixel || r.FirstPixel > rows[len(rows)-1].FirstPixel
	})
	d.each("<div>%s</div>", unbroken(part.Labels()))
	d.out.Put("</div>\n")
	d.blocks(below)
}

// blocks writes blocks that do not fit the back, and ends the page.
func (d *sheetDocument) blocks(blocks []block) {
	for _, b := range blocks {
		d.out.Putf("<h2>%s</h2>", b.Title)
		d.list(b.Texts)
		d.out.Put("\n")
	}
	d.out.Put("</section>\n")
}

// back writes the rest of the page's content, in a type size that fits.
func (d *sheetDocument) back(h htmlPage) {
	d.out.Putf(`<section class="back" style="font-size: %spt">
<p class="made">%s · page %d of %d</p>
`, h.Size, h.Prop.Name, h.Front+1, d.pages)
	if !h.OnFront && h.More == nil {
		d.addresses(h.Tables)
	}
	d.parts(h.Prop.Parts)
	d.facts("Where it listens", h.Address)
	d.facts("Power", h.Supply)
	d.cautions(h.Power.Findings)
	if titles := h.onNextPages(); h.More == nil && len(titles) > 0 {
		d.out.Putf("<p><b>%s:</b> from the next page on.</p>\n", strings.Join(titles, ", "))
	}
	d.out.Putf(`<div class="verdict"><b>%s</b>`, h.Head)
	d.each("<br>%s", h.Lines)
	d.out.Put("</div>\n")
	d.each("<p>%s</p>", h.Notes)
	if h.More == nil {
		d.out.Put("\n<h2>Labels</h2>\n<div class=\"labels\">")
		d.each("<div>%s</div>", unbroken(h.Labels()))
		d.out.Put("</div>")
	} else {
		d.out.Put("<p>Addresses, labels and more: on the next pages.</p>")
	}
	if len(h.Buy) > 0 {
		d.out.Put("\n<h2>To buy for this prop</h2>\n<div class=\"buy\">")
		d.each("<div>☐ %s</div>", h.Buy)
		d.out.Put("</div>")
	}
	d.out.Putf("\n<p class=\"made\">%s</p>\n<div class=\"cautions\">", listReserve)
	d.list(h.Cautions)
	d.out.Put("</div>\n</section>\n")
}

// onNextPages are the titles of what the back has no room for.
func (h htmlPage) onNextPages() (titles []string) {
	for _, blocks := range h.Rest {
		for _, b := range blocks {
			titles = append(titles, b.Title)
		}
	}
	return slices.Compact(titles) // a block may go on
}

// each writes every text in a format.
func (d *sheetDocument) each(format string, texts []string) {
	for _, text := range texts {
		d.out.Putf(format, text)
	}
}

func (d *sheetDocument) list(texts []string) {
	d.out.Put("<ul>")
	d.each("<li>%s</li>", texts)
	d.out.Put("</ul>")
}

func (d *sheetDocument) facts(title string, facts []fact) {
	if len(facts) == 0 {
		return
	}
	d.out.Putf("<h2>%s</h2><dl>", title)
	for _, f := range facts {
		d.out.Putf("<dt>%s</dt><dd>%s</dd>", f.What, f.Value)
	}
	d.out.Put("</dl>\n")
}

// parts writes the parts of the prop and their pixels, counted from 1.
func (d *sheetDocument) parts(parts []prop.Part) {
	if len(parts) == 0 {
		return
	}
	d.out.Putf("<p><b>Parts:</b> %s</p>\n", strings.Join(partTexts(parts), "; "))
}

func partTexts(parts []prop.Part) (texts []string) {
	for _, p := range parts {
		name := p.Name
		if p.Empty {
			name += " (empty: no light, keep it black)"
		}
		texts = append(texts, name+" "+span(p.First+1, p.Last+1))
	}
	return texts
}

func (d *sheetDocument) addresses(tables [][]prop.Row) {
	two := markup.Raw("")
	if len(tables) > 1 {
		two = ` class="two"`
	}
	d.out.Putf("<h2>Addresses</h2>\n<div%s>", two)
	for _, rows := range tables {
		d.out.Put(`<table><thead><tr><th>Run</th><th class="n">Pixels</th><th>Numbers</th><th>First slot</th><th>Last slot</th><th>Order</th><th>Travel</th></tr></thead>
<tbody>`)
		for _, r := range rows {
			d.out.Putf(`<tr><td>%s</td><td class="n">%d</td><td>%s</td><td>U%d S%d</td><td>U%d S%d</td><td>%s</td><td>%s</td></tr>`+"\n",
				r.Run, r.Pixels, span(r.FirstPixel, r.LastPixel), r.FirstUniverse, r.FirstSlot, r.LastUniverse, r.LastSlot, r.Order, r.Travel)
		}
		d.out.Put("</tbody></table>")
	}
	d.out.Put("</div>\n")
}
