package check

import (
	"slices"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/style"
)

// A chooser is a page with a title, a list, and words above and below it.
type chooser struct {
	title, above, below string
	items               []item
	chosen              choice
	bad                 bool // the title is bad news
	size                int  // rows that its items are high; 0 for plain ones
	tight               bool // without empty rows
}

// lines is the page; nil when items of its size do not fit.
func (c chooser) lines(m Model, width, height int) (lines []string, zones []zone) {
	add := func(text string, render func(...string) string) {
		for _, l := range style.Wrap(text, width-4) {
			lines = append(lines, "  "+render(l))
		}
	}
	gap := func() {
		if !c.tight {
			lines = append(lines, "")
		}
	}
	look := m.style.AccentSign()
	if c.bad {
		look = m.style.Warn
	}
	add(c.title, look.Render)
	gap()
	if c.above != "" {
		add(c.above, plain)
		gap()
	}
	others := 14               // rows for the words below the list
	if c.size == digits.Rows { // as few as they need, so that its letters and texts stand apart
		others = 1 + len(style.Wrap(c.below, width-4)) + 1 + digits.Rows
	}
	l, z := listedLarge(m.style, c.items, int(c.chosen), min(width, 96), height-len(lines)-others, c.size)
	if c.size == 0 {
		l, z = listed(m.style, c.items, int(c.chosen), min(width, 78))
	}
	if l == nil && len(c.items) > 0 {
		return nil, nil
	}
	zones = down(z, len(lines))
	lines = append(lines, l...)
	gap()
	add(c.below, plain) // cautions too
	if s := sayRecord(m); s != "" {
		gap()
		lines = append(lines, style.Indent(style.WrapKeys(s, width-2*edge, style.Text{}, m.style.Accent), edge)...)
	}
	if m.note != "" {
		gap()
		add(m.note, m.style.Strong.Render)
	}
	return lines, zones
}

// shortList is a page that is too long with fewer rows of its list, the chosen line among
// them: what is said below it, cautions and the answer to the last key, stays.
func shortList(lines []string, zones []zone, chosen, height int) ([]string, []zone) {
	over := len(lines) - height
	if over <= 0 || len(zones) == 0 {
		return lines, zones
	}
	first, last := zones[0].y0, zones[len(zones)-1].y1
	rows, from := max(1, last-first-over), 0
	for _, z := range zones {
		if z.item == chosen {
			from = max(0, z.y1-first-rows)
		}
	}
	var seen []zone
	for _, z := range down(zones, -from) {
		if z.y0 >= first && z.y1 <= first+rows {
			seen = append(seen, z)
		}
	}
	return slices.Concat(lines[:first], lines[first+from:first+from+rows], lines[last:]), seen
}

// besideProp is the page with the prop at its right where there is room; the words above
// the list give way to it.
func (c chooser) besideProp(m Model, width, height int) ([]string, []zone) {
	return m.besideProp(m.bench.prop, c.items, int(c.chosen), width, height, func(left, size int) ([]string, []zone) {
		c := c
		c.size = size
		lines, zones := c.lines(m, left, height)
		if len(lines) > height {
			c.above = ""
			lines, zones = c.lines(m, left, height)
		}
		return inSight(lines, zones, int(c.chosen), height)
	})
}

// grown is the page with the largest items that fit.
func (c chooser) grown(m Model, width, height int) ([]string, []zone) {
	for c.size = mostListed; c.size > 0; c.size -= digits.Rows {
		if lines, zones := c.lines(m, width, height); lines != nil {
			return lines, zones
		}
	}
	return c.lines(m, width, height)
}

// inSight scrolls a page that is too long so that the chosen line is visible; nil stays
// nil.
func inSight(lines []string, zones []zone, chosen, height int) ([]string, []zone) {
	if lines == nil {
		return nil, nil
	}
	from := 0
	for _, z := range zones {
		if z.item == chosen {
			from = max(0, z.y1-height)
		}
	}
	return lines[min(from, len(lines)):], down(zones, -from)
}

// leastSide is the least width of a drawing beside a list, in cells.
const leastSide = 24

// widest is the width of the longest item, in cells.
func (c chooser) widest() int {
	most := 0
	for _, it := range c.items {
		most = max(most, ansi.StringWidth(it.text))
	}
	return most + 4 + edge // the mark and the digit before it
}
