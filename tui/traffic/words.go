package traffic

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/style"
)

// labels stand before sentences, so that their weight is seen without colour.
var labels = [...]string{advice.Note: "", advice.Warning: "WARNING:", advice.Trouble: "TROUBLE:"}

// labelWidth is the width of a label or the time of day, with a space.
const labelWidth = 9

// said are the sentences in at most room lines: in full, or else the most severe ones with
// the remedy before the reason, and the key that shows the others.
func (m Model) said(width, room int) []string {
	if all := m.spaced(width); len(all) <= room {
		return all
	}
	list := m.news.Words(m.snap.Links)
	var lines []string
	for i, s := range list {
		short := m.hang(s.Weight, style.Clean(s.Line(width-labelWidth-2)), width)
		if last := i == len(list)-1; len(lines)+len(short) > room-1 && !(last && len(lines)+len(short) <= room) && i > 0 {
			return append(lines, " "+m.style.More(fmt.Sprintf("… %d more, and all at length", len(list)-i), "v"))
		}
		lines = append(lines, short...)
	}
	return lines
}

func (m Model) label(w advice.Weight) string {
	label := labels[min(w, advice.Trouble)]
	if w > advice.Note {
		return m.style.Warn.Render(label)
	}
	return label
}

// wordLines are all sentences, then the events, the newest first.
func (m Model) wordLines(width int) []string { return slices.Concat(m.wordBlocks(width)...) }

// spaced are these lines with an empty row between two sentences.
func (m Model) spaced(width int) []string {
	blocks := m.wordBlocks(width)
	return joined(blocks, len(slices.Concat(blocks...))+len(blocks)-1)
}

// wordBlocks are the lines of each sentence.
func (m Model) wordBlocks(width int) (lines [][]string) {
	for _, s := range m.news.Words(m.snap.Links) {
		lines = append(lines, m.hang(s.Weight, style.Clean(s.Text), width))
	}
	note := func(text string) { lines = append(lines, indented(text, width)) }
	switch {
	case m.prop != nil && !m.heard:
		note("Listening begins: others are not known yet.")
	case m.prop == nil && m.heard && m.news.Report != nil:
		note("No prop is connected yet: all that is announced is heard.")
	case m.prop == nil:
		note("This page shows who lights a prop, you or another sender, and how.")
		last := len(lines) - 1
		lines[last] = append(lines[last], style.Indent(portrait.HowToStart(m.style, width-1), 1)...)
	}
	for i := len(m.news.Events) - 1; i >= 0; i-- {
		e := m.news.Events[i]
		lines = append(lines, hang(m.style.Quiet.Render(e.At.Format("15:04:05")), style.Clean(e.Text)+".", width))
	}
	return lines
}

// hang is a sentence beside the label of its weight; a note has none and begins at the
// left edge.
func (m Model) hang(w advice.Weight, text string, width int) []string {
	if w == advice.Note {
		return indented(text, width)
	}
	return hang(m.label(w), text, width)
}

// sentencesPage is all sentences with the prop as it is lit beside or below them; what to do
// first is in large letters above.
func (m Model) sentencesPage(width, height int) []string {
	lines := m.spaced(width)
	if m.prop == nil || m.prop.Bulb() {
		return m.cut(lines, m.top, height)
	}
	if width >= besideWidth {
		lines = m.cut(m.spaced(listedCells(width)), m.top, height)
		return m.besidePanel(lines, m.shownDrawing, width, height)
	}
	if d := m.shownDrawing(width-1, height-len(lines)-1); d != nil {
		return append(append(lines, ""), m.panel(d, width-1, height-len(lines)-1-len(d))...)
	}
	return m.cut(lines, m.top, height)
}

// remedies are what to do about the heaviest sentence, for large letters: all that may be done, or the first
// of it.
func (m Model) remedies() (texts []string) {
	for _, s := range m.news.Words(m.snap.Links) {
		if s.Do == "" || s.Weight == advice.Note {
			continue
		}
		do := style.Clean(s.Do)
		texts = []string{do}
		for _, other := range []string{" or ", ", "} {
			if first, _, several := strings.Cut(do, other); several {
				texts = append(texts, first)
			}
		}
		return texts
	}
	return nil
}

// indented wraps text that has no label, at the left edge.
func indented(text string, width int) []string {
	out := style.Wrap(text, width-1)
	for i := range out {
		out[i] = " " + out[i]
	}
	return out
}

// hang wraps text beside a label.
func hang(label, text string, width int) []string {
	out := style.Wrap(text, width-labelWidth-1)
	for i := range out {
		if i > 0 {
			label = ""
		}
		out[i] = " " + style.Cell(label, labelWidth) + out[i]
	}
	return out
}

// cut is the lines that fit from line top on, with the number of the others. Where rows are many it
// ends with the empty row after a sentence.
func (m Model) cut(lines []string, top, height int) []string {
	height = max(0, height)
	m.page.step = height - 1
	top = max(0, min(top, len(lines)-height))
	lines = lines[top:]
	if m.page.more = max(0, len(lines)-height); m.page.more == 0 {
		return lines
	}
	out, left := style.Cut(lines, height)
	m.page.step, m.page.more = max(1, len(lines)-left), left
	return append(out, " "+m.style.More(fmt.Sprintf("… %d more below", left), "pgdn"))
}

// manyRows is from how many rows on a page has one to spare.
const manyRows = 4

// beforeMore is an empty row before the line that says how much is below, where rows are many.
func beforeMore(rows int) []string {
	if rows < manyRows {
		return nil
	}
	return []string{""}
}
