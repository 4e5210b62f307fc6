package record

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/shopping"
	"example.org/ringout/internal/words"
)

// listReserve is printed below every list.
const listReserve = "Wire and heat-shrink are a tenth more than needed (common practice)."

// listOf is the shopping list for the props of all pages.
func listOf(pages ...Page) []shopping.Item {
	var props []*prop.Prop
	var reports []*power.Report
	for _, pg := range pages {
		props, reports = append(props, pg.Prop), append(reports, pg.Power)
	}
	return shopping.ForPlanned(props, reports).Items
}

// itemText is an item in one line: amount, name and note.
func itemText(x shopping.Item) string {
	s := x.Amount() + " " + x.Name
	if x.Note != "" {
		s += ": " + x.Note
	}
	return plain(s)
}

// boughtItems lists the items of one prop's own list.
func (pg Page) boughtItems() (out []string) {
	for _, x := range listOf(pg) {
		out = append(out, itemText(x))
	}
	return out
}

// A listRow is an item in the list over all props.
type listRow struct{ Group, Amount, Name, Note, For string }

// listPages is the list over all props, split into pages that fit the shorter paper.
func listPages(pages []Page) (out [][]listRow) {
	const paper, head, line, rule = 255.0, 32.0, 4.4, 1.2 // millimetres
	left, group := 0.0, ""
	for _, x := range listOf(pages...) {
		row := listRow{words.Capital(x.Group), x.Amount(), plain(x.Name), plain(x.Note), propNames(x.Props)}
		lines := 0
		for _, cell := range []string{row.Name, row.Note, row.For} {
			lines = max(lines, 1+utf8.RuneCountInString(cell)/26)
		}
		high := rule + line*float64(lines)
		if left < high {
			out, left, group = append(out, nil), paper-head, ""
		}
		if row.Group == group {
			row.Group = "" // the same as in the row above
		} else {
			group = row.Group
		}
		left -= high
		out[len(out)-1] = append(out[len(out)-1], row)
	}
	return out
}

// propNames names the first props that an item is for, and the number of others.
func propNames(names []string) string {
	const most, long = 3, 40
	var out []string
	for _, n := range names[:min(most, len(names))] {
		if r := []rune(n); len(r) > long {
			n = string(r[:long-1]) + "…"
		}
		out = append(out, plain(n))
	}
	s := strings.Join(out, ", ")
	if n := len(names) - most; n > 0 {
		s += fmt.Sprintf(" and %d more", n)
	}
	return s
}

// Markdown is the pages as Markdown, one after another; several props are preceded by
// what is missing, what collides and one shopping list for all of them.
func (s Season) Markdown() string {
	var b strings.Builder
	pages := s.Pages
	if text := s.missing(); text != "" {
		fmt.Fprintf(&b, "# Some props are missing\n\n%s\n\n", escapeMarkdown(text))
	}
	if len(pages) > 1 {
		if same := collisions(pages); len(same) > 0 {
			b.WriteString("# Props use the same slots\n\n")
			for _, s := range same {
				fmt.Fprintf(&b, "- %s\n", escapeMarkdown(s))
			}
			b.WriteString("\n")
		}
		fmt.Fprintf(&b, "# Shopping list for all %d props\n\n", len(pages))
		for _, x := range listOf(pages...) {
			fmt.Fprintf(&b, "- [ ] %s; for %s\n", escapeMarkdown(itemText(x)), escapeMarkdown(propNames(x.Props)))
		}
		fmt.Fprintf(&b, "\n%s\n\n", listReserve)
	}
	for _, pg := range pages {
		b.WriteString(pg.Markdown() + "\n")
	}
	return b.String()
}
