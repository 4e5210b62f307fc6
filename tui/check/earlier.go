package check

import (
	"fmt"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/tui/style"
)

// earlierItems are the questions so far with their answers.
func (m Model) earlierItems() []item {
	var out []item
	for i, a := range m.st.asked {
		digit := a.ID
		if digit > 9 {
			digit = -1
		}
		out = append(out, item{digit: digit, text: fmt.Sprintf("%s  %s", a.Question, m.style.Strong.Render(m.st.asked[i].Text()))})
	}
	return out
}

// changeItems are the answers that were offered to the question to change.
func (m Model) changeItems() []item {
	if m.change < 1 || m.change > len(m.st.asked) {
		return nil
	}
	return m.answerItems(m.st.asked[m.change-1].Answers)
}

// earlierView lists the questions so far, or the answers of one.
func (m Model) earlierView(width, height int) (lines []string, zones []zone) {
	title, items := "Which answer was wrong?", m.earlierItems()
	if m.page == changePage {
		title, items = m.st.asked[m.change-1].Question, m.changeItems()
	}
	lines = append(lines, "")
	for _, l := range style.Wrap(title, width-4) {
		lines = append(lines, "  "+m.style.Accent.Render(l))
	}
	lines = append(lines, "")
	l, z := m.listed(items, m.at, width, 1)
	// The chosen line stays in sight.
	room := height - len(lines)
	from := 0
	for _, s := range z {
		if s.item == m.at && s.y1 > room {
			from = s.y1 - room
		}
	}
	zones = down(z, len(lines)-from, 0)
	return append(lines, l[from:]...), zones
}

// answerItems are answers on their keys, and "not sure" on 0.
func (m Model) answerItems(answers []checkout.Answer) []item {
	var out []item
	for _, a := range answers {
		out = append(out, item{digit: none, key: a.Press, text: a.Text, sign: m.swatch(a.Sees)})
	}
	return level(append(out, item{digit: checkout.NotSure, text: "not sure", quiet: true}))
}

// level gives items without a swatch the room of one, where others have one.
func level(items []item) []item {
	any := false
	for _, it := range items {
		any = any || it.sign != ""
	}
	for i := range items {
		if any && items[i].sign == "" {
			items[i].sign = "  "
		}
	}
	return items
}
