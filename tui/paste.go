package tui

import "bytes"

// The marks around a paste (xterm's "Bracketed Paste Mode").
var (
	pasteBegin = []byte("\x1b[200~")
	pasteEnd   = []byte("\x1b[201~")
)

// pastes reads a terminal's input and ends a paste without an end mark before a
// Ctrl-C: the library would hold everything until the mark, the Ctrl-C too. Terminals
// remove control characters from pasted text, so a Ctrl-C is always the key.
type pastes struct {
	open bool   // between the marks
	tail []byte // end of the octets read before, since a mark may be split
}

const ctrlC = 3

// pass is b with end marks inserted where a paste is ended.
func (p *pastes) pass(b []byte) []byte {
	out := make([]byte, 0, len(b)+len(pasteEnd))
	for _, c := range b {
		if c == ctrlC && p.open {
			out = append(out, pasteEnd...)
			p.open = false
		}
		out = append(out, c)
		p.tail = append(p.tail, c)
		if n := len(p.tail) - len(pasteEnd); n > 0 {
			p.tail = append(p.tail[:0], p.tail[n:]...)
		}
		switch {
		case bytes.Equal(p.tail, pasteBegin):
			p.open = true
		case bytes.Equal(p.tail, pasteEnd):
			p.open = false
		}
	}
	return out
}
