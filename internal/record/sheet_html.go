package record

import (
	"fmt"
	"io"
	"slices"

	"example.org/ringout/internal/markup"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// A Paper is the sheet's paper size. Empty leaves it to the printer.
type Paper string

// The paper sizes that the sheet fits.
const (
	AnyPaper Paper = ""
	A4       Paper = "A4"
	Letter   Paper = "letter"
)

// A Season is the sheets of several props as one document.
type Season struct {
	Pages   []Page
	Missing []string // prop files that were to be in it and have a problem
}

// missing is a sentence on the files that are not in it; empty if all are.
func (s Season) missing() string {
	const most = 8 // names
	named := s.Missing
	if len(named) == 0 {
		return ""
	}
	if n := len(named) - most; n > 0 {
		named = append(slices.Clone(named[:most]), fmt.Sprintf("%d more", n))
	}
	return "Not in these sheets: " + words.And(named) + ". Correct what is wrong there, and make the sheets again."
}

// WriteHTML writes the sheets of props; see Season.WriteHTML.
func WriteHTML(w io.Writer, paper Paper, pages ...Page) error {
	return Season{Pages: pages}.WriteHTML(w, paper)
}

// WriteHTML writes two pages for each prop, the front and back of one sheet, as one
// document that needs no network. If a prop has so much text that the type would be too
// small, more sheets follow. Several props are preceded by contents, with what is missing, and
// one shopping list for all of them.
func (s Season) WriteHTML(w io.Writer, paper Paper) error {
	pages := s.Pages
	d := sheetDocument{missing: s.missing()}
	all := make([]htmlPage, len(pages))
	for i, pg := range pages {
		all[i] = newHTMLPage(pg)
	}
	var buy [][]listRow // a list for each page of it
	if len(pages)+len(s.Missing) > 1 {
		buy = listPages(pages)
		d.collisions = collisions(pages)
		d.contents, d.sum = contents(all, len(buy), len(d.collisions)+min(1, len(s.Missing)))
	}
	d.pages = len(d.contents) + len(buy)
	for i := range all {
		all[i].Front = d.pages + 1
		d.pages += all[i].length()
	}
	d.head(paper, pages)
	for i, rows := range d.contents {
		d.contentsPage(i+1, rows)
	}
	for i, rows := range buy {
		d.listPage(len(d.contents)+i+1, rows)
	}
	for _, h := range all {
		d.prop(h)
	}
	d.out.Put("</body>\n</html>\n")
	_, err := d.out.WriteTo(w)
	return err
}

type htmlPage struct {
	Page
	Drawing         markup.Raw // made by Drawing, which escapes
	Every           int        // pixels from one number in the drawing to the next
	Address, Supply []fact
	Head            string
	Lines           []string
	Buy             []string // the prop's own shopping list
	Cautions        []string
	Tables          [][]prop.Row
	OnFront         bool         // the tables fit on the front, below the drawing
	Warnings        []string     // warnings at full level, if only the front has room for them
	More            [][]prop.Row // the tables on pages of their own; nil if they fit the back
	Rest            [][]block    // what else does not fit the back, by page
	RestBelow       bool         // the first of Rest stands below the last table of More
	Sum             string       // number and kind of pixels
	Size            string       // of the type on the back, in points
	Date            string
	Front           int // number of its first page
}

func newHTMLPage(pg Page) htmlPage {
	svg, height, every := drawingSVG(pg.Prop)
	h := htmlPage{Page: pg, Drawing: markup.Raw(svg), Every: every, Sum: pg.sum(), Address: pg.address(), Supply: pg.powerFacts(),
		Buy: pg.boughtItems(), Cautions: pg.cautions(), Date: pg.Made.Format("2 January 2006 15:04")}
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
	free := frontRoom(h, height/drawWidth*186)
	h.OnFront = len(h.Tables) == 1 && free >= 0
	if fontSize(h) < leastBack(len(rows)) {
		h = h.spread(rows, free)
	}
	h.Size = fmt.Sprintf("%.1f", fontSize(h))
	return h
}

// leastType is the type size, in points, of the pages after the back: their smallest
// text is 0.85 of it, so 7 points.
const leastType = 7 / 0.85

// leastBack is the smallest type size of a back, in points, before another sheet is
// added. Its small texts are kept at 7 points by their style. A prop with many runs
// gets another sheet sooner.
func leastBack(runs int) float64 {
	if crowded(runs) {
		return leastType
	}
	return 7.5
}

// splitRows splits the table and its labels into pages of 200 mm. A line of the table
// takes 5 mm; a line of the labels, which are in two columns, 4 mm. left is what the last page
// has free, in mm.
func splitRows(h htmlPage, rows []prop.Row) (out [][]prop.Row, left float64) {
	const room = 200.0
	labels := h.Labels()
	for i, r := range rows {
		high := 5*float64(1+len(r.Run)/45) + 2*float64(1+len(labels[i])/45)
		if left < high {
			out, left = append(out, nil), room
		}
		left -= high
		out[len(out)-1] = append(out[len(out)-1], r)
	}
	return out, left
}

// frontRoom is the free height, in mm, below the table of addresses under a drawing of
// the given height in mm, on the shorter paper (Letter: 11 in less two margins of 12 mm
// is 255 mm); negative if the table does not fit. The other lines of the front take 36
// mm, and more if names wrap.
func frontRoom(h htmlPage, drawing float64) float64 {
	const paper, others, head, row, line = 255.0, 36.0, 11.0, 5.0, 4.2
	high := drawing + others + head + 9*float64(len(h.Prop.Name)/45)
	for _, r := range h.Tables[0] {
		high += row + line*float64(len(r.Run)/40)
	}
	return paper - high
}

// fontSize is the largest type size, in points, at which the back fits the shorter of
// the two papers. A long sentence counts as the lines it fills.
func fontSize(h htmlPage) float64 {
	const paper, largest, smallest = 723.0, 10.0, 4.0
	lines := 12 + 0.9*float64(len(h.Cautions))
	if h.More == nil {
		lines += tableLines(h)
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

// tableLines is the number of lines of the table, if it is on the back, and of its
// labels.
func tableLines(h htmlPage) (lines float64) {
	labels := h.Labels()
	for i := range h.Tables[0] {
		if i%2 == 0 { // labels are in two columns and may wrap
			lines += 1 + 0.92*float64(len(labels[i])/50)
		}
	}
	if len(h.Tables) > 1 {
		lines += float64(len(h.Tables[1])) / 2
	}
	if h.OnFront {
		return lines
	}
	for _, r := range h.Tables[0] {
		lines += 1.5 + float64(len(r.Run)/(60/len(h.Tables)))
	}
	return lines + 3
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

// contents lists the props, page by page, and their totals. A shopping list of the
// given number of pages comes between the contents and the props, and so many sentences
// on collisions stand above the first list.
func contents(pages []htmlPage, between, sentences int) (out [][]contentsRow, sum string) {
	const each = 40
	first := each - 3*sentences // a sentence with two long names takes three lines
	lists := 1 + (max(len(pages)-first, 0)+each-1)/each
	pixels, amps := 0, 0.0
	at := lists + between + 1
	for i, pg := range pages {
		row := contentsRow{Name: pg.Prop.Name, Host: pg.Prop.Address.HostName(), Universes: span(pg.universes()), Verdict: pg.Head,
			Amps: words.Amps(pg.Power.Amps), Page: at, Pixels: pg.Prop.Pixels()}
		at += pg.length()
		if i == 0 || i >= first && (i-first)%each == 0 {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], row)
		pixels, amps = pixels+pg.Prop.Pixels(), amps+pg.Power.Amps
	}
	return out, fmt.Sprintf("%s, %s, %s with all of them white at full level", words.Count(len(pages), "prop"), words.Count(pixels, "pixel"), words.Amps(amps))
}

// collisions are sentences on props that use the same slots, as one sheet for all must not
// hand over such addresses without a word.
func collisions(pages []Page) (out []string) {
	const most = 4
	props := make([]*prop.Prop, len(pages))
	for i, pg := range pages {
		props[i] = pg.Prop
	}
	all := prop.Collisions(props)
	for _, c := range all[:min(most, len(all))] {
		out = append(out, c.Say(props)+".")
	}
	if n := len(all) - most; n > 0 {
		out = append(out, fmt.Sprintf("%d more: ringout plan with these files names them all.", n))
	}
	return out
}

// universes are the first and the last universe of the prop.
func (pg Page) universes() (first, last int) {
	for _, r := range pg.Rows {
		if first == 0 || r.FirstUniverse < first {
			first = r.FirstUniverse
		}
		last = max(last, r.LastUniverse)
	}
	return first, last
}
