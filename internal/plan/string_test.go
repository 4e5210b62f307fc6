package plan

import (
	"bytes"
	"fmt"
	"math"
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

// moorings is the Mooring board, 52 holes in four letters and a digit.
func moorings(t *testing.T) *prop.Document {
	t.Helper()
	text, err := os.ReadFile("../../testdata/props/moorings.toml")
	require.NoError(t, err)
	_, d, err := prop.Parse(text, "moorings.toml")
	require.NoError(t, prop.ButForTheRoute(err))
	return d
}

func laid(t *testing.T) (*StringPlan, *prop.Document) {
	t.Helper()
	sp, d, err := LayString(moorings(t), false)
	require.NoError(t, err)
	return sp, d
}

// The text drawing has every number once, the back is the mirror image of the front,
// and rows keep their holes.
func TestTerminalDrawing(t *testing.T) {
	sp, _ := laid(t)
	for _, width := range []int{50, 80, 120} {
		text := sp.Text(width)
		_, drawn, _ := strings.Cut(text, "from the front\n")
		front, back, ok := strings.Cut(drawn, "\nThe same from the back, mirrored\n")
		require.True(t, ok)
		for _, side := range []string{front, back} {
			lines := regexp.MustCompile(`(?m)^  columns.*\n`).ReplaceAllString(side, "")
			seen := map[string]int{}
			for _, f := range strings.Fields(lines) {
				seen[f]++
			}
			require.Len(t, seen, 52)
			for n, times := range seen {
				require.Equal(t, 1, times, "number %s", n)
			}
			for l := range strings.Lines(side) {
				require.LessOrEqual(t, len(l)-1, width)
			}
		}
	}
	c, ok := sp.drawing()
	require.True(t, ok)
	m := c.mirrored()
	for r, row := range c {
		for k, n := range row {
			require.Equal(t, n, m[r][len(row)-1-k])
		}
	}
	// The drawing in the file has 13 holes in its first row, from D to 7.
	count := 0
	for _, n := range c[0] {
		if n > 0 {
			count++
		}
	}
	assert.Equal(t, strings.Count(strings.Map(func(r rune) rune {
		if r == '.' {
			return -1
		}
		return 'x'
	}, "DDD...OOO...CCC..K..K....777"), "x"), count)
}

func TestRouteFactsAndJSON(t *testing.T) {
	sp, d := laid(t)
	facts := strings.Join(sp.Facts(), "\n")
	assert.Contains(t, facts, "52 holes take 52 pixels, and 4 more are tucked away dark on the way")
	assert.Contains(t, facts, "proven: no route tucks away fewer pixels")
	assert.Contains(t, facts, "44 pixels are left over at the end of the string")
	assert.NotContains(t, facts, "a better route")
	again, same, err := LayString(d, false)
	require.NoError(t, err)
	assert.True(t, again.InFile)
	assert.Same(t, d, same)
	assert.Equal(t, sp.Route.Order, again.Route.Order)
	j := again.json()
	require.Len(t, j.Holes, 52)
	assert.True(t, j.Proven && j.InFile)
	assert.Equal(t, 56, j.Holes[51].Pixel, "52 lit and 4 tucked away before the last")
	_, none, err := prop.Parse([]byte(prop.DemoFile("porthole")), "porthole.toml")
	require.NoError(t, err)
	_, _, err = LayString(none, false)
	require.ErrorContains(t, err, "has no [sign]")
}

// A route in the file that is not the best is shown unchanged, with the figures of the
// better one.
func TestAWorseRouteInTheFile(t *testing.T) {
	const text = "name = \"Row\"\n[strip]\nchip = \"WS2811 5V\"\n[supply]\nvolts = \"5 V\"\namps = \"3 A\"\n[address]\nhost = \"192.0.2.1\"\nuniverse = 1\n" +
		"[sign]\npitch = \"1 in\"\nreach = \"2 in\"\nholes = \"***\"\n[[run]]\nshape = \"string\"\ncorners = [\"1 in, 0 in\", \"0 in, 0 in\", \"2 in, 0 in\"]\n"
	_, d, err := prop.Parse([]byte(text), "row.toml")
	require.NoError(t, err)
	sp, _, err := LayString(d, false)
	require.NoError(t, err)
	assert.Equal(t, []int{1, 0, 2}, sp.Route.Order)
	assert.Contains(t, strings.Join(sp.Facts(), "\n"), "a better route is known than this one of the file: 0 tucked away and 2 in; --route --replace writes it")
}

// A browser prints the pages true to scale: the numbers are where the holes are, from
// the front and mirrored from the back, on the expected number of sheets.
func TestPagesAreTrueToScale(t *testing.T) {
	chromium, toText, info := tool(t, "chromium"), tool(t, "pdftotext"), tool(t, "pdfinfo")
	sp, _ := laid(t)
	for _, paper := range []string{"A4", "letter"} {
		dir := t.TempDir()
		page, pdf := filepath.Join(dir, "p.html"), filepath.Join(dir, "p.pdf")
		var b bytes.Buffer
		require.NoError(t, sp.WritePages(&b, paper))
		require.NoError(t, os.WriteFile(page, b.Bytes(), 0o644))
		out, err := exec.Command(chromium, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
			"--disable-background-networking", "--disable-component-update", "--disable-sync", "--user-data-dir="+filepath.Join(dir, "profile"),
			"--no-pdf-header-footer", "--print-to-pdf="+pdf, "file://"+page).CombinedOutput()
		require.NoError(t, err, string(out))
		raw, err := exec.Command(info, pdf).Output()
		require.NoError(t, err)
		m := regexp.MustCompile(`Pages:\s+(\d+)`).FindSubmatch(raw)
		sheets, _ := strconv.Atoi(string(m[1]))
		require.Equal(t, 1+strings.Count(b.String(), `class="page"`), sheets)
		each := (sheets - 1) / 2
		for side := range 2 {
			found := map[int]bool{}
			wide := papers[paper][1] // this plate lies flat
			for i := range each {
				n := fmt.Sprint(2 + side*each + i)
				words, err := exec.Command(toText, "-bbox", "-f", n, "-l", n, pdf, "-").Output()
				require.NoError(t, err)
				measureTile(t, sp, string(words), wide, side == 1, found)
			}
			require.Len(t, found, 52, "every hole is on a page")
		}
	}
}

var word = regexp.MustCompile(`xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(\d+)<`)

// measureTile compares the distances of all numbers on a page with those of
// their holes.
func measureTile(t *testing.T, sp *StringPlan, page string, wide float64, mirror bool, found map[int]bool) {
	t.Helper()
	at := map[int][2]float64{}
	for _, m := range word.FindAllStringSubmatch(page, -1) {
		var v [5]float64
		for i := range v {
			v[i], _ = strconv.ParseFloat(m[i+1], 64)
		}
		if v[3]-v[1] < 11 || v[1] < 60 { // smaller type belongs to tucked pixels; the caption is above
			continue
		}
		const point = 25.4 / 72 // millimetres
		if v[0]*point < pageMargin+3 || v[2]*point > wide-pageMargin-3 {
			continue // the edge may cut the number; the next page has all of it
		}
		at[int(v[4])] = [2]float64{(v[0] + v[2]) / 2 * point, (v[1] + v[3]) / 2 * point}
	}
	holes := map[int]prop.Point{}
	pixel := 0
	for i, h := range sp.Route.Order {
		pixel += sp.Route.Tucked[i] + 1
		holes[pixel] = prop.Point(sp.Sign.Plate.Holes[h].Point)
	}
	for a, p := range at {
		found[a] = true
		require.Contains(t, holes, a)
		for b, q := range at {
			dx, dy := 1000*(holes[b].X-holes[a].X), -1000*(holes[b].Y-holes[a].Y)
			if mirror {
				dx = -dx
			}
			require.InDelta(t, dx, q[0]-p[0], 0.5, "from %d to %d", a, b)
			require.InDelta(t, dy, q[1]-p[1], 0.5, "from %d to %d", a, b)
		}
	}
}

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

// Tiles cover the whole plate, whatever its size.
func TestTilesCover(t *testing.T) {
	for _, long := range []float64{10, 189, 190, 191, 370, 371, 5000} {
		const page = 190.0
		n := tilesFor(long, page)
		assert.GreaterOrEqual(t, float64(n)*(page-overlap)+overlap, long-1e-6)
		assert.Less(t, math.Max(0, float64(n-1)*(page-overlap)+overlap), math.Max(long, 11))
	}
	assert.Equal(t, "AA", letters(26))
}
