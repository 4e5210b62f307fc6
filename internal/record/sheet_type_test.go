package record

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
)

// anyPage is the page of a prop of 1 to 60 runs with names, feeds, parts, notes and
// findings that may be many and long.
func anyPage(t *rapid.T) Page {
	name := rapid.StringMatching(`[a-z]{1,12}( [a-z]{1,12}){0,6}`)
	p := *prop.Porthole()
	p.Name, p.Runs, p.Parts, p.Feeds = name.Draw(t, "name"), nil, nil, nil
	for range rapid.IntRange(1, 60).Draw(t, "runs") {
		shape := rapid.SampledFrom([]prop.Shape{{Kind: prop.Ring}, {Kind: prop.Line}, {Kind: prop.Line, Angle: 90}, {Kind: prop.Star, Points: 5}}).Draw(t, "shape")
		shape.Centre = prop.Point{X: rapid.Float64Range(-3, 3).Draw(t, "x"), Y: rapid.Float64Range(-3, 3).Draw(t, "y")}
		p.Runs = append(p.Runs, prop.Run{Name: name.Draw(t, "run"), Pixels: rapid.IntRange(1, 9).Draw(t, "pixels"), Shape: shape})
	}
	for i := range rapid.IntRange(0, 20).Draw(t, "feeds") {
		p.Feeds = append(p.Feeds, prop.Feed{Name: fmt.Sprint(name.Draw(t, "feed"), i), Pixel: rapid.IntRange(0, p.Pixels()-1).Draw(t, "at"), WireMetre: 2, Wire: prop.Wire{AWG: 18}, FuseAmps: 5})
	}
	for range rapid.IntRange(0, 40).Draw(t, "parts") {
		at := rapid.IntRange(0, p.Pixels()-1).Draw(t, "part at")
		p.Parts = append(p.Parts, prop.Part{Name: name.Draw(t, "part"), First: at, Last: at})
	}
	entry := busy()
	for range rapid.IntRange(0, 40).Draw(t, "findings") {
		entry.Findings = append(entry.Findings, Finding{Kind: "dead-pixel", Text: name.Draw(t, "finding")})
	}
	entry.Verdict = Fail
	pg, err := NewPage(&p, History{Entries: []Entry{entry}}, evening, "1.0")
	if err != nil {
		t.Skip(err) // feeds on one pixel and the like
	}
	for range rapid.IntRange(0, 30).Draw(t, "notes") {
		pg.Notes = append(pg.Notes, strings.Repeat(name.Draw(t, "note")+" ", rapid.IntRange(1, 20).Draw(t, "long")))
	}
	return pg
}

// The type on every page of any prop is of 7 points or more: the sections by what they
// say, the drawing by its own units on the narrower page (186 mm for 640 of them), and
// the rest by the style sheet. Nothing that the sheet has to say is lost on the way.
func TestNoTypeUnderSevenPoints(t *testing.T) {
	size := regexp.MustCompile(`font-size: ([\d.]+)pt`)
	drawn := regexp.MustCompile(`<text[^>]* font-size="([\d.]+)"`)
	for _, m := range size.FindAllStringSubmatch(sheetStyle, -1) {
		at, _ := strconv.ParseFloat(m[1], 64)
		require.GreaterOrEqual(t, at, 7.0, "the style sheet")
	}
	for _, m := range regexp.MustCompile(`font-size: (0\.[\d.]+em|max\([^)]*\))`).FindAllStringSubmatch(sheetStyle, -1) {
		require.Regexp(t, `^max\(.*, 7pt\)$`, m[1], "what is smaller than its page is held to 7 points")
	}
	const unit = 186 / 25.4 * 72 / 640
	rapid.Check(t, func(t *rapid.T) {
		pg := anyPage(t)
		var b strings.Builder
		require.NoError(t, WriteHTML(&b, A4, pg))
		html := b.String()
		for _, m := range size.FindAllStringSubmatch(html, -1) {
			at, err := strconv.ParseFloat(m[1], 64)
			require.NoError(t, err)
			require.GreaterOrEqual(t, at, 7.0, "points")
		}
		for _, m := range drawn.FindAllStringSubmatch(html, -1) {
			at, err := strconv.ParseFloat(m[1], 64)
			require.NoError(t, err)
			require.GreaterOrEqual(t, at*unit, 7.0, "points in the drawing")
		}
		pages := strings.Count(html, "<section")
		require.Equal(t, pg.length(), pages)
		require.Zero(t, pages%2)
		require.Contains(t, html, fmt.Sprintf("page %d of %d", pages, pages))
		flat := strings.Join(strings.Fields(html), " ")
		for _, r := range pg.Rows {
			require.Contains(t, html, fmt.Sprintf("U%d S%d", r.LastUniverse, r.LastSlot))
		}
		for _, part := range pg.Prop.Parts {
			require.Contains(t, html, part.Name+" "+span(part.First+1, part.Last+1))
		}
		for _, x := range pg.boughtItems() {
			require.Contains(t, html, "☐ "+x[:min(len(x), 8)])
		}
		for _, f := range pg.Power.Findings {
			require.Contains(t, flat, strings.Fields(f)[0])
		}
	})
}

// Blocks moved off a back fill the pages after it, complete and in order.
func TestBlocksFillPages(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.StringMatching(`[a-z]{1,30}`)
		var want []string
		var blocks []block
		for i := range rapid.IntRange(1, 4).Draw(t, "blocks") {
			w := word.Draw(t, "word")
			text := strings.Repeat(w+" ", rapid.SampledFrom([]int{0, 1, 50, 400, 900}).Draw(t, "times")) + w
			blocks = append(blocks, block{fmt.Sprint("title ", i), []string{text, "end"}})
			want = append(want, text, "end")
		}
		var got []string
		for _, page := range blocksInPages(blocks, blockLines) {
			lines := 0.0
			for _, b := range page {
				lines += 3
				for _, text := range b.Texts {
					lines += math.Ceil(float64(len(text)+1) / 130)
					got = append(got, text)
				}
			}
			assert.LessOrEqual(t, lines, 67.0)
		}
		assert.Equal(t, strings.Join(want, " "), strings.Join(got, " "))
	})
}

// A page of 64 lines, three of them its title, is followed by another only when it has no
// more room than a title takes; the first may have fewer, below a table.
func TestNoPageOfBlocksIsLeftHalfEmpty(t *testing.T) {
	for n := 1; n <= 200; n++ {
		for _, first := range []int{blockLines, 20} {
			pages := blocksInPages([]block{{"title", strings.Split(strings.Repeat("x ", n-1)+"x", " ")}}, first)
			texts := 0
			for i, page := range pages {
				room := blockLines
				if i == 0 {
					room = first
				}
				require.Len(t, page, 1)
				require.Equal(t, "title", page[0].Title, "every page has the title")
				k := len(page[0].Texts)
				require.LessOrEqual(t, 3+k, room)
				require.True(t, i == len(pages)-1 || k == room-3-3, "page %d of %d has %d texts", i+1, len(pages), k)
				texts += k
			}
			require.Equal(t, n, texts)
		}
	}
}

// crowdedBack is a prop of few runs of which there is much to say.
func crowdedBack(t *testing.T) Page {
	p := prop.Porthole()
	for i := range 12 {
		p.Feeds = append(p.Feeds, prop.Feed{Name: fmt.Sprintf("a feed with a rather long name, number %d", i+1), Pixel: 2 + 11*i, WireMetre: 2, Wire: prop.Wire{AWG: 18}, FuseAmps: 5})
	}
	for i := range 30 {
		p.Parts = append(p.Parts, prop.Part{Name: fmt.Sprintf("a part with a long name, number %d", i+1), First: 4 * i, Last: 4*i + 3})
	}
	pg := page(t, p, busy())
	for i := range 25 {
		pg.Notes = append(pg.Notes, fmt.Sprintf("note %d: %s", i+1, strings.Repeat("of the evening ", 9)))
	}
	return pg
}

// A text broken over pages is complete: its pieces joined by spaces give it again. No piece
// is longer than the limit unless it is a single word, and each takes as many words as fit.
func TestPiecesAreTheWholeText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOfN(rapid.StringMatching(`[a-z]{0,20}`), 1, 60).Draw(t, "words") // two spaces too
		most := rapid.IntRange(1, 50).Draw(t, "most")
		got := splitText(strings.Join(words, " "), most)
		require.Equal(t, strings.Join(words, " "), strings.Join(got, " "))
		require.Len(t, splitText(got[0], len(got[0])), 1, "what fits is not broken")
		for i, p := range got {
			require.True(t, len(p) <= most || !strings.Contains(p, " "), "%q is longer than %d", p, most)
			if i > 0 {
				next, _, _ := strings.Cut(p, " ")
				require.GreaterOrEqual(t, len(got[i-1])+1+len(next), most, "%q had room for %q", got[i-1], next)
			}
		}
	})
}

// A finding says its pixel where it is of one, the first and all others, and no pixel else.
func TestWhereAFindingIs(t *testing.T) {
	for pixel, want := range map[int][]string{0: nil, 1: {"Fail: pixel\u00a01"}, 144: {"Fail: pixel\u00a0144"}} {
		require.Equal(t, want, Finding{Pixel: pixel}.where())
	}
}

// The pages of a sheet are numbered in order, a word on the back leads to further ones
// exactly where there are some, and no heading stands above nothing.
func TestPagesLeadOn(t *testing.T) {
	headings := regexp.MustCompile(`<h2>([^<]*)</h2>\s*<(div|ul)[^>]*>\s*</`)
	long := map[bool]int{}
	for _, pg := range []Page{page(t, prop.Porthole()), page(t, prop.BuoyLamp()), page(t, manyRuns()), crowdedBack(t)} {
		html := sheet(t, A4, pg)
		sections := strings.Split(html, "<section")[1:]
		for i, s := range sections {
			assert.Contains(t, s, fmt.Sprintf("page %d of %d", i+1, len(sections)), pg.Prop.Name)
		}
		more := strings.Contains(sections[1], ":</b> from the next page on.") || strings.Contains(sections[1], "Addresses, labels and more: on the next pages.")
		assert.Equal(t, len(sections) > 2, more, pg.Prop.Name)
		assert.Empty(t, headings.FindAllStringSubmatch(html, -1), pg.Prop.Name)
		long[len(sections) > 2]++
	}
	assert.Len(t, long, 2, "sheets with and without further pages")
}

// A back tells of the first part as of any other, and has a heading for what to buy and
// for parts only where there are some.
func TestBackOfAPropWithoutMuch(t *testing.T) {
	p := prop.Porthole()
	for n := range 3 {
		p.Parts = nil
		for i := range n {
			p.Parts = append(p.Parts, prop.Part{Name: fmt.Sprint("part ", i), First: i, Last: 9, Empty: true})
		}
		for _, buy := range [][]string{nil, {"one lead"}, {"one lead", "two fuses"}} {
			h := newHTMLPage(page(t, p))
			h.Buy = buy
			var d sheetDocument
			d.back(h)
			var b strings.Builder
			_, err := d.out.WriteTo(&b)
			require.NoError(t, err)
			html := b.String()
			assert.Equal(t, len(buy) > 0, strings.Contains(html, "To buy for this prop"))
			assert.Equal(t, len(buy), strings.Count(html, "<div>☐ "))
			assert.Equal(t, n > 0, strings.Contains(html, "Parts:"))
			assert.Equal(t, n, strings.Count(html, "(empty: no light, keep it black)"))
		}
	}
}
