package record

import (
	"fmt"
	"html"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// On the sheet: all as planned in one line where every run of the prop was
// counted and its travel seen, else run by run.
func TestCountsOnTheSheet(t *testing.T) {
	pg := Page{Prop: prop.Porthole()}
	const whole = "pixels counted and travel seen: as planned in every run"
	runs := func(change func([]Run)) []string {
		rs := []Run{{"inner ring", 36, 36, "as planned"}, {"middle ring", 48, 48, "as planned"}, {"outer ring", 60, 60, "as planned"}}
		change(rs)
		return pg.countsFound(Entry{Runs: rs})
	}
	assert.Equal(t, []string{whole}, runs(func([]Run) {}))
	assert.Empty(t, runs(func(r []Run) { r[1].Found = 0 }))
	assert.Empty(t, runs(func(r []Run) { r[1].Travel = "" }))
	assert.Empty(t, runs(func(r []Run) { r[1].Name = "a run that is gone" }))
	assert.Equal(t, []string{"middle ring: 47 pixels found, 48 planned"}, runs(func(r []Run) { r[1].Found = 47 }))
	assert.Equal(t, []string{"middle ring: travel found reversed"}, runs(func(r []Run) { r[1].Travel = "reversed" }))
	assert.Equal(t, []string{"J2 ", "J3 ", "", ""}, []string{pg.jointMark("inner ring to middle ring"), pg.jointMark("middle ring to outer ring"), pg.jointMark("outer ring to inner ring"), pg.jointMark("lead")})
	assert.Empty(t, pg.asFound(Entry{}))
	assert.Equal(t, []Reading{{7, 1, 4}, {8, 0.2, 5}}, highestLevels([]Reading{{7, 0.5, 4.5}, {8, 0.2, 5}, {7, 1, 4}, {7, 0.7, 4.2}}))
	assert.Equal(t, []Reading{{7, 1, 3.9}}, highestLevels([]Reading{{7, 1, 4}, {7, 1, 3.9}}), "of two at one level the later one")
	assert.Equal(t, []string{"7", "7-9"}, []string{span(7, 7), span(7, 9)})
}

// The voltage that the plan gives beside a reading is the solver's at that pixel.
func TestReckonedBesideMeasured(t *testing.T) {
	p := prop.Porthole()
	pg := page(t, p)
	for _, row := range []struct {
		pixel int
		level float64
		want  bool
	}{{1, 1, true}, {144, 0.5, true}, {0, 1, false}, {145, 1, false}, {9, -0.1, false}, {9, 1.1, false}, {9, 0, true}} {
		got := pg.expectedVolts(Reading{Pixel: row.pixel, Level: row.level})
		if !row.want {
			assert.Empty(t, got, "%+v", row)
			continue
		}
		r, err := power.Plan(p, row.level, power.FullWhite())
		require.NoError(t, err)
		assert.Equal(t, fmt.Sprintf(" (%.2f V reckoned in white)", math.Floor(100*r.Sagging.Volts(row.pixel-1))/100), got, "cut, as the plan cuts it")
	}
}

// Figures for whoever stands at the supply; the highest level is left out where
// a pixel gets no voltage at all, and feeds go by their mark.
func TestFactsOnTheSheet(t *testing.T) {
	pg := page(t, prop.Porthole())
	whats := func() (out []string) {
		for _, f := range pg.powerFacts() {
			out = append(out, f.What)
		}
		return out
	}
	assert.Contains(t, whats(), "Highest level in white")
	r := *pg.Power
	c := *r.Constant
	c.Dead = 1
	r.Constant, pg.Power = &c, &r
	assert.NotContains(t, whats(), "Highest level in white")
	c.Dead, r.MinVolts = 0, 0
	assert.NotContains(t, whats(), "Highest level in white")
	r.MinVolts = 0.5
	assert.Contains(t, whats(), "Highest level in white")
	pg.Prop.Feeds = []prop.Feed{{Name: "feed 1"}, {Name: ""}, {Name: "mast"}, {Name: "feed 1"}}
	assert.Equal(t, []string{"F1", "F2", "F3, mast", "F4, feed 1", "F5"}, []string{pg.feedName(0), pg.feedName(1), pg.feedName(2), pg.feedName(3), pg.feedName(4)})
	facts := func() string { return fmt.Sprint(pg.address()) }
	assert.NotContains(t, facts(), "Synchronization")
	assert.NotContains(t, facts(), "Interface")
	pg.Prop.Address.Sync, pg.Prop.Address.Interface, pg.Prop.Address.Packing = 1, "eth0", prop.Straddle
	assert.Contains(t, facts(), "{Synchronization address 1}")
	assert.Contains(t, facts(), "{Interface eth0}")
	assert.Contains(t, facts(), "straddle: all 512 slots are used")
	pg.Rows = []prop.Row{{FirstUniverse: 4, LastUniverse: 5}, {FirstUniverse: 2, LastUniverse: 3}, {FirstUniverse: 7, LastUniverse: 7}}
	first, last := pg.universes()
	assert.Equal(t, [2]int{2, 7}, [2]int{first, last})
}

// What fills the back: one line more of anything makes the type no larger, and
// the type is such that 1.3 times its size for each line fill 723 points (Letter
// less margins), from 4 to 10.
func TestTypeFitsTheBack(t *testing.T) {
	base := func() htmlPage {
		h := newHTMLPage(page(t, prop.Porthole()))
		for range 40 { // so many that the largest type does not fit
			h.Notes = append(h.Notes, "x")
		}
		return h
	}
	lines := func(change func(*htmlPage)) float64 {
		h := base()
		change(&h)
		size := fontSize(h)
		require.Greater(t, size, 4.0)
		require.Less(t, size, 10.0)
		return 723 / (1.3 * size)
	}
	start := lines(func(*htmlPage) {})
	for name, row := range map[string]struct {
		change func(*htmlPage)
		more   float64
	}{
		"a note":               {func(h *htmlPage) { h.Notes = append(h.Notes, "x") }, 1},
		"a note of two lines":  {func(h *htmlPage) { h.Notes = append(h.Notes, strings.Repeat("x", 105)) }, 2},
		"a line of 104":        {func(h *htmlPage) { h.Lines = append(h.Lines, strings.Repeat("x", 104)) }, 1},
		"a caution":            {func(h *htmlPage) { h.Cautions = append(h.Cautions, "x") }, 0.9},
		"an address":           {func(h *htmlPage) { h.Address = append(h.Address, fact{}) }, 1},
		"a fact of the supply": {func(h *htmlPage) { h.Supply = append(h.Supply, fact{"", strings.Repeat("x", 69)}) }, 1},
		"a long fact":          {func(h *htmlPage) { h.Supply = append(h.Supply, fact{"", strings.Repeat("x", 140)}) }, 3},
		"a thing to buy":       {func(h *htmlPage) { h.Buy = append(h.Buy, strings.Repeat("x", 54)) }, 0.5},
		"a long thing to buy":  {func(h *htmlPage) { h.Buy = append(h.Buy, strings.Repeat("x", 55)) }, 1},
		"the table on the back": {func(h *htmlPage) {
			require.True(t, h.OnFront)
			h.OnFront = false
		}, 3*1.5 + 3},
	} {
		assert.InDelta(t, start+row.more, lines(row.change), 1e-6, name)
	}
	small := base()
	for range 400 {
		small.Notes = append(small.Notes, "x")
	}
	assert.Equal(t, 4.0, fontSize(small))
	assert.Equal(t, 10.0, fontSize(htmlPage{Page: small.Page, Tables: [][]prop.Row{nil}}.bare()))
}

// bare is a page of which only the frame is left.
func (h htmlPage) bare() htmlPage {
	p := h.Page
	p.Notes = nil
	r := *p.Power
	r.Findings = nil
	p.Power = &r
	h.Page, h.OnFront = p, true
	return h
}

// Under the drawing the table takes 11 mm and 5 mm a row, more where names wrap:
// what is left of 255 mm after 36 mm is the drawing's.
func TestTableUnderTheDrawing(t *testing.T) {
	h := htmlPage{Page: Page{Prop: &prop.Prop{Name: "x"}}, Tables: [][]prop.Row{{{Run: "a"}, {Run: "b"}}}}
	room := 255.0 - 36 - 11 - 2*5
	fits := func(want float64) {
		t.Helper()
		assert.InDelta(t, 0, frontRoom(h, want), 1e-9)
	}
	fits(room)
	h.Tables[0][1].Run = strings.Repeat("r", 40)
	fits(room - 4.2)
	h.Tables[0][1].Run = strings.Repeat("r", 39)
	fits(room)
	h.Prop.Name = strings.Repeat("n", 45)
	fits(room - 9)
	h.Prop.Name = strings.Repeat("n", 44)
	fits(room)
	for n, tables := range map[int]int{16: 1, 17: 2, 40: 2} {
		p := manyRuns()
		p.Runs, p.Chip.MinVolts, p.Supply.Amps = p.Runs[:n], 0, 1000 // no feeds to look for
		got := newHTMLPage(page(t, p))
		require.Len(t, got.Tables, tables, "%d rows", n)
		if tables == 2 {
			assert.LessOrEqual(t, len(got.Tables[0])-len(got.Tables[1]), 1)
			assert.GreaterOrEqual(t, len(got.Tables[0]), len(got.Tables[1]))
			assert.Equal(t, "R1 ", got.Tables[0][0].Run[:3])
		}
	}
	assert.False(t, crowded(10))
	assert.True(t, crowded(11))
}

// Contents list forty props a page, and the pages they begin on are counted
// from what lies before.
func TestContentsCountPages(t *testing.T) {
	pg := page(t, prop.BuoyLamp())
	for n, lists := range map[int]int{1: 1, 40: 1, 41: 2, 80: 2, 81: 3} {
		pages := make([]htmlPage, n)
		for i := range pages {
			pages[i] = newHTMLPage(pg)
		}
		out, sum := contents(pages, 2, 0)
		require.Len(t, out, lists, "%d props", n)
		k := 0
		for i, list := range out {
			if i+1 < len(out) {
				assert.Len(t, list, 40)
			}
			for _, row := range list {
				assert.Equal(t, lists+2+2*k+1, row.Page)
				k++
			}
		}
		assert.Equal(t, n, k)
		assert.Contains(t, sum, fmt.Sprintf("%s, %s, %s", words.Count(n, "prop"), words.Count(n, "pixel"), words.Amps(float64(n)*pg.Power.Amps)))
	}
}

// Names of files are at most sixty letters long, whatever script.
func TestNamesOfFiles(t *testing.T) {
	assert.Equal(t, "the-buoy-2", FileName(" The  Buoy: #2 "))
	assert.Equal(t, "prop", FileName("!?"))
	assert.Equal(t, strings.Repeat("é", 60), FileName(strings.Repeat("É", 61)))
	assert.Equal(t, strings.Repeat("é", 60), FileName(strings.Repeat("É", 60)))
}

// Reasons that stand below as answers go by their numbers, the first one too.
func TestReasonsGoByNumber(t *testing.T) {
	e := Entry{Steps: []Step{{Question: "q1?", Answer: "a"}, {Question: "q2?", Answer: "b"}, {Question: "q3?", Answer: "c"}}}
	because := func(reasons ...string) []string { return e.because(Finding{Because: reasons}) }
	assert.Equal(t, []string{"answer 1"}, because("1. q1? a"))
	assert.Equal(t, []string{"another", "answers 1 and 3"}, because("1. q1? a", "another", "3. q3? c"))
	assert.Equal(t, []string{"answers 1, 2 and 3"}, because("1. q1? a", "2. q2? b", "3. q3? c"))
	assert.Equal(t, []string{"q1? a"}, because("q1? a"), "in other words it is written out")
	assert.Empty(t, because())
}

// Each run has one row in the table of addresses and one label, both on the same page.
// A prop of 40 runs takes several pages for them.
func TestLabelsStandBesideTheirRows(t *testing.T) {
	for _, p := range append(prop.Demos(), manyRuns()) {
		pg := page(t, p)
		seen := map[string]int{}
		withRows := 0
		for _, section := range strings.Split(sheet(t, AnyPaper, pg), "<section")[1:] {
			section, _, _ = strings.Cut(section, "</section>")
			text := html.UnescapeString(section)
			rows, labels := map[string]bool{}, map[string]bool{}
			for _, r := range tables(t, "<section"+section+"</section>") {
				for i, run := range p.Runs {
					if len(r) > 0 && strings.Contains(r[0], run.Name) && r[2] == numbers(p, i) {
						rows[run.Name] = true
					}
				}
			}
			for i, label := range unbroken(pg.Labels()) {
				if n := strings.Count(text, "<div>"+label+"</div>"); n > 0 {
					labels[p.Runs[i].Name] = true
					seen[label] += n
				}
			}
			if len(rows) > 0 {
				withRows++
			}
			if len(rows) > 0 && len(labels) > 0 {
				assert.Equal(t, rows, labels, p.Name)
			}
		}
		for _, label := range unbroken(pg.Labels()) {
			assert.Equal(t, 1, seen[label], label)
		}
		assert.Equal(t, len(p.Runs) > 20, withRows > 1, "%s: pages with rows", p.Name)
	}
}

// numbers are the pixels of a run as a table gives them.
func numbers(p *prop.Prop, run int) string {
	first, n := p.FirstPixel(run), p.Runs[run].Pixels
	if n == 1 {
		return fmt.Sprint(first + 1)
	}
	return fmt.Sprintf("%d-%d", first+1, first+n)
}

// The sheet names what a camera read as built as far as there is room, and says how much
// more the record has: together it is all that was read.
func TestBuiltOnTheSheetAddsUp(t *testing.T) {
	pg := page(t, prop.Porthole())
	for n := range 18 {
		var e Entry
		for i := range n {
			e.Built = append(e.Built, fmt.Sprintf("line %d", i))
		}
		named, left := 0, 0
		for _, line := range pg.asFound(e) {
			if line == fmt.Sprintf("as built: line %d", named) {
				named++
			} else {
				_, err := fmt.Sscanf(line, "and %d more", &left)
				require.NoError(t, err, line)
			}
		}
		assert.Equal(t, min(n, 6), named)
		assert.Equal(t, n, named+left)
	}
}

// A prop whose drawing is flat and which has many warnings has that on the front, below its
// addresses: the sheet stays one of two pages. Without room there it goes to the page after
// the back, and the addresses stay in front.
func TestWarningsMayBeOnTheFront(t *testing.T) {
	pg := page(t, prop.Pennant())
	h := newHTMLPage(pg)
	require.True(t, h.OnFront)
	assert.Nil(t, h.More)
	assert.Equal(t, pg.Power.Findings, h.Warnings)
	assert.Empty(t, h.Power.Findings)
	assert.NotEmpty(t, pg.Power.Findings, "the page itself is as it was")
	assert.Equal(t, 2, h.length())
	var out strings.Builder
	require.NoError(t, WriteHTML(&out, A4, pg))
	front, back, _ := strings.Cut(out.String(), `<section class="back"`)
	for _, text := range []string{"<h2>Addresses</h2>", "Warnings at full level"} {
		assert.Contains(t, front, text)
		assert.NotContains(t, back, text)
	}
	rows := pg.Rows
	full := newHTMLPage(pg)
	full.Page, full.Warnings = pg, nil
	without := full.spread(rows, 20) // millimetres: no room for them
	assert.Nil(t, without.Warnings)
	assert.Nil(t, without.More, "the addresses are in front")
	require.NotEmpty(t, without.Rest)
	assert.Equal(t, "Warnings at full level", without.Rest[0][0].Title)
}

// However many warnings at full level there are, the sheet has each of them, and no
// heading without one.
func TestEveryWarningIsOnTheSheet(t *testing.T) {
	for _, pg := range []Page{page(t, prop.Pennant()), page(t, prop.Porthole())} {
		all := pg.Power.Findings
		for n := range len(all) + 1 {
			pg.Power.Findings = all[:n]
			var out strings.Builder
			require.NoError(t, WriteHTML(&out, A4, pg))
			text := html.UnescapeString(out.String())
			assert.Equal(t, n > 0, strings.Contains(text, "Warnings at full level"), "%s, %d warnings", pg.Prop.Name, n)
			for _, f := range all[:n] {
				assert.Contains(t, text, f)
			}
		}
	}
}
