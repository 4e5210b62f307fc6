package tui

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
)

// cuts are where a page may cut a text, always with an ellipsis, and the key that
// shows the whole of it.
var cuts = []struct {
	state string // begins so
	line  *regexp.Regexp
	key   string
}{
	{"traffic", regexp.MustCompile(`^ +… \d+ more below(, (colours|lit ones) first)?: (pgdn|↓)$`), "pgdn"},
	{"traffic", regexp.MustCompile(`^  … \d+ more, and all at length: v$`), "v"},
	{"record", regexp.MustCompile(`^[▸ ][* ]\d+ +\d+ \w+ \d{4}( \d\d:\d\d)?  .*…`), "enter"},
	{"record", regexp.MustCompile(`… \d+ more(: enter| below: pgdn| below: ↓)( +(\d+ )?[○•×› ▶←→↑↓↖↗↘↙]+)?$`), "enter"}, // the prop is at its right,
	{"record", regexp.MustCompile(`^  … \d+ more due: m$`), "m"},
	{"record, note", regexp.MustCompile(`… \d+ more( +(\d+ )?[○•×› ▶←→↑↓↖↗↘↙]+)?$`), "esc"}, // the prop is at its right
	{"check", regexp.MustCompile(`… a shows \d+ more$`), "a"},
	{"keys", regexp.MustCompile(`^  … more below: ↓$`), "↓"},
	{"prop", regexp.MustCompile(`^ +… more below: ↓ +(│.*)?$|^ +… more below: ↓$`), "↓"},
	{"prop, typing", regexp.MustCompile(`^ +… more below *(│.*)?$`), "esc"},
	{"prop, refused", regexp.MustCompile(`^ +… more below *(│.*)?$`), "esc"},
	{"prop", regexp.MustCompile(`^  \w+\.toml.*  … (more above|up)(: ↑)? *(│.*)?$`), "↑"},
	{"prop", regexp.MustCompile(`… more below(: pgdn)?$`), "pgdn"},
	{"prop", regexp.MustCompile(`^ +[▸ ] +[a-z]+ .*… +(│.*)?$`), "enter"}, // a figure of the list
}

// No text is cut but where a key of the page shows the whole of it, and no cut goes
// without an ellipsis: a line that goes on to the last cell would be one.
func TestNoTextIsCutWithoutAKey(t *testing.T) {
	for _, s := range states {
		for _, size := range sizes[:3] {
			inBubble(t, func(t *testing.T) {
				w := walk(t, s, size[0], size[1], termenv.Ascii)
				defer w.Close()
				lines := strings.Split(w.view(), "\n")
				for i, l := range lines[1 : len(lines)-1] { // not the head and the foot
					text := strings.TrimRight(l, " ")
					if strings.Contains(text, "…") {
						assert.True(t, allowed(s.name, text), "%s %v, line %d is cut: %s", s.name, size, i+1, text)
					} else if w := len([]rune(text)); w == size[0] {
						assert.NotRegexp(t, `[[:alnum:]]$`, text, fmt.Sprint(s.name, size, " touches the right edge"))
					}
				}
			})
		}
	}
}

func allowed(state, line string) bool {
	for _, c := range cuts {
		if strings.HasPrefix(state, c.state) && c.line.MatchString(line) {
			return true
		}
	}
	return false
}
