package record

import (
	"fmt"
	"html/template"
	"io"
	"slices"

	"example.org/ringout/internal/prop"
)

// A Paper is what the sheet is printed on. Empty leaves it to the printer.
type Paper string

// The papers that the sheet is made to fit.
const (
	AnyPaper Paper = ""
	A4       Paper = "A4"
	Letter   Paper = "letter"
)

// WriteHTML writes two pages for each prop, the front and the back of one
// sheet, as one document that needs no network. Before those of several props
// stand the contents and one shopping list for all of them.
func WriteHTML(w io.Writer, paper Paper, pages ...Page) error {
	data := struct {
		Paper    Paper
		Pages    []htmlPage
		Contents [][]contentsRow // a list for each page of contents
		Buy      [][]listRow     // and for each page of the shopping list
		Sum      string
		Reserve  string
		All      int // pages
	}{Paper: paper, Reserve: listReserve}
	if len(pages) > 1 {
		data.Buy = listPages(pages)
		data.Contents, data.Sum = contents(pages, len(data.Buy))
	}
	before := len(data.Contents) + len(data.Buy)
	for i, pg := range pages {
		data.Pages = append(data.Pages, newHTMLPage(pg, before+2*i+1))
	}
	data.All = before + 2*len(pages)
	return sheetTemplate.Execute(w, data)
}

type htmlPage struct {
	Page
	Drawing         template.HTML // made by Drawing, which escapes
	Every           int           // pixels from one number in the drawing to the next
	Address, Supply []fact
	Head            string
	Lines           []string
	Buy             []string // the prop's own shopping list
	Cautions        []string
	Tables          [][]prop.Row
	OnFront         bool   // the tables fit on the front, below the drawing
	Sum             string // how many pixels of what
	Size            string // of the type on the back, in points
	Date            string
	Front, Back     int // page numbers
}

func newHTMLPage(pg Page, number int) htmlPage {
	svg, height, every := drawn(pg.Prop)
	h := htmlPage{Page: pg, Drawing: template.HTML(svg), Every: every, Sum: pg.sum(), Address: pg.address(), Supply: pg.powerFacts(),
		Buy: pg.bought(), Cautions: pg.cautions(), Date: pg.Made.Format("2 January 2006 15:04"), Front: number, Back: number + 1}
	h.Head, h.Lines = pg.verdict()
	rows := slices.Clone(pg.Rows)
	if crowded(len(rows)) {
		for i := range rows {
			rows[i].Run = runMark(i) + " " + rows[i].Run
		}
	}
	h.Tables = [][]prop.Row{rows}
	if half := (len(rows) + 1) / 2; half > 8 {
		h.Tables = [][]prop.Row{rows[:half], rows[half:]}
	}
	h.OnFront = len(h.Tables) == 1 && frontHas(h, height/drawWidth*186)
	h.Size = fmt.Sprintf("%.1f", fontSize(h))
	return h
}

// frontHas reports whether the table of addresses fits under a drawing so many
// millimetres high, on the shorter paper (Letter: 11 in less two margins of
// 12 mm is 255 mm). The other lines of the front take 36 mm, and more when
// names wrap.
func frontHas(h htmlPage, drawing float64) bool {
	const paper, others, head, row, line = 255.0, 36.0, 11.0, 5.0, 4.2
	high := drawing + others + head + 9*float64(len(h.Prop.Name)/45)
	for _, r := range h.Tables[0] {
		high += row + line*float64(len(r.Run)/40)
	}
	return high <= paper
}

// fontSize is the largest type, in points, at which the lines of the back fit
// the shorter of the two papers. Long sentences are counted as the lines they
// fill.
func fontSize(h htmlPage) float64 {
	const paper, largest, smallest = 723.0, 10.0, 4.0
	lines := 12 + 0.9*float64(len(h.Cautions))
	for i := range h.Tables[0] {
		if i%2 == 0 { // labels stand in two columns and may wrap
			lines += 1 + 0.92*float64(len(h.Labels()[i])/50)
		}
	}
	if len(h.Tables) > 1 {
		lines += float64(len(h.Tables[1])) / 2
	}
	if !h.OnFront {
		for _, r := range h.Tables[0] {
			lines += 1.5 + float64(len(r.Run)/(60/len(h.Tables)))
		}
		lines += 3
	}
	for _, x := range h.Buy { // in two columns, in smaller type
		lines += 0.5 * float64(1+len(x)/55)
	}
	lines += 2
	for _, f := range h.Supply {
		lines += 1 + float64(len(f.Value)/70)
	}
	lines += float64(len(h.Address))
	for _, texts := range [][]string{h.Power.Findings, partNames(h.Prop), h.Lines, h.Notes} {
		for _, s := range texts {
			lines += float64(1 + len(s)/105)
		}
	}
	return max(smallest, min(largest, paper/(1.3*lines)))
}

func partNames(p *prop.Prop) []string {
	all := ""
	for _, part := range p.Parts {
		all += part.Name + " 1000-1000; "
		if part.Empty {
			all += " (empty: no light, keep it black)"
		}
	}
	return []string{all}
}

// A contentsRow is one prop in the contents.
type contentsRow struct {
	Name, Host, Universes, Amps, Verdict string
	Page, Pixels                         int
}

// contents lists the props, so many to a page, and sums them up; between lies a
// shopping list of so many pages.
func contents(pages []Page, between int) (out [][]contentsRow, sum string) {
	const each = 40
	lists := (len(pages) + each - 1) / each
	pixels, amps := 0, 0.0
	for i, pg := range pages {
		head, _ := pg.verdict()
		row := contentsRow{Name: pg.Prop.Name, Host: pg.Prop.Address.HostName(), Universes: span(pg.universes()), Verdict: head,
			Amps: fmt.Sprintf("%.1f A", pg.Power.Amps), Page: lists + between + 2*i + 1, Pixels: pg.Prop.Pixels()}
		if i%each == 0 {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], row)
		pixels, amps = pixels+pg.Prop.Pixels(), amps+pg.Power.Amps
	}
	return out, fmt.Sprintf("%d props, %d pixels, %.1f A with all of them white at full level", len(pages), pixels, amps)
}

// universes are the first and the last that the prop listens to.
func (pg Page) universes() (first, last int) {
	for _, r := range pg.Rows {
		if first == 0 || r.FirstUniverse < first {
			first = r.FirstUniverse
		}
		last = max(last, r.LastUniverse)
	}
	return first, last
}

var sheetTemplate = template.Must(template.New("sheet").Funcs(template.FuncMap{
	"inc":  func(i int) int { return i + 1 }, // pixels count from 1 for people
	"add":  func(a, b int) int { return a + b },
	"span": span,
}).Parse(`<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Bench sheet{{range .Pages}} · {{.Prop.Name}}{{end}}</title>
<style>
@page { {{if .Paper}}size: {{.Paper}};{{end}} margin: 12mm; }
* { box-sizing: border-box; }
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
.labels { font-family: monospace; font-size: 0.92em; columns: 2; column-gap: 6mm; overflow-wrap: anywhere; }
.labels div { break-inside: avoid; }
.buy { font-size: 0.92em; columns: 2; column-gap: 6mm; overflow-wrap: anywhere; }
.buy div { break-inside: avoid; padding-left: 1.4em; text-indent: -1.4em; }
.list td:first-child { white-space: nowrap; }
.cautions { font-size: 0.85em; border-top: 0.3mm solid #111; margin-top: 2mm; padding-top: 1mm; }
.made { color: #444; font-size: 8pt; }
.contents h1 { margin-bottom: 2mm; }
</style>
</head>
<body>
{{define "addresses"}}<h2>Addresses</h2>
<div{{if gt (len .Tables) 1}} class="two"{{end}}>{{range .Tables}}<table><thead><tr><th>Run</th><th class="n">Pixels</th><th>Numbers</th><th>First slot</th><th>Last slot</th><th>Order</th><th>Travel</th></tr></thead>
<tbody>{{range .}}<tr><td>{{.Run}}</td><td class="n">{{.Pixels}}</td><td>{{span .FirstPixel .LastPixel}}</td><td>U{{.FirstUniverse}} S{{.FirstSlot}}</td><td>U{{.LastUniverse}} S{{.LastSlot}}</td><td>{{.Order}}</td><td>{{.Travel}}</td></tr>
{{end}}</tbody></table>{{end}}</div>
{{end}}{{$all := .All}}{{$sum := .Sum}}{{range $i, $list := .Contents}}<section class="contents">
<h1>Bench sheets</h1>
<p class="made">{{$sum}} · page {{inc $i}} of {{$all}}</p>
<table><thead><tr><th>Prop</th><th class="n">Page</th><th class="n">Pixels</th><th>Host</th><th>Universes</th><th class="n">White at full</th><th>Check-out</th></tr></thead>
<tbody>{{range $list}}<tr><td>{{.Name}}</td><td class="n">{{.Page}}</td><td class="n">{{.Pixels}}</td><td>{{.Host}}</td><td>{{.Universes}}</td><td class="n">{{.Amps}}</td><td class="free">{{.Verdict}}</td></tr>
{{end}}</tbody></table>
</section>
{{end}}{{$first := len .Contents}}{{$reserve := .Reserve}}{{range $i, $list := .Buy}}<section class="list">
<h1>Shopping list for all props</h1>
<p class="made">{{$reserve}} · page {{inc (add $first $i)}} of {{$all}}</p>
<table><thead><tr><th></th><th class="n">How much</th><th>What</th><th>Mind</th><th>For</th></tr></thead>
<tbody>{{range $list}}<tr><td>{{.Group}}</td><td class="n">☐ {{.Amount}}</td><td class="free">{{.Name}}</td><td class="free">{{.Note}}</td><td class="free">{{.For}}</td></tr>
{{end}}</tbody></table>
</section>
{{end}}{{range .Pages}}<section class="front">
<h1>{{.Prop.Name}}</h1>
<p class="made">Bench sheet · {{.Sum}} · made {{.Date}} by ringout {{.Ringout}} · page {{.Front}} of {{$all}}</p>
<figure>{{.Drawing}}</figure>
<p class="made">Numbers are pixels in data order, every {{.Every}}th one shaded. Filled circle: first pixel of a run. Dashed circle: gives no light. Triangle: travel of data. J: joint. F and square: feed.</p>
<div class="verdict"><b>{{.Head}}</b></div>
{{if .OnFront}}{{template "addresses" .}}{{end}}</section>
<section class="back" style="font-size: {{.Size}}pt">
<p class="made">{{.Prop.Name}} · page {{.Back}} of {{$all}}</p>
{{if not .OnFront}}{{template "addresses" .}}{{end}}
{{if .Prop.Parts}}<p><b>Parts:</b> {{range $i, $p := .Prop.Parts}}{{if $i}}; {{end}}{{$p.Name}}{{if $p.Empty}} (empty: no light, keep it black){{end}} {{span (inc $p.First) (inc $p.Last)}}{{end}}</p>{{end}}
<h2>Where it listens</h2><dl>{{range .Address}}<dt>{{.What}}</dt><dd>{{.Value}}</dd>{{end}}</dl>
<h2>Power</h2><dl>{{range .Supply}}<dt>{{.What}}</dt><dd>{{.Value}}</dd>{{end}}</dl>
{{if .Power.Findings}}<h2>Mind at full level</h2><ul>{{range .Power.Findings}}<li>{{.}}</li>{{end}}</ul>{{end}}
<div class="verdict"><b>{{.Head}}</b>{{range .Lines}}<br>{{.}}{{end}}</div>
{{range .Notes}}<p>{{.}}</p>{{end}}
<h2>Strip labels</h2>
<div class="labels">{{range .Labels}}<div>{{.}}</div>{{end}}</div>
<h2>To buy for this prop</h2>
<div class="buy">{{range .Buy}}<div>☐ {{.}}</div>{{end}}</div>
<p class="made">{{$reserve}}</p>
<div class="cautions"><ul>{{range .Cautions}}<li>{{.}}</li>{{end}}</ul></div>
</section>
{{end}}</body>
</html>
`))
