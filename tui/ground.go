package tui

import (
	"bytes"
	"regexp"
	"strconv"
	"strings"

	"example.org/ringout/tui/style"
)

// The terminal is asked for its background before the first page: what its colour is
// (OSC 11 of xterm), then what it is (DA1, ECMA-48 8.3.24), which each answers in order,
// so that one which doesn't know the first is not waited for. An answer that comes later
// is taken out of what is typed.
const askGround = "\x1b]11;?\x1b\\\x1b[c"

var (
	groundAnswer = regexp.MustCompile("\x1b\\]11;rgb:([0-9a-fA-F]{1,4})/([0-9a-fA-F]{1,4})/([0-9a-fA-F]{1,4})[^\x07\x1b]*(?:\x07|\x1b\\\\)")
	kindAnswer   = regexp.MustCompile("\x1b\\[\\?[0-9;]*c")
)

// groundAnswered is what an answer says of the background, what was typed meanwhile, and
// whether the answer is all there.
func groundAnswered(in []byte) (g style.Ground, typed []byte, whole bool) {
	if m := groundAnswer.FindSubmatch(in); m != nil {
		g = style.GroundOfColour(share(m[1]), share(m[2]), share(m[3]))
	}
	return g, new(lateAnswer).pass(in), kindAnswer.Match(in)
}

// share is a colour's part of full, 0 to 1, written in any number of hex digits.
func share(hex []byte) float64 {
	n, _ := strconv.ParseUint(string(hex), 16, 16) // of at most four digits
	return float64(n) / float64(uint64(1)<<(4*len(hex))-1)
}

// mostAnswer is how long an answer is at most: a person may have typed what begins one.
const mostAnswer = 64

// A lateAnswer takes out of what is typed an answer that came when it was waited for no
// longer. It may come in pieces.
type lateAnswer struct {
	ends string // what may end the answer that has begun; empty outside one
	left int    // octets of it at most
}

func (l *lateAnswer) pass(in []byte) []byte {
	out := make([]byte, 0, len(in))
	for i := 0; i < len(in); i++ {
		switch rest := in[i:]; {
		case l.ends != "":
			l.left--
			if l.left == 0 || strings.IndexByte(l.ends, in[i]) >= 0 {
				l.ends = ""
			}
		case bytes.HasPrefix(rest, []byte("\x1b]")):
			l.ends, l.left = "\x07\\", mostAnswer
		case bytes.HasPrefix(rest, []byte("\x1b[?")):
			l.ends, l.left = "c", mostAnswer
		default:
			out = append(out, in[i])
		}
	}
	return out
}
