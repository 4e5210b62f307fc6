package tui

import "bytes"

// The marks around a paste (xterm's "Bracketed Paste Mode").
var (
	pasteBegin = []byte("\x1b[200~")
	pasteEnd   = []byte("\x1b[201~")
)

// pastes follows what a terminal sends and ends a paste that has no end before a
// Ctrl-C: the library keeps all that follows the beginning until the end, and
// Ctrl-C with it. Terminals leave control characters out of what they paste, so
// a Ctrl-C is the key.
type pastes struct {
	open bool   // between the marks
	tail []byte // the end of what was read before, as a mark may be cut in two
}

const ctrlC = 3

// pass gives what to hand on of b, which is longer than b where a paste was ended.
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
