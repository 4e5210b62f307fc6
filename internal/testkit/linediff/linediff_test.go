package linediff

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func changed(lines []Line) (out []string) {
	for _, l := range lines {
		if l.Op != ' ' {
			out = append(out, string(l.Op)+l.Text)
		}
	}
	return out
}

func TestCompare(t *testing.T) {
	assert.Equal(t, []Line{{' ', 1, "a"}, {'-', 2, "b"}, {'+', 2, "x"}, {' ', 3, "c"}, {'+', 4, "d"}},
		Compare("a\nb\nc\n", "a\nx\nc\nd\n"))
	assert.Empty(t, changed(Compare("a\r\nb", "a\nb\n")))
	assert.Empty(t, Compare("", ""))
	rapid.Check(t, func(t *rapid.T) {
		lines := rapid.SliceOfN(rapid.SampledFrom([]string{"a", "b", "c"}), 0, 12)
		a, b := lines.Draw(t, "a"), lines.Draw(t, "b")
		var back, forth []string
		for _, l := range Compare(strings.Join(a, "\n"), strings.Join(b, "\n")) {
			if l.Op != '+' {
				back = append(back, l.Text)
			}
			if l.Op != '-' {
				forth = append(forth, l.Text)
			}
		}
		if strings.Join(back, "\n") != strings.Join(a, "\n") || strings.Join(forth, "\n") != strings.Join(b, "\n") {
			t.Fatalf("%q and %q came back as %q and %q", a, b, back, forth)
		}
	})
}
