package record

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
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
	assert.Equal(t, "middle ring · 48 px · U1 S109-252 · data in >", Label(rows[1]))
	rows, err = prop.RowsFor(prop.Pennant())
	require.NoError(t, err)
	// 96 x 4 = 384 slots come first; 128 whole RGBW pixels fill a universe.
	assert.Equal(t, "tail · 40 px · U2 S385-U3 S32 · data in >", Label(rows[1]))
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

// tool is the path of an outside program. Without it the test is skipped, or
// fails where RINGOUT_TOOLS says that it must be there.
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

// The sheet printed by a browser: one page a prop on both papers, and every
// word that the document has is on the paper.
func TestPrintsOnePageAProp(t *testing.T) {
	chromium, info, text := tool(t, "chromium"), tool(t, "pdfinfo"), tool(t, "pdftotext")
	mended := Entry{Kind: "check-out", At: evening, Verdict: Pass, Findings: []Finding{{Kind: "open-joint", Text: "dark from pixel 37 on", Fixed: true}}}
	var pages []Page
	for _, p := range append(append(prop.Demos(), manyRuns()), oddProps(t)...) {
		pages = append(pages, page(t, p, mended))
	}
	pages = append(pages, page(t, prop.Porthole(), busy()))
	for _, paper := range []struct {
		paper Paper
		size  string // in points, ISO 216 and ANSI Y14.1
	}{{A4, "59[45]\\.?\\d* x 84[12]"}, {Letter, "612 x 792"}} {
		dir := t.TempDir()
		html, pdf := filepath.Join(dir, "sheet.html"), filepath.Join(dir, "sheet.pdf")
		require.NoError(t, os.WriteFile(html, []byte(sheet(t, paper.paper, pages...)), 0o644))
		out, err := exec.Command(chromium, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
			"--disable-background-networking", "--disable-component-update", "--disable-sync", "--user-data-dir="+filepath.Join(dir, "profile"),
			"--no-pdf-header-footer", "--print-to-pdf="+pdf, "file://"+html).CombinedOutput()
		require.NoError(t, err, string(out))
		got, err := exec.Command(info, pdf).CombinedOutput()
		require.NoError(t, err, string(got))
		assert.Regexp(t, fmt.Sprintf(`Pages:\s+%d\n`, len(pages)), string(got))
		assert.Regexp(t, "Page size:.*"+paper.size, string(got))
		for i, pg := range pages {
			n := fmt.Sprint(i + 1)
			words, err := exec.Command(text, "-f", n, "-l", n, "-layout", pdf, "-").Output()
			require.NoError(t, err)
			flat := strings.Join(strings.Fields(string(words)), " ")
			assert.Contains(t, flat, pg.Prop.Name, "whole, over as many lines as it takes")
			for _, r := range pg.Rows {
				assert.Contains(t, flat, fmt.Sprintf("U%d S%d", r.LastUniverse, r.LastSlot))
			}
			assert.Contains(t, flat, "Passed its check-out")
			assert.Contains(t, flat, "can set off seizures", "the last line of the page")
		}
	}
}
