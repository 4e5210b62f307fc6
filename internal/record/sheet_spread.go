package record

import (
	"strings"

	"example.org/ringout/internal/prop"
)

// A block is what a back has no room for, under its title.
type block struct {
	Title string
	Texts []string
}

// length is how many pages the prop has: an even number, so that the next prop begins on
// a sheet of its own.
func (h htmlPage) length() int {
	n := 2 + len(h.More) + len(h.Rest)
	return n + n%2
}

// spread moves what the back has no room for, until its type is large enough: what to mind
// to the front where that has so many millimetres free, else one thing after another to
// pages of their own. Only where that is not enough, or the front has no room for it, the
// table of addresses goes too.
func (h htmlPage) spread(rows []prop.Row, free float64) htmlPage {
	if h.OnFront {
		if with := h.mindOnFront(free); fontSize(with) >= leastBack(len(rows)) {
			return with
		}
		if with := h.apart(); fontSize(with) >= leastType {
			return with
		}
	}
	h.More = inPages(h, rows)
	return h.apart()
}

// mindOnFront is the page with what to mind on its front, where that has so many
// millimetres free: 10 for the title, and 4.4 for each line of 100 letters (9.5 points on
// 1.25 lines).
func (h htmlPage) mindOnFront(free float64) htmlPage {
	high := 10.0
	for _, text := range h.Power.Findings {
		high += 4.4 * float64(1+len(text)/100)
	}
	if high <= free {
		h.Mind = takeFindings(&h).Texts
	}
	return h
}

// apart takes one thing after another from the back. What is needed most on it goes last;
// its address and the cautions stay in any case.
func (h htmlPage) apart() htmlPage {
	var apart []block
	for _, take := range []func(*htmlPage) block{takeFindings, takeNotes, takeFound, takePower, takeParts, takeBuy} {
		if fontSize(h) >= leastType {
			break
		}
		if b := take(&h); len(b.Texts) > 0 {
			apart = append(apart, b)
		}
	}
	h.Rest = blocksInPages(apart)
	return h
}

func takeFindings(h *htmlPage) block {
	report := *h.Power
	b := block{"Mind at full level", report.Findings}
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

// blocksInPages breaks blocks over pages of a given number of lines, which leastType fills to nine
// tenths (723 points over 1.3 of it). A text longer than half a page is broken at a space.
func blocksInPages(blocks []block) (out [][]block) {
	const room, wide = 60, 95
	left := 0
	for _, b := range blocks {
		title := b.Title
		for _, text := range b.pieces(room / 2 * wide) {
			need := 1 + len(text)/wide
			if left < need+3 { // three more for a title
				out, left, title = append(out, nil), room, b.Title
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

// pieces are the texts of a block, none much longer than so many bytes.
func (b block) pieces(most int) (out []string) {
	for _, text := range b.Texts {
		out = append(out, pieces(text, most)...)
	}
	return out
}

// pieces breaks a text at spaces into pieces of at most a given number of bytes; a word longer
// than that is left whole.
func pieces(text string, most int) (out []string) {
	for len(text) > most {
		i := strings.LastIndexByte(text[:most], ' ')
		if i <= 0 {
			if i = strings.IndexByte(text, ' '); i < 0 {
				break
			}
		}
		out, text = append(out, text[:i]), text[i+1:]
	}
	return append(out, text)
}
