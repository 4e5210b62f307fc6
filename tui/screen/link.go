package screen

import (
	"strings"

	"example.org/ringout/protocol/link"
	"example.org/ringout/tui/style"
)

// WorstLink is the link most in need of words: the first that does not send, else
// the first.
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

// LinkLine is the state of a link within a width, in cells: its sentence, or the
// part of it before the first colon, which says what is and not what to do.
func LinkLine(s link.Status, width int) string {
	text := style.Clean(s.Sentence())
	if what, _, _ := strings.Cut(text, ": "); style.Width(text) > width {
		return what
	}
	return text
}
