package record

import (
	"fmt"
	"html"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/shopping"
)

// The sheet has the list that the plan prints: a prop's own on its back, and
// one over all props of a season, whose shared reels are counted once.
func TestSheetHasTheShoppingList(t *testing.T) {
	var pages []Page
	for _, p := range append(prop.Demos(), prop.Porthole()) {
		pages = append(pages, page(t, p))
	}
	pages[3].Prop.Name = `Second <b>|porthole`
	own, err := shopping.For([]*prop.Prop{prop.Porthole()})
	require.NoError(t, err)
	alone, md := sheet(t, AnyPaper, pages[0]), Season{Pages: pages[:1]}.Markdown()
	for _, x := range own.Items {
		assert.Contains(t, html.UnescapeString(alone), "<div>☐ "+itemText(x)+"</div>")
		assert.Contains(t, md, "- [ ] "+x.Amount()+" "+x.Name)
	}
	assert.NotContains(t, alone+md, "Shopping list for all")
	var props []*prop.Prop
	for _, pg := range pages {
		props = append(props, pg.Prop)
	}
	all, err := shopping.For(props)
	require.NoError(t, err)
	season := sheet(t, AnyPaper, pages...)
	var rows [][]string
	for _, r := range tables(t, season) {
		if len(r) == 5 {
			rows = append(rows, r)
		}
	}
	require.Len(t, rows, len(all.Items))
	group := ""
	for i, x := range all.Items {
		if rows[i][0] != "" {
			group = rows[i][0]
		}
		assert.Equal(t, strings.ToUpper(x.Group[:1])+x.Group[1:], group)
		assert.Equal(t, []string{"☐ " + x.Amount(), x.Name, x.Note}, rows[i][1:4])
	}
	md = Season{Pages: pages}.Markdown()
	head, _, found := strings.Cut(md, "# Porthole")
	require.True(t, found)
	assert.Contains(t, head, "# Shopping list for all 4 props")
	assert.Equal(t, len(all.Items), strings.Count(head, "- [ ] "))
	assert.Contains(t, head, `for Porthole, Second &lt;b>\|porthole`)
	assert.NotContains(t, season+md, "<b>|porthole")
}

// One prop has its own list only. Two have one for both before them, with each amount
// as the shopping list of those props has it; so have three.
func TestSeveralPropsHaveOneList(t *testing.T) {
	demos := prop.Demos()
	var pages []Page
	for _, p := range demos {
		pages = append(pages, page(t, p))
	}
	for n := 1; n <= len(pages); n++ {
		bought := 0
		if n > 1 {
			list, err := shopping.For(demos[:n])
			require.NoError(t, err)
			bought = len(list.Items)
		}
		rows := 0
		for _, r := range tables(t, sheet(t, AnyPaper, pages[:n]...)) {
			if len(r) == 5 && strings.HasPrefix(r[1], "☐ ") {
				rows++
			}
		}
		assert.Equal(t, bought, rows, "%d props as HTML", n)
		head, _, found := strings.Cut("\n"+Season{Pages: pages[:n]}.Markdown(), "\n# "+pages[0].Prop.Name)
		require.True(t, found)
		assert.Equal(t, bought, strings.Count(head, "- [ ] "), "%d props as Markdown", n)
	}
}

// A list that is longer than a page goes on over the next, and the page numbers
// in the contents count it.
func TestLongListTakesPages(t *testing.T) {
	var pages []Page
	for i := range 60 {
		p := prop.BuoyLamp()
		p.Name = fmt.Sprintf("Lamp %d", i+1)
		p.Supply.Amps = 2 + float64(i)
		p.Chip.Name = fmt.Sprintf("bulb kind %d", i+1)
		pages = append(pages, page(t, p))
	}
	lists := listPages(pages)
	require.Greater(t, len(lists), 1)
	rows := 0
	for i, l := range lists {
		require.NotEmpty(t, l)
		assert.NotEmpty(t, l[0].Group, "each page names the group that it begins with")
		rows += len(l)
		// The shorter paper is 279 mm long; two margins of 12 mm and the head of 32 leave 223.
		high := 0.0
		for _, r := range l {
			high += heightOf(r)
		}
		assert.LessOrEqual(t, high, 223.0, "page %d", i+1)
		if i+1 < len(lists) {
			assert.Greater(t, high+heightOf(lists[i+1][0]), 223.0, "page %d has room left", i+1)
		}
	}
	assert.Equal(t, len(listOf(pages...)), rows)
	text := sheet(t, AnyPaper, pages...)
	first := 2 + len(lists) + 1 // two pages of contents
	assert.Contains(t, text, fmt.Sprintf("<td>Lamp 1</td><td class=\"n\">%d</td>", first))
	for n := 1; n <= first+2*len(pages)-1; n++ {
		assert.Equal(t, 1, strings.Count(text, fmt.Sprintf("page %d of %d", n, first+2*len(pages)-1)))
	}
	assert.Equal(t, "a, b, c and 2 more", propNames([]string{"a", "b", "c", "d", "e"}))
}

// heightOf is the millimetres of a row of the list: 4.4 a line of the cell that takes
// most lines, 26 letters each, and 1.2 for its rule.
func heightOf(r listRow) float64 {
	lines := 1
	for _, cell := range []string{r.Name, r.Note, r.For} {
		lines = max(lines, 1+len([]rune(cell))/26)
	}
	return 1.2 + 4.4*float64(lines)
}
