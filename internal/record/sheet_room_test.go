package record

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout/pictures"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
)

// Warnings go to the front where there is height for them, to a hundredth of a
// millimetre: 10 mm for the title and 4.4 mm for each line of 100 letters.
func TestWarningsNeedTheirHeight(t *testing.T) {
	for _, row := range []struct {
		letters []int
		lines   float64
	}{{[]int{1}, 1}, {[]int{99}, 1}, {[]int{100}, 2}, {[]int{199}, 2}, {[]int{200}, 3}, {[]int{1, 1, 1}, 3}, {[]int{250, 99}, 4}} {
		pg := page(t, prop.Porthole())
		report := *pg.Power
		report.Findings = nil
		for _, n := range row.letters {
			report.Findings = append(report.Findings, strings.Repeat("w", n))
		}
		pg.Power = &report
		h, high := htmlPage{Page: pg}, 10+4.4*row.lines
		low := h.warnOnFront(high - 0.01)
		assert.Nil(t, low.Warnings, "%v", row)
		assert.Equal(t, report.Findings, low.Power.Findings)
		with := h.warnOnFront(high + 0.01)
		assert.Equal(t, report.Findings, with.Warnings, "%v", row)
		assert.Empty(t, with.Power.Findings, "not in both places")
		assert.Len(t, report.Findings, len(row.letters), "the report stays as it was")
	}
}

// A page of the table is 200 mm: 5 mm a line of 45 letters of the run's name, and 2 mm a
// line of 45 letters of its label, since labels are in two columns.
func TestRowsOfATablePage(t *testing.T) {
	row := prop.Row{Pixels: 1, FirstUniverse: 1, FirstSlot: 1, LastUniverse: 1, LastSlot: 3}
	frame := len(Label(row, false))
	for _, c := range []struct{ name, label, rows int }{
		{1, 44, 28}, {1, 45, 22}, {1, 89, 22}, {1, 90, 18}, // 7, 9 and 11 mm
		{44, 134, 18}, {44, 135, 15}, // 11 and 13 mm
		{45, 134, 12}, {45, 135, 11}, // 16 and 18 mm
		{90, 180, 8}, // 25 mm: eight fill the page
	} {
		r := row
		r.Run, r.Prop = strings.Repeat("r", c.name), strings.Repeat("p", c.label-c.name-frame)
		h := htmlPage{Page: page(t, prop.Porthole())}
		h.Rows = nil
		for range 3*c.rows - 1 {
			h.Rows = append(h.Rows, r)
		}
		require.Len(t, h.Labels()[0], c.label)
		var got []int
		pages, left := splitRows(h, h.Rows)
		for _, page := range pages {
			got = append(got, len(page))
		}
		if c.rows > 2 { // the last page has a row less than a full one: its room is left, and what a full one leaves
			each := (200 - left) / float64(c.rows-1)
			assert.Less(t, 200-each*float64(c.rows), each, "a full page has no room for a row more")
			assert.GreaterOrEqual(t, left, each)
		}
		assert.Equal(t, []int{c.rows, c.rows, c.rows - 1}, got, "%+v", c)
	}
}

// The addresses are below the drawing as long as they fit there: of 255 mm 36 mm are
// for other lines, 11 mm for the head of the table and 5 mm for each row; the drawing is
// 186 mm wide.
func TestAddressesBelowTheDrawingToTheMillimetre(t *testing.T) {
	for rows := 2; rows <= 9; rows++ {
		p := prop.Porthole()
		p.Parts, p.Feeds, p.Runs, p.Chip.MinVolts = nil, nil, nil, 0
		for i := range rows {
			p.Runs = append(p.Runs, prop.Run{Name: fmt.Sprint("run ", i), Pixels: 5})
		}
		pg := page(t, p)
		below := func(ratio float64) bool { // of the drawing's height to its width
			p.Runs[0].Shape = prop.Shape{Kind: prop.Outline, Corners: []prop.Point{{X: 1, Y: ratio}, {X: 0, Y: 0}}}
			for i := range p.Runs[1:] {
				p.Runs[i+1].Shape = prop.Shape{Kind: prop.Outline, Corners: []prop.Point{{X: 0, Y: 0}, {X: 1, Y: 0}}}
			}
			return newHTMLPage(pg).OnFront
		}
		low, high := 0.0, 1.2
		require.True(t, below(low))
		require.False(t, below(high))
		for high-low > 1e-6 {
			if mid := (low + high) / 2; below(mid) {
				low = mid
			} else {
				high = mid
			}
		}
		below(low)
		_, units, _ := drawingSVG(p)
		assert.InDelta(t, 255-36-11-5*float64(rows), units/640*186, 0.01, "%d rows", rows)
	}
}

// Of the table on the back each row takes a line and a half, and one more where its name
// wraps: at 60 letters in one table, at 30 in each of two.
func TestRowsOnTheBackTakeLines(t *testing.T) {
	lines := func(tables int, name int) float64 {
		h := htmlPage{Page: page(t, prop.Porthole())}
		h.Rows = nil
		rows := []prop.Row{{Run: strings.Repeat("r", name)}}
		for range tables {
			h.Tables = append(h.Tables, rows)
		}
		h.Rows = rows
		front := h
		front.OnFront = true
		return tableLines(h) - tableLines(front)
	}
	for _, c := range []struct {
		tables, name int
		want         float64
	}{{1, 1, 4.5}, {1, 59, 4.5}, {1, 60, 5.5}, {1, 120, 6.5}, {2, 29, 4.5}, {2, 30, 5.5}, {2, 60, 6.5}} {
		assert.InDelta(t, c.want, lines(c.tables, c.name), 1e-9, "%+v", c)
	}
	label := func(letters int) float64 {
		h := htmlPage{Page: page(t, prop.Porthole()), OnFront: true, Tables: [][]prop.Row{{{}}}}
		h.Rows = []prop.Row{{}}
		h.Rows[0].Run = strings.Repeat("r", letters-len(h.Labels()[0]))
		return tableLines(h)
	}
	for letters, want := range map[int]float64{49: 1, 50: 1.92, 99: 1.92, 100: 2.84} {
		assert.InDelta(t, want, label(letters), 1e-9, "a label of %d letters", letters)
	}
	one := htmlPage{Page: Page{Prop: prop.Porthole(), Rows: []prop.Row{{}}}, OnFront: true, Tables: [][]prop.Row{{{}}, {{}, {}}}}
	assert.InDelta(t, 1+1, tableLines(one), 1e-9, "half a line for each row of the second table")
}

// A text is broken for further pages only when it is longer than half a page, 32 lines
// of 130 letters, and stays one text up to there.
func TestTextsOfHalfAPageStayWhole(t *testing.T) {
	for letters, want := range map[int]int{100: 1, 4159: 1, 4160: 1, 4161: 2, 8320: 2, 8322: 3} {
		text := strings.Repeat("w ", letters)[:letters]
		got := 0
		for _, page := range blocksInPages([]block{{"title", []string{text}}}, blockLines) {
			for _, b := range page {
				got += len(b.Texts)
			}
		}
		assert.Equal(t, want, got, "%d letters", letters)
	}
}

// Two tables stand side by side, one does not.
func TestTwoTablesStandSideBySide(t *testing.T) {
	for n := 1; n <= 2; n++ {
		var d sheetDocument
		d.addresses(make([][]prop.Row, n))
		var b strings.Builder
		_, err := d.out.WriteTo(&b)
		require.NoError(t, err)
		assert.Equal(t, n == 2, strings.Contains(b.String(), `class="two"`), "%d tables", n)
		assert.Equal(t, n, strings.Count(b.String(), "<table>"))
	}
}

// The back leads on to further blocks where there are some, one page of them or more.
func TestBackLeadsToFurtherBlocks(t *testing.T) {
	for n := range 4 {
		h := newHTMLPage(page(t, prop.Porthole()))
		h.Rest = make([][]block, n)
		for i := range h.Rest {
			h.Rest[i] = []block{{Title: "Notes"}}
		}
		for _, rows := range [][][]prop.Row{nil, {h.Rows}} {
			h.More = rows
			var d sheetDocument
			d.back(h)
			var b strings.Builder
			_, err := d.out.WriteTo(&b)
			require.NoError(t, err)
			assert.Equal(t, n > 0 && rows == nil, strings.Contains(b.String(), "<p><b>Notes:</b> from the next page on."), "%d pages", n)
			assert.Equal(t, rows != nil, strings.Contains(b.String(), "Addresses, labels and more: on the next pages."))
		}
	}
}

// A list of facts has its title and each fact, one as well as many; without facts there
// is no title.
func TestListsOfFacts(t *testing.T) {
	for n := range 4 {
		var d sheetDocument
		d.facts("Power", []fact{{"a", "1 V"}, {"b", "2 V"}, {"c", "3 V"}}[:n])
		var b strings.Builder
		_, err := d.out.WriteTo(&b)
		require.NoError(t, err)
		assert.Equal(t, n > 0, strings.Contains(b.String(), "<h2>Power</h2>"))
		for i, name := range []string{"a", "b", "c"} {
			assert.Equal(t, i < n, strings.Contains(b.String(), fmt.Sprintf("<dt>%s</dt><dd>%d V</dd>", name, i+1)))
		}
	}
}

// A run is light along its way only where the camera read some of it.
func TestLightOfRunsThatWereRead(t *testing.T) {
	none := math.NaN()
	all := []pictures.Along{
		{Run: "a", Read: []float64{1, 0.5}, Planned: []float64{1, 1}}, {Run: "b", Read: []float64{none, none}, Planned: []float64{1, 1}},
		{Run: "c", Read: []float64{none, 0.789}, Planned: []float64{1, 0.987}}, {Run: "d"},
	}
	var got []string
	for _, l := range lightOf(all) {
		got = append(got, fmt.Sprint(l.Run, l.Read, l.Planned))
	}
	assert.Equal(t, []string{"a[1 0.5] [1 1]", "c[0.79 0.79] [0.99 0.99]"}, got)
}

// Whatever is moved off a back is on the pages after it, one text of a kind as well as
// many, in the order of the back.
func TestNothingIsLostOffTheBack(t *testing.T) {
	for n := 1; n <= 2; n++ {
		texts := func(kind string) (out []string) {
			for i := range n {
				out = append(out, fmt.Sprint(kind, " ", i))
			}
			return out
		}
		pg := page(t, prop.Porthole())
		report := *pg.Power
		report.Findings = texts("warning")
		pg.Power, pg.Notes = &report, texts("note")
		h := htmlPage{Page: pg, Head: "Verdict", Lines: texts("line"), Supply: []fact{{"feed", "1"}, {"fuse", "2"}}[:n], OnFront: true, Tables: [][]prop.Row{nil}}
		for i := range 200 {
			h.Buy = append(h.Buy, fmt.Sprint("item ", i))
		}
		h.Prop.Parts = []prop.Part{{Name: "hub", First: 0, Last: 2}, {Name: "rim", First: 3, Last: 3}}[:n]
		var titles, got []string
		for _, blocks := range h.moveOffBack(blockLines).Rest {
			for _, b := range blocks {
				titles, got = append(titles, b.Title), append(got, b.Texts...)
			}
		}
		assert.Equal(t, []string{"Warnings at full level", "Notes", "Verdict", "Power", "Parts", "To buy for this prop"}, slices.Compact(titles))
		want := slices.Concat(texts("warning"), texts("note"), texts("line"), []string{"feed: 1", "fuse: 2"}[:n], []string{"hub 1-3", "rim 4"}[:n])
		for i := range 200 {
			want = append(want, fmt.Sprint("☐ item ", i))
		}
		assert.Equal(t, want, got)
	}
}

// The frame of a back takes fourteen lines and the parts one more, however few there are.
func TestFrameOfTheBack(t *testing.T) {
	h := htmlPage{Page: Page{Prop: &prop.Prop{}, Power: &power.Report{}}, OnFront: true, Tables: [][]prop.Row{nil}}
	for range 60 {
		h.Lines = append(h.Lines, "x")
	}
	assert.InDelta(t, 723/(1.3*(14+1+60)), fontSize(h), 1e-9)
}

// Two thousand pixels in twenty runs with ten feeds take two sheets: warnings go back where
// other blocks left room, and the rest begins below the addresses.
func TestManyRunsFillTheirPages(t *testing.T) {
	p := prop.Porthole()
	p.Runs, p.Parts, p.Feeds, p.Supply.Amps = nil, nil, nil, 60
	for i := range 20 {
		p.Runs = append(p.Runs, prop.Run{Name: fmt.Sprint("row ", i+1), Pixels: 100})
		if i%2 == 0 {
			p.Feeds = append(p.Feeds, prop.Feed{Name: fmt.Sprint("feed ", i/2+1), Pixel: 100 * i, WireMetre: 1.5, Wire: prop.Wire{AWG: 16}, FuseAmps: 15})
		}
	}
	pg := page(t, p)
	h := newHTMLPage(pg)
	require.NotEmpty(t, h.More)
	assert.NotEmpty(t, h.Power.Findings, "on the back again")
	assert.GreaterOrEqual(t, fontSize(h), leastType)
	assert.True(t, h.RestBelow)
	assert.Equal(t, 4, h.length())
	var got []string
	for _, blocks := range h.Rest {
		for _, b := range blocks {
			if b.Title == "Warnings at full level" {
				got = append(got, b.Texts...)
			}
		}
	}
	assert.Equal(t, pg.Power.Findings, slices.Concat(h.Power.Findings, got), "each once, in order")
}
