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

// WriteHTML writes a page for each prop as one document that needs no network
// and prints one sheet a prop.
func WriteHTML(w io.Writer, paper Paper, pages ...Page) error {
	data := struct {
		Paper Paper
		Pages []htmlPage
	}{Paper: paper}
	for _, pg := range pages {
		data.Pages = append(data.Pages, newHTMLPage(pg))
	}
	return sheetTemplate.Execute(w, data)
}

type htmlPage struct {
	Page
	Drawing         template.HTML // made by Drawing, which escapes
	Address, Supply []fact
	Head            string
	Lines           []string
	Cautions        []string
	Tables          [][]prop.Row
	Sum             string // how many pixels of what
	Size            string // of the type, in points
	Tall            string // the drawing at most, in millimetres
	Date            string
}

func newHTMLPage(pg Page) htmlPage {
	svg, height := draw(pg.Prop)
	h := htmlPage{Page: pg, Drawing: template.HTML(svg), Sum: pg.sum(), Tall: fmt.Sprintf("%.0f", tall(height)), Address: pg.address(), Supply: pg.powerFacts(),
		Cautions: pg.cautions(), Date: pg.Made.Format("2 January 2006 15:04")}
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
	h.Size = fmt.Sprintf("%.1f", fontSize(h))
	return h
}

// tall is how high a drawing may stand, in millimetres, when it is as wide as
// the paper lets it be (Letter: 8.5 in less two margins of 12 mm is 192).
func tall(height float64) float64 {
	const widest, least, most = 186, 34, 92
	return max(least, min(most, height/drawWidth*widest))
}

// fontSize is the largest type, in points, at which the page's lines and its
// drawing fit the shorter of the two papers (Letter: 11 in less two margins of
// 12 mm). Long sentences are counted as the lines they fill.
func fontSize(h htmlPage) float64 {
	const paper, drawing, largest, smallest = 723.0, 165.0, 9.5, 4.0
	lines := 13 + 0.9*float64(len(h.Cautions)) + 2.2*float64(len(h.Prop.Name)/45)
	for i, r := range h.Tables[0] {
		lines += 1.5 + float64(len(r.Run)/(60/len(h.Tables)))
		if i%2 == 0 { // labels stand in two columns and may wrap
			lines += 1.6 + 0.92*float64(len(h.Labels()[i])/60)
		}
	}
	if len(h.Tables) > 1 {
		lines += 1.6 * float64(len(h.Tables[1])) / 2
	}
	lines += 2 * float64(max(len(h.Address), len(h.Supply)))
	for _, texts := range [][]string{h.Power.Findings, partNames(h.Prop), h.Lines, h.Notes} {
		for _, s := range texts {
			lines += float64(1 + len(s)/110)
		}
	}
	return max(smallest, min(largest, (paper-drawing)/(1.12*lines)))
}

func partNames(p *prop.Prop) []string {
	all := ""
	for _, part := range p.Parts {
		all += part.Name + " 1000-1000; "
	}
	return []string{all}
}

var sheetTemplate = template.Must(template.New("sheet").Funcs(template.FuncMap{
	"inc":  func(i int) int { return i + 1 }, // pixels count from 1 for people
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
body { font: 9.5pt/1.25 sans-serif; color: #111; background: #fff; margin: 0 auto; max-width: 190mm; }
section { padding: 4mm 0; }
@media print {
  /* One sheet a prop: the drawing takes what height the text leaves. */
  section { height: 100vh; padding: 0; display: flex; flex-direction: column; break-after: page; }
  section:last-child { break-after: auto; }
  section figure { flex: 1 1 0; min-height: 34mm; }
}
h1 { font-size: 1.9em; margin: 0; border-bottom: 1.2mm solid #111; }
h2 { font-size: 1.1em; margin: 0.6em 0 0.2em; }
p { margin: 0.6mm 0; }
figure { margin: 1mm 0; }
svg { display: block; margin: 0 auto; width: 100%; height: 100%; max-height: 92mm; }
table { border-collapse: collapse; width: 100%; }
th, td { text-align: left; padding: 0.15em 0.5em; border-bottom: 0.2mm solid #999; vertical-align: top; white-space: nowrap; }
td:first-child { white-space: normal; overflow-wrap: anywhere; }
td.n, th.n { text-align: right; }
.two { display: grid; align-items: start; grid-template-columns: 1fr 1fr; gap: 0 6mm; }
dl { margin: 0; display: grid; grid-template-columns: auto 1fr; gap: 0 2.5mm; overflow-wrap: anywhere; }
dt { font-weight: bold; } dd { margin: 0; }
ul { margin: 0; padding-left: 4.5mm; }
.verdict { border: 0.6mm solid #111; padding: 1mm 2.5mm; margin: 2mm 0; overflow-wrap: anywhere; }
.labels { font-family: monospace; font-size: 0.92em; columns: 2; column-gap: 6mm; overflow-wrap: anywhere; }
.labels div { break-inside: avoid; }
.cautions { font-size: 0.85em; border-top: 0.3mm solid #111; margin-top: 2mm; padding-top: 1mm; }
.made { color: #444; font-size: 0.85em; }
</style>
</head>
<body>
{{range .Pages}}<section style="font-size: {{.Size}}pt">
<h1>{{.Prop.Name}}</h1>
<p class="made">Bench sheet · {{.Sum}} · made {{.Date}} by ringout {{.Ringout}}</p>
<figure style="max-height: {{.Tall}}mm">{{.Drawing}}</figure>
<p class="made">Numbers are pixels in data order. Filled dot: first pixel of a run. Triangle: travel of data. J: joint. F and square: feed.</p>
<h2>Addresses</h2>
<div{{if gt (len .Tables) 1}} class="two"{{end}}>{{range .Tables}}<table><thead><tr><th>Run</th><th class="n">Pixels</th><th>Numbers</th><th>First slot</th><th>Last slot</th><th>Order</th><th>Travel</th></tr></thead>
<tbody>{{range .}}<tr><td>{{.Run}}</td><td class="n">{{.Pixels}}</td><td>{{span .FirstPixel .LastPixel}}</td><td>U{{.FirstUniverse}} S{{.FirstSlot}}</td><td>U{{.LastUniverse}} S{{.LastSlot}}</td><td>{{.Order}}</td><td>{{.Travel}}</td></tr>
{{end}}</tbody></table>{{end}}</div>
{{if .Prop.Parts}}<p><b>Parts:</b> {{range $i, $p := .Prop.Parts}}{{if $i}}; {{end}}{{$p.Name}}{{if $p.Empty}} (empty: no light, keep it black){{end}} {{span (inc $p.First) (inc $p.Last)}}{{end}}</p>{{end}}
<div class="two">
<div><h2>Where it listens</h2><dl>{{range .Address}}<dt>{{.What}}</dt><dd>{{.Value}}</dd>{{end}}</dl></div>
<div><h2>Power</h2><dl>{{range .Supply}}<dt>{{.What}}</dt><dd>{{.Value}}</dd>{{end}}</dl></div>
</div>
{{if .Power.Findings}}<h2>Mind at full level</h2><ul>{{range .Power.Findings}}<li>{{.}}</li>{{end}}</ul>{{end}}
<div class="verdict"><b>{{.Head}}</b>{{range .Lines}}<br>{{.}}{{end}}</div>
{{range .Notes}}<p>{{.}}</p>{{end}}
<h2>Strip labels</h2>
<div class="labels">{{range .Labels}}<div>{{.}}</div>{{end}}</div>
<div class="cautions"><ul>{{range .Cautions}}<li>{{.}}</li>{{end}}</ul></div>
</section>
{{end}}</body>
</html>
`))
