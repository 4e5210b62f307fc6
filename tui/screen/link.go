package screen

import (
	"strings"

	"example.org/ringout/protocol/link"
	"example.org/ringout/tui/style"
)

// WorstLink is the first link that does not send, else the first.
func WorstLink(links []link.Status) link.Status {
	for _, l := range links {
		if l.State != link.Sending {
			return l
		}
	}
	if len(links) > 0 {
		return links[0]
	}
	return link.Status{}
}

// LinkLine is the state of a link in at most width cells: its sentence, or the part before
// the first colon, without the remedy.
func LinkLine(s link.Status, width int) string {
	text := style.Clean(s.Sentence())
	if what, _, _ := strings.Cut(text, ": "); style.Width(text) > width {
		return what
	}
	return text
}
