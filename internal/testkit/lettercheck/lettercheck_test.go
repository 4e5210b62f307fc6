package lettercheck

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// drawn are letters with dots of two quarters, as someone draws them by hand: an L and an I.
func drawn(_, _ int, texts ...string) []string {
	switch texts[0] {
	case "L":
		return []string{"█  ", "█  ", "███"}
	case "I":
		return []string{"█", "█", "█"}
	}
	return []string{texts[0]} // no large form
}

func TestLinesAreRead(t *testing.T) {
	r := New(drawn)
	for text, lines := range map[string][]string{
		"LI": {"  █   █", "  █   █", "  ███ █ beside"},
		"IL": {"▌▌", "▌▌", "▌▙▄"}, // dots half as wide; the L's foot is too high for its rows
	} {
		got, ok := r.Line(lines)
		assert.Equal(t, text == "LI", ok)
		if ok {
			assert.Equal(t, text, got)
		}
	}
	_, ok := r.Line([]string{"█  ", "█  ", "██ "})
	assert.False(t, ok, "the L is cut")
	texts, ok := r.Page(strings.Join([]string{"a", "█ █", "█ █", "█ █", "", "█  ", "█  ", "███", "b"}, "\n"))
	assert.True(t, ok)
	assert.Equal(t, []string{"II", "L"}, texts)
	texts, ok = r.Page("▖ █ █\n█ █ █\n▘ █ █")
	assert.True(t, ok)
	assert.Equal(t, []string{"II"}, texts, "an arrowhead is no letter")
	_, ok = r.Page("█  \n█  ")
	assert.False(t, ok, "a row is cut")
}
