package traffic

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/tui/style"
)

// labels stand before the sentences, so that no colour is needed.
var labels = [...]string{advice.Note: "", advice.Warning: "Warning", advice.Trouble: "TROUBLE"}

// labelWidth is the room for a label or the time of day, and a space.
const labelWidth = 9

// shortLines are the heaviest sentences, a line each, that say what to do before
// why; the last line says how many more there are.
func (m Model) shortLines(width, room int) []string {
	list := m.news.Words(m.snap.Links)
	var lines []string
	for i, s := range list {
		if len(lines) == room-1 && len(list)-i > 1 {
			more := fmt.Sprintf("%s… %d more, and all at length: v", strings.Repeat(" ", labelWidth+1), len(list)-i)
			return append(lines, m.style.Quiet.Render(more))
		}
		text := style.Clean(s.Line(width - labelWidth - 2))
		lines = append(lines, " "+style.Cell(m.label(s.Weight), labelWidth)+ansi.Truncate(text, width-labelWidth-2, "…"))
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
func (m Model) wordLines(width int) []string {
	var lines []string
	for _, s := range m.news.Words(m.snap.Links) {
		lines = append(lines, hang(m.label(s.Weight), style.Clean(s.Text), width)...)
	}
	if m.wide {
		lines = append(lines, hang("", "Listening to all that is announced: a goes back to yours.", width)...)
	}
	if !m.heard && m.prop != nil {
		lines = append(lines, hang("", "Listening begins.", width)...)
	}
	switch {
	case m.prop == nil && m.heard && m.news.Report != nil:
		lines = append(lines, indented("No prop is connected yet: all that is announced is heard.", width)...)
	case m.prop == nil:
		lines = append(lines, indented("No prop is connected, and nothing is heard yet.", width)...)
	}
	for i := len(m.news.Events) - 1; i >= 0; i-- {
		e := m.news.Events[i]
		lines = append(lines, hang(m.style.Quiet.Render(e.At.Format("15:04:05")), style.Clean(e.Text)+".", width)...)
	}
	return lines
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

// cut keeps what fits of lines from the line top on, and says how much more
// there is.
func (m Model) cut(lines []string, top, height int) []string {
	height = max(0, height)
	top = max(0, min(top, len(lines)-height))
	lines = lines[top:]
	if m.page.more = max(0, len(lines)-height); m.page.more == 0 {
		return lines
	}
	out := append([]string(nil), lines[:max(0, height-1)]...)
	return append(out, m.style.Quiet.Render(fmt.Sprintf("%s… %d more lines", strings.Repeat(" ", labelWidth+1), len(lines)-height+1)))
}
