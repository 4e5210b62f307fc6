package pages

import (
	"strings"
	"unicode/utf8"

	"example.org/ringout/internal/words"
)

// Text returns the page without markup for a terminal of width cells. Every letter
// of a page is one cell wide. A table becomes a list: the first cell of a row, the
// others below it.
func (p Page) Text(width int) string {
	w := &writer{width: max(width, 30)}
	for _, b := range read(p.Markdown()) {
		w.block(b)
	}
	return strings.TrimRight(w.out.String(), "\n") + "\n"
}

type writer struct {
	out   strings.Builder
	width int // cells
}

func (w *writer) block(b block) {
	switch b.kind {
	case heading:
		text := plain(b.text)
		if b.level == 1 {
			text = strings.ToUpper(text)
		}
		w.wrapped("", "", text)
	case item:
		w.wrapped("- ", "  ", plain(b.text))
		return // no blank line between list items
	case code:
		for _, l := range b.lines {
			w.line("    " + l)
		}
	case table:
		w.table(b.rows)
	default:
		w.wrapped("", "", plain(b.text))
	}
	w.line("")
}

func (w *writer) line(s string) { w.out.WriteString(strings.TrimRight(s, " ") + "\n") }

// wrapped writes text broken at spaces only, so that a flag such as --csv stays
// whole.
func (w *writer) wrapped(first, indent, text string) {
	line := first
	for _, word := range strings.Fields(text) {
		switch {
		case line == first || line == indent:
		case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > w.width:
			w.line(line)
			line = indent
		default:
			line += " "
		}
		line += word
	}
	w.line(line)
}

func (w *writer) table(rows [][]string) {
	for _, r := range rows[1:] {
		w.wrapped("  ", "  ", plain(r[0]))
		w.wrapped("      ", "      ", cellsText(rows[0], r))
	}
}

// cellsText returns the cells of a row after the first as sentences; a third
// column is preceded by its heading.
func cellsText(head, row []string) string {
	text := plain(row[min(1, len(row)-1)])
	for i := 2; i < len(row); i++ {
		switch row[i] {
		case "":
		case "needed":
			text = strings.TrimRight(text, ".") + ". Needed."
		default:
			text = strings.TrimRight(text, ".") + ". " + words.Capital(plain(head[i])) + ": " + plain(row[i]) + "."
		}
	}
	return text
}
