package record

import (
	"strings"

	"example.org/ringout/internal/prop"
)

// A block is a titled text that does not fit the back.
type block struct {
	Title string
	Texts []string
}

// length is the number of pages of the prop: even, so the next prop starts on a new
// sheet.
func (h htmlPage) length() int {
	n := 2 + len(h.More) + len(h.Rest)
	if h.RestBelow {
		n--
	}
	return n + n%2
}

// spread moves content off the back until its type is large enough: the warnings to the
// front if it has enough free height (free, in mm), else one block after another to
// pages of their own. The table of addresses moves too if that is not enough or it does
// not fit the front.
func (h htmlPage) spread(rows []prop.Row, free float64) htmlPage {
	if h.OnFront {
		if with := h.warnOnFront(free); fontSize(with) >= leastBack(len(rows)) {
			return with
		}
		if with := h.moveOffBack(blockLines); fontSize(with) >= leastType {
			return with
		}
	}
	var left float64
	h.More, left = splitRows(h, rows)
	below := int((left + unusedByRows) / blockLine)
	with := h.moveOffBack(below)
	with.RestBelow = below > leastBelow && len(with.Rest) > 0
	if below <= leastBelow {
		with = h.moveOffBack(blockLines)
	}
	return with
}

// warnOnFront moves the warnings to the front if the free height in mm suffices: 10 for
// the title, and 4.4 for each line of 100 letters (9.5 points at 1.25 line spacing).
func (h htmlPage) warnOnFront(free float64) htmlPage {
	high := 10.0
	for _, text := range h.Power.Findings {
		high += 4.4 * float64(1+len(text)/100)
	}
	if high <= free {
		h.Warnings = takeFindings(&h).Texts
	}
	return h
}

// moveOffBack moves one block after another off the back, the most important last. The
// address and the cautions always stay. first is how many lines the first page has for them.
func (h htmlPage) moveOffBack(first int) htmlPage {
	var apart []block
	warned := len(h.Power.Findings)
	for _, take := range []func(*htmlPage) block{takeFindings, takeNotes, takeFound, takePower, takeParts, takeBuy} {
		if fontSize(h) >= leastType {
			break
		}
		if b := take(&h); len(b.Texts) > 0 {
			apart = append(apart, b)
		}
	}
	if warned > 0 && len(h.Power.Findings) == 0 && len(h.More) > 0 { // the first block is the warnings
		h, apart[0].Texts = h.findingsBack(apart[0].Texts)
		if len(apart[0].Texts) == 0 {
			apart = apart[1:]
		}
	}
	h.Rest = blocksInPages(apart, first)
	return h
}

// findingsBack puts as many of the warnings that were moved off the back there again as have
// room now that other blocks have left it; after are the others.
func (h htmlPage) findingsBack(moved []string) (with htmlPage, after []string) {
	with = h
	for k := range moved {
		report := *h.Power
		report.Findings = moved[:k+1]
		more := h
		more.Power = &report
		if fontSize(more) < leastType {
			return with, moved[k:]
		}
		with = more
	}
	return with, nil
}

func takeFindings(h *htmlPage) block {
	report := *h.Power
	b := block{"Warnings at full level", report.Findings}
	report.Findings = nil
	h.Power = &report
	return b
}

func takeNotes(h *htmlPage) block {
	b := block{"Notes", h.Notes}
	h.Notes = nil
	return b
}

func takeFound(h *htmlPage) block {
	b := block{h.Head, h.Lines}
	h.Lines = nil
	return b
}

func takePower(h *htmlPage) block {
	b := block{Title: "Power"}
	for _, f := range h.Supply {
		b.Texts = append(b.Texts, f.What+": "+f.Value)
	}
	h.Supply = nil
	return b
}

func takeParts(h *htmlPage) block {
	p := *h.Prop
	b := block{"Parts", partTexts(p.Parts)}
	p.Parts = nil
	h.Prop = &p
	return b
}

func takeBuy(h *htmlPage) block {
	b := block{Title: "To buy for this prop"}
	for _, x := range h.Buy {
		b.Texts = append(b.Texts, "☐ "+x)
	}
	h.Buy = nil
	return b
}

// Pages of blocks at leastType: 723 points at 1.25 line spacing less the page's own line, and
// letters in a line, a little fewer than a browser sets. A block goes below a table if there
// are more than leastBelow lines.
const (
	blockLines   = 64
	blockLetters = 130
	blockLine    = 1.25 * leastType * 25.4 / 72 // mm
	leastBelow   = 10

	unusedByRows = 25.0 // mm that a page of rows has beside the room of splitRows and its headings
)

// blocksInPages splits blocks into pages of as many lines as fill them; the first has so
// many. A text longer than half a page is broken at a space.
func blocksInPages(blocks []block, first int) (out [][]block) {
	const wide = blockLetters
	room := first
	left := 0 // lines on the page
	for _, b := range blocks {
		title := b.Title
		for _, text := range b.pieces(blockLines / 2 * wide) {
			need := 1 + len(text)/wide
			if left < need+3 { // three lines more for a title
				out, left, title, room = append(out, nil), room, b.Title, blockLines
			}
			page := &out[len(out)-1]
			if title != "" {
				*page, title, left = append(*page, block{Title: title}), "", left-3
			}
			last := &(*page)[len(*page)-1]
			last.Texts, left = append(last.Texts, text), left-need
		}
	}
	return out
}

// pieces are the texts of a block, each at most about the given number of bytes.
func (b block) pieces(most int) (out []string) {
	for _, text := range b.Texts {
		out = append(out, splitText(text, most)...)
	}
	return out
}

// splitText breaks a text at spaces into pieces of at most the given number of bytes; a
// longer word stays whole.
func splitText(text string, most int) (out []string) {
	for len(text) > most {
		i := max(strings.LastIndexByte(text[:most], ' '), strings.IndexByte(text, ' '))
		if i < 0 {
			break
		}
		out, text = append(out, text[:i]), text[i+1:]
	}
	return append(out, text)
}
