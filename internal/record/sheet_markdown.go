package record

import (
	"fmt"
	"strings"
)

// Markdown is the page as Markdown, without the drawing.
func (pg Page) Markdown() string {
	var b strings.Builder
	put := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	put("# %s", escapeMarkdown(pg.Prop.Name))
	put("\nBench sheet: %s. Made %s by ringout %s.", escapeMarkdown(pg.sum()), pg.Made.Format("2 January 2006 15:04"), escapeMarkdown(pg.Ringout))
	put("\n## Addresses\n\n| run | pixels | numbers | first slot | last slot | order | travel |\n|---|---:|---|---|---|---|---|")
	for _, r := range pg.Rows {
		put("| %s | %d | %s | U%d S%d | U%d S%d | %s | %s |", escapeMarkdown(r.Run), r.Pixels, span(r.FirstPixel, r.LastPixel),
			r.FirstUniverse, r.FirstSlot, r.LastUniverse, r.LastSlot, r.Order, r.Travel)
	}
	put("")
	for _, f := range pg.address() {
		put("- %s: %s", f.What, escapeMarkdown(f.Value))
	}
	for _, p := range pg.Prop.Parts {
		empty := ""
		if p.Empty {
			empty = ", empty: no light, keep it black"
		}
		put("- Part %s: pixels %s%s", escapeMarkdown(p.Name), span(p.First+1, p.Last+1), empty)
	}
	put("\n## Power\n")
	for _, f := range pg.powerFacts() {
		put("- %s: %s", escapeMarkdown(f.What), escapeMarkdown(f.Value))
	}
	for _, f := range pg.Power.Findings {
		put("- %s", escapeMarkdown(f))
	}
	head, lines := pg.verdict()
	put("\n## Check-out\n\n%s.\n", head)
	for _, l := range append(lines, pg.Notes...) {
		put("- %s", escapeMarkdown(l))
	}
	put("\n## Labels\n")
	for _, l := range pg.Labels() {
		put("- %s", escapeMarkdown(l))
	}
	put("\n## To buy for this prop\n")
	for _, x := range pg.boughtItems() {
		put("- [ ] %s", escapeMarkdown(x))
	}
	put("\n%s", listReserve)
	put("\n## Cautions\n")
	for _, c := range pg.cautions() {
		put("- %s", c)
	}
	return b.String()
}

// escapeMarkdown escapes a text for a line or a table cell of Markdown.
func escapeMarkdown(s string) string {
	s = plain(strings.Join(strings.Fields(s), " "))
	return strings.NewReplacer(`\`, `\\`, "|", `\|`, "*", `\*`, "_", `\_`, "`", "\\`", "<", "&lt;", "[", `\[`, "#", `\#`).Replace(s)
}
