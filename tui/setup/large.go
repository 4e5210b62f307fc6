package setup

import (
	"strings"

	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// filling is the chosen line as large as the free part of a page allows, over several lines.
func (m Model) filling(width, rows int) []string {
	says := m.FarView()
	if len(says.Texts) == 0 {
		return nil
	}
	text, st := says.Texts[0], m.opt.Style.ForLarge(says.Bad)
	if large := portrait.Stack(st, width, rows, portrait.MostHigh, []string{text}); large != nil {
		return large
	}
	if at := strings.LastIndex(text, " "); at > 0 {
		if large := portrait.Stack(st, width, rows, portrait.MostHigh, []string{text[:at], text[at+1:]}, []string{text}); large != nil {
			return large
		}
	}
	return portrait.Block(st, width, rows, text)
}

// largely is the chosen line in large letters, at most so high, in one line or two, with an empty row before
// each; nil when it does not fit. The value stands without its name only when both do not fit.
func (m Model) largely(width, rows, most int) []string {
	says := m.FarView()
	for _, text := range m.largeTexts() {
		ways := [][]string{{text}}
		for at, r := range text {
			if r == ' ' {
				ways = append(ways, []string{text[:at], text[at+1:]})
			}
		}
		if large := portrait.Stack(m.opt.Style.ForLarge(says.Bad), width, rows, most, ways...); large != nil {
			return large
		}
	}
	return nil
}

// largeTexts are those of the chosen line, the last of them a value without its name.
func (m Model) largeTexts() []string {
	texts := m.FarView().Texts
	if m.at < fields && m.fields[m.at].value() != "" {
		texts = append(texts, digits.Whole(m.fields[m.at].value()))
	}
	return texts
}

// boldly is the chosen line in capitals, in the longest form that fits.
func (m Model) boldly(width int) string {
	for _, text := range m.largeTexts() {
		if text = strings.ToUpper(text); style.Width(text) <= width {
			return strings.ReplaceAll(text, "\u00a0", " ")
		}
	}
	return "What is on the bench"
}

// FarView is the line that is chosen.
func (m Model) FarView() screen.FarView {
	switch {
	case m.at >= fields && m.hostless():
		return screen.FarView{Texts: []string{"No host yet", "No host"}, Bad: true}
	case m.at >= fields:
		return screen.FarView{Texts: []string{"Light it"}}
	}
	f := m.fields[m.at]
	value := f.value()
	switch {
	case value != "":
		return screen.FarView{Texts: []string{f.label + " " + digits.Whole(value)}}
	case f.choice():
		return screen.FarView{Texts: []string{f.label + " any"}}
	}
	return screen.FarView{Texts: []string{"No " + f.missing() + " yet", "No " + f.missing()}, Bad: m.at == hostField}
}
