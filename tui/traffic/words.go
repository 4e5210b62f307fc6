package traffic

import (
	"fmt"
	"strings"

	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/tui/style"
)

// labels stand before the sentences, so that no colour is needed.
var labels = [...]string{advice.Note: "", advice.Warning: "Warning", advice.Trouble: "TROUBLE"}

// labelWidth is the room for a label or the time of day, and a space.
const labelWidth = 9

// wordLines are all sentences, then the events, the newest first.
func (m Model) wordLines(width int) []string {
	var lines []string
	for _, s := range m.news.Words(m.snap.Links) {
		label := labels[min(s.Weight, advice.Trouble)]
		if s.Weight > advice.Note {
			label = m.style.Warn.Render(label)
		}
		lines = append(lines, hang(label, style.Clean(s.Text), width)...)
	}
	if m.wide {
		lines = append(lines, hang("", "Listening to all that is announced: a goes back to yours.", width)...)
	}
	if !m.heard && m.prop != nil {
		lines = append(lines, hang("", "Listening begins.", width)...)
	}
	if m.prop == nil {
		lines = append(lines, hang("", "Nothing is connected, so nothing listens: fill in Set-up.", width)...)
	}
	for i := len(m.news.Events) - 1; i >= 0; i-- {
		e := m.news.Events[i]
		lines = append(lines, hang(m.style.Quiet.Render(e.At.Format("15:04:05")), style.Clean(e.Text)+".", width)...)
	}
	return lines
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
	top = max(0, min(top, len(lines)-height))
	lines = lines[top:]
	if len(lines) <= height {
		return lines
	}
	out := append([]string(nil), lines[:max(0, height-1)]...)
	return append(out, m.style.Quiet.Render(fmt.Sprintf("%s… %d more lines", strings.Repeat(" ", labelWidth+1), len(lines)-height+1)))
}
