package record

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"image/png"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

func page(t *testing.T, p *prop.Prop, entries ...Entry) Page {
	t.Helper()
	pg, err := NewPage(p, History{Entries: entries}, evening, "test")
	require.NoError(t, err)
	return pg
}

func sheet(t *testing.T, paper Paper, pages ...Page) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, WriteHTML(&b, paper, pages...))
	return b.String()
}

// manyRuns is a prop with long names on 40 runs, more than anyone would build.
func manyRuns() *prop.Prop {
	p := prop.Porthole()
	p.Name, p.Runs, p.Parts = "Forty runs", nil, nil
	for i := range 40 {
		p.Runs = append(p.Runs, prop.Run{Name: fmt.Sprintf("a run with a rather long name, number %d", i+1), Pixels: 17,
			Shape: prop.Shape{Kind: prop.Line}})
	}
	return p
}

// tables reads the cells of all tables with an XML parser that allows HTML's
// entities and unclosed elements.
func tables(t *testing.T, html string) (rows [][]string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(html))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	in := false
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return rows
		}
		require.NoError(t, err)
		switch e := tok.(type) {
		case xml.StartElement:
			switch e.Name.Local {
			case "tr":
				rows = append(rows, nil)
			case "td":
				rows[len(rows)-1] = append(rows[len(rows)-1], "")
				in = true
			}
		case xml.EndElement:
			in = in && e.Name.Local != "td"
		case xml.CharData:
			if in {
				cells := rows[len(rows)-1]
				cells[len(cells)-1] += string(e)
			}
		}
	}
}

func TestSheetTableIsThePatch(t *testing.T) {
	for _, p := range append(prop.Demos(), manyRuns()) {
		patch, err := prop.PatchFor(p)
		require.NoError(t, err)
		var got [][]string
		for _, r := range tables(t, sheet(t, AnyPaper, page(t, p))) {
			if len(r) > 0 {
				got = append(got, r)
			}
		}
		require.Len(t, got, len(p.Runs), p.Name)
		for i, r := range p.Runs {
			first := p.FirstPixel(i)
			assert.Contains(t, got[i][0], r.Name)
			assert.Equal(t, fmt.Sprint(r.Pixels), got[i][1])
			numbers := fmt.Sprintf("%d-%d", first+1, first+r.Pixels)
			if r.Pixels == 1 {
				numbers = fmt.Sprint(first + 1)
			}
			assert.Equal(t, numbers, got[i][2])
			assert.Equal(t, patch.At(first, 0).String(), got[i][3])
			assert.Equal(t, patch.At(first+r.Pixels-1, p.Chip.Order.Slots()-1).String(), got[i][4])
		}
	}
}

func TestLabel(t *testing.T) {
	rows, err := prop.RowsFor(prop.Porthole())
	require.NoError(t, err)
	// 36 pixels of 3 slots come before it, and it has 48: slots 109 to 252.
	assert.Equal(t, "Porthole · middle ring · 48 px · U1 S109-252 · data in >", Label(rows[1], false))
	rows, err = prop.RowsFor(prop.Pennant())
	require.NoError(t, err)
	// 96 x 4 = 384 slots come first; 128 whole RGBW pixels fill a universe.
	assert.Equal(t, "Pennant · tail · 40 px · U2 S385-U3 S32 · data in >", Label(rows[1], false))
}

func TestHostileNamesAreEscaped(t *testing.T) {
	p := prop.Porthole()
	p.Name = `<script>alert("x")</script>`
	p.Runs[0].Name = "a|b,\"c\"\n<img src=x>\x1b[31m лампа 灯"
	p.Parts[0].Name = "</style>"
	html := sheet(t, AnyPaper, page(t, p, Entry{Kind: "check-out", At: evening, Verdict: Fail, Notes: "<b>note", Findings: []Finding{{Kind: "x", Text: "<i>t"}}}))
	for _, bad := range []string{"<script", "<img", "<b>note", "<i>t"} {
		assert.NotContains(t, html, bad)
	}
	assert.Equal(t, 1, strings.Count(html, "</style>"))
	assert.Contains(t, html, "лампа 灯")
	md := page(t, p).Markdown()
	assert.NotContains(t, md, "<script")
	assert.NotContains(t, md, "\x1b")
	assert.Contains(t, md, `| a\|b,"c" &lt;img src=x>`)
}

func TestSheetNeedsNoNetwork(t *testing.T) {
	html := sheet(t, A4, page(t, prop.Porthole()))
	for _, m := range regexp.MustCompile(`(?:src|href|url)\s*[=(]\s*["']?[^"')\s]+`).FindAllString(html, -1) {
		t.Errorf("the sheet reaches for %s", m)
	}
	assert.NotContains(t, strings.ReplaceAll(html, `xmlns="http://www.w3.org/2000/svg"`, ""), "http")
}

func TestVerdictAndFindings(t *testing.T) {
	p := prop.Porthole()
	assert.Contains(t, page(t, p).Markdown(), "Not checked out yet.")
	fault := Finding{Kind: "open-joint", Text: "dark from pixel 37 on"}
	mended := fault
	mended.Fixed = true
	fail := page(t, p, Entry{Kind: "check-out", At: evening, Verdict: Fail, Findings: []Finding{fault}})
	assert.Contains(t, fail.Markdown(), "Did not pass its check-out on 25 November 2026.\n\n- open: dark from pixel 37 on")
	pass := page(t, p, Entry{Kind: "check-out", At: evening, Verdict: Pass, Order: "GRB", Findings: []Finding{mended}})
	assert.Contains(t, pass.Markdown(), "Passed its check-out on 25 November 2026.\n\n- mended: dark from pixel 37 on")
	assert.Contains(t, pass.Markdown(), "- Colour order: GRB (checked)")
	other := page(t, p, Entry{Kind: "check-out", At: evening, Verdict: Fail, Order: "RGB"})
	assert.Contains(t, other.Markdown(), "- Colour order: GRB planned; the check-out found RGB")
}

// A sheet does not let an earlier check-out vouch for other runs, another order or another
// address than were checked; names, notes and the supply may change.
func TestACheckOutBeforeAChangeIsSaidSo(t *testing.T) {
	text := prop.DemoFile("porthole")
	for change, with := range map[[2]string]string{
		{"", ""}:                                             "",
		{"universe = 1", "universe = 2"}:                     "changed",
		{`order = "GRB"`, `order = "RGB"`}:                   "changed",
		{"pixels = 48", "pixels = 47"}:                       "changed",
		{`name   = "middle ring"`, `name   = "second ring"`}: "",
		{"[supply]\n", "# another evening\n[supply]\n"}:      "",
		{`name = "Porthole"`, `name = "Port hole"`}:          "",
	} {
		then := text
		if change[0] != "" {
			then = regexp.MustCompile(strings.ReplaceAll(regexp.QuoteMeta(change[0]), " = ", " *= ")).ReplaceAllString(text, change[1])
			require.NotEqual(t, text, then, "%v", change)
		}
		load := Entry{Kind: "check-out", Test: LoadTest, At: evening, Verdict: Pass, PropFile: then}
		pg := page(t, prop.Porthole(), Entry{Kind: "check-out", At: evening, Verdict: Pass, PropFile: then}, load)
		head, lines := pg.verdict()
		if with == "" {
			assert.Equal(t, "Passed its check-out on 25 November 2026", head, "%v", change)
			assert.Contains(t, lines, "load test of 25 November 2026: pass", "%v", change)
			continue
		}
		assert.Equal(t, "Passed its check-out on 25 November 2026, before runs, colour order or address were changed: check it again", head, "%v", change)
		assert.Contains(t, lines, "load test of 25 November 2026: pass, before runs, colour order or address were changed: check it again", "%v", change)
	}
}

// A load test vouches for the copper that was measured: with another feed, lead, supply or
// chip in the file the sheet asks for another one. A check-out of the light stays. Other
// figures than the file had vouch for nothing, the colour order neither.
func TestALoadTestIsOfTheCopperThatWasMeasured(t *testing.T) {
	text := prop.DemoFile("porthole")
	for _, change := range [][2]string{
		{"", ""}, {`length = "1.5 m"`, `length = "15 m"`}, {`lead_wire = "20 AWG"`, `lead_wire = "28 AWG"`},
		{`amps       = "10 A"`, `amps       = "5 A"`}, {`full      = "20 mA"`, `full      = "12 mA"`}, {`fuse   = "5 A"`, `fuse   = "4 A"`},
	} {
		then := strings.Replace(text, change[0], change[1], 1)
		require.Equal(t, change[0] == "", then == text, "%v", change)
		pg := page(t, prop.Porthole(), Entry{Kind: "check-out", At: evening, Verdict: Pass, PropFile: then, Order: "GRB"},
			Entry{Kind: "check-out", Test: LoadTest, At: evening, Verdict: Pass, PropFile: then})
		head, lines := pg.verdict()
		assert.Equal(t, "Passed its check-out on 25 November 2026", head, "%v", change)
		want := "load test of 25 November 2026: pass"
		if change[0] != "" && !strings.HasPrefix(change[0], "fuse") {
			want += ", before supply, feeds, wires or chip were changed: measure it again"
		}
		assert.Contains(t, lines, want, "%v", change)
		assert.Equal(t, "GRB (checked)", pg.order())
	}
	pg := page(t, prop.Porthole(), Entry{Kind: "check-out", At: evening, Verdict: Pass, Order: "GRB", Unfiled: true})
	head, _ := pg.verdict()
	assert.Equal(t, "Passed its check-out on 25 November 2026, with other figures than the prop file had: check it again", head)
	assert.Equal(t, "GRB (not checked since the prop file was changed)", pg.order())
	h := History{Entries: []Entry{pg.Last}}
	assert.Contains(t, h.Due(text, evening), "the prop file has changed since the last check-out")
	assert.Equal(t, "Changed since it passed", h.LargeFor(prop.Porthole())[0])
}

// The level that is handed over is one that the wires carry: an outer feed of 28 AWG, 1.4 A in
// free air, is full at 41 % of white.
func TestTheSheetsLevelSparesThinWires(t *testing.T) {
	p := prop.Porthole()
	p.Chip.MinVolts = 3
	assert.Equal(t, "90 % (supply allows 90 %, voltage holds up to level 100 % in this colour)", page(t, p).Power.HighestText())
	p.Feeds[1].Wire = prop.Wire{AWG: 28}
	assert.Equal(t, "41 % (supply allows 90 %, wires carry 41 %, voltage holds up to level 69 % in this colour)", page(t, p).Power.HighestText())
}

// tool returns the path of an outside program. If it is missing the test is skipped, or
// fails if RINGOUT_TOOLS requires it.
func tool(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("RINGOUT_TOOLS") != "" {
			t.Fatalf("%s is not installed, and RINGOUT_TOOLS is set", name)
		}
		t.Skipf("%s is not installed", name)
	}
	return path
}

// The sheet printed by a browser: front and back of each prop on both papers,
// with the page numbers that the contents give, and every word that the
// document has is on the paper.
func TestPrintsFrontAndBack(t *testing.T) {
	info, text := tool(t, "pdfinfo"), tool(t, "pdftotext")
	mended := Entry{Kind: "check-out", At: evening, Verdict: Pass, Findings: []Finding{{Kind: "open-joint", Text: "dark from pixel 37 on", Fixed: true}}}
	var pages []Page
	for _, p := range append(append(prop.Demos(), manyRuns()), edgeCaseProps(t)...) {
		pages = append(pages, page(t, p, mended))
	}
	pages = append(pages, page(t, prop.Porthole(), busy()))
	lists := len(listPages(pages))
	all := 1 + lists
	var first []int // page of each prop
	for _, pg := range pages {
		first = append(first, all+1)
		all += pg.length()
	}
	for _, paper := range []struct {
		paper Paper
		size  string // in points, ISO 216 and ANSI Y14.1
	}{{A4, "59[45]\\.?\\d* x 84[12]"}, {Letter, "612 x 792"}} {
		pdf := printed(t, sheet(t, paper.paper, pages...))
		got, err := exec.Command(info, pdf).CombinedOutput()
		require.NoError(t, err, string(got))
		require.Regexp(t, fmt.Sprintf(`Pages:\s+%d\n`, all), string(got))
		assert.Regexp(t, "Page size:.*"+paper.size, string(got))
		words := func(n int) string {
			w, err := exec.Command(text, "-f", fmt.Sprint(n), "-l", fmt.Sprint(n), "-layout", pdf, "-").Output()
			require.NoError(t, err)
			return strings.Join(strings.Fields(string(w)), " ")
		}
		contents, list := words(1), ""
		for n := range lists {
			list += words(2 + n)
			require.Contains(t, words(2+n), fmt.Sprintf("page %d of %d", 2+n, all))
		}
		require.Contains(t, list, "Shopping list for all props")
		for _, x := range listOf(pages...) {
			assert.Contains(t, list, x.Amount())
		}
		for i, pg := range pages {
			front, back, more := words(first[i]), words(first[i]+1), ""
			for n := 2; n < pg.length(); n++ {
				more += words(first[i] + n)
				assert.Contains(t, words(first[i]+n), fmt.Sprintf("page %d of %d", first[i]+n, all))
			}
			assert.Contains(t, contents, fmt.Sprintf("%d %d %s", first[i], pg.Prop.Pixels(), pg.Prop.Address.HostName()))
			assert.Contains(t, front, pg.Prop.Name, "whole, over as many lines as it takes")
			assert.Contains(t, front, fmt.Sprintf("page %d of %d", first[i], all))
			assert.Contains(t, front, "Passed its check-out")
			for _, r := range pg.Rows {
				assert.Contains(t, front+back+more, fmt.Sprintf("U%d S%d", r.LastUniverse, r.LastSlot))
			}
			assert.Contains(t, back, fmt.Sprintf("page %d of %d", first[i]+1, all))
			for _, x := range listOf(pg) {
				assert.Contains(t, back, "☐ "+x.Amount())
			}
			assert.Contains(t, back, "can set off seizures", "the last line of the back")
		}
	}
}

// printed is the document as a PDF, printed by a browser.
func printed(t *testing.T, html string) string {
	t.Helper()
	chromium, dir := tool(t, "chromium"), t.TempDir()
	page, pdf := filepath.Join(dir, "sheet.html"), filepath.Join(dir, "sheet.pdf")
	require.NoError(t, os.WriteFile(page, []byte(html), 0o644))
	out, err := exec.Command(chromium, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
		"--disable-background-networking", "--disable-component-update", "--disable-sync", "--user-data-dir="+filepath.Join(dir, "profile"),
		"--no-pdf-header-footer", "--print-to-pdf="+pdf, "file://"+page).CombinedOutput()
	require.NoError(t, err, string(out))
	return pdf
}

// On paper the drawing is as wide as the page, and every tenth pixel has its
// number in type of 7 pt or more: measured against a line known to be of 8 pt.
func TestDrawingIsWideAndLegible(t *testing.T) {
	text, ppm := tool(t, "pdftotext"), tool(t, "pdftoppm")
	const perMM = 100 / 25.4
	for _, paper := range []Paper{A4, Letter} {
		for _, p := range prop.Demos()[:2] {
			pdf := printed(t, sheet(t, paper, page(t, p)))
			raw, err := exec.Command(text, "-bbox", "-f", "1", "-l", "1", pdf, "-").Output()
			require.NoError(t, err)
			high, at := map[string]float64{}, map[string]float64{}
			for _, m := range regexp.MustCompile(`yMin="([\d.]+)" xMax="[\d.]+" yMax="([\d.]+)">([^<]+)<`).FindAllStringSubmatch(string(raw), -1) {
				top, _ := strconv.ParseFloat(m[1], 64)
				bottom, _ := strconv.ParseFloat(m[2], 64)
				if h := bottom - top; h > high[m[3]] { // the white edge of a word is a word of its own there
					high[m[3]], at[m[3]] = h, top
				}
			}
			eight := high["Bench"]
			require.Positive(t, eight)
			for n := 10; n < p.Pixels(); n += 10 {
				require.Contains(t, high, fmt.Sprint(n), "%s on %s", p.Name, paper)
				require.GreaterOrEqual(t, high[fmt.Sprint(n)]/eight*8, 7.0, "points")
			}
			for _, word := range []string{"data", "J2", "F1", "F2"} {
				require.Contains(t, high, word)
			}
			out, err := exec.Command(ppm, "-r", "100", "-png", "-f", "1", "-l", "1", "-singlefile", pdf, strings.TrimSuffix(pdf, ".pdf")).CombinedOutput()
			require.NoError(t, err, string(out))
			wide := inkWidth(t, strings.TrimSuffix(pdf, ".pdf")+".png", int(at["Bench"]/72*100)+20, int(at["Numbers"]/72*100)-5)
			assert.GreaterOrEqual(t, wide/perMM, 165.0, "millimetres of 186, %s on %s", p.Name, paper)
		}
	}
}

// Forty runs with long names, and few of which there is much to say, are in type of 7 pt
// and more too, on as many pages as they need, an even number of them, and nothing runs
// over to a page that is not counted.
func TestCrowdedSheetsAreLegible(t *testing.T) {
	for name, pg := range map[string]Page{"forty runs": page(t, manyRuns()), "a crowded back": crowdedBack(t)} {
		t.Run(name, func(t *testing.T) { legible(t, pg) })
	}
}

func legible(t *testing.T, pg Page) {
	text, info := tool(t, "pdftotext"), tool(t, "pdfinfo")
	require.Greater(t, pg.length(), 2)
	require.Zero(t, pg.length()%2)
	for _, paper := range []Paper{A4, Letter} {
		pdf := printed(t, sheet(t, paper, pg))
		got, err := exec.Command(info, pdf).CombinedOutput()
		require.NoError(t, err)
		require.Regexp(t, fmt.Sprintf(`Pages:\s+%d\n`, pg.length()), string(got))
		raw, err := exec.Command(text, "-bbox", pdf, "-").Output()
		require.NoError(t, err)
		eight, least := 0.0, 1e9
		for _, m := range regexp.MustCompile(`yMin="([\d.]+)" xMax="[\d.]+" yMax="([\d.]+)">([^<]+)<`).FindAllStringSubmatch(string(raw), -1) {
			top, _ := strconv.ParseFloat(m[1], 64)
			bottom, _ := strconv.ParseFloat(m[2], 64)
			if m[3] == "Bench" && eight == 0 {
				eight = bottom - top // the line of 8 pt
			}
			if regexp.MustCompile(`^[A-Za-z]{4}`).MatchString(m[3]) { // a word, not a sign of a font of its own
				least = min(least, bottom-top)
			}
		}
		require.Positive(t, eight)
		assert.GreaterOrEqual(t, least/eight*8, 6.95, "points, on %s", paper)
	}
}

// inkWidth is the width of the ink between two rows of a picture, in its pixels.
func inkWidth(t *testing.T, file string, top, bottom int) float64 {
	t.Helper()
	f, err := os.Open(file)
	require.NoError(t, err)
	defer f.Close()
	img, err := png.Decode(f)
	require.NoError(t, err)
	left, right := img.Bounds().Max.X, 0
	for y := top; y < bottom; y++ {
		for x := range img.Bounds().Max.X {
			if r, g, b, _ := img.At(x, y).RGBA(); r+g+b < 3*0xc000 {
				left, right = min(left, x), max(right, x)
			}
		}
	}
	return float64(right - left)
}

// length is how many pages the prop has in WriteHTML.
func (pg Page) length() int { return newHTMLPage(pg).length() }
