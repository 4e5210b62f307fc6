package style

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestAbove(t *testing.T) {
	text := []string{"one", "two", "", "\x1b[1mHeading\x1b[0m", "  three", "  four", "", "five", ""}
	for _, row := range []struct {
		rows  int
		above []string
		left  int
	}{
		{0, []string{}, 9},
		{3, []string{"one", "two"}, 7},
		{4, []string{"one", "two", ""}, 6},
		{5, []string{"one", "two", "", text[3]}, 5}, // the heading says what is below
		{6, []string{"one", "two", "", text[3], "  three"}, 4},
		{9, []string{"one", "two", "", text[3], "  three", "  four", "", "five"}, 1},
		{40, text, 0},
	} {
		above, left := Above(text, row.rows)
		assert.Equal(t, row.above, above, "%d rows", row.rows)
		assert.Equal(t, row.left, left, "%d rows", row.rows)
	}
	above, left := Above([]string{"", "Heading", "text"}, 3)
	assert.Equal(t, []string{"", "Heading"}, above, "a page of a line or two shows what it can")
	assert.Equal(t, 1, left)
}

// An empty row stands before the note that more follow, and no heading alone above it.
func TestCut(t *testing.T) {
	text := []string{"a", "", "Heading", "b", "c", "", "d"}
	for _, row := range []struct {
		rows int
		want []string
		left int
	}{
		{7, text, 0},
		{6, []string{"a", "", "Heading", "b", ""}, 3},
		{5, []string{"a", ""}, 6}, // the heading would be alone
		{4, []string{"a", ""}, 6},
		{3, []string{"a", ""}, 5}, // too low for an empty row of its own
	} {
		above, left := Cut(text, row.rows)
		assert.Equal(t, row.want, above, "%d rows", row.rows)
		assert.Equal(t, row.left, left, "%d rows", row.rows)
	}
}

// A sentence whose other lines stand further in is not cut after its first.
func TestCutWithinASentence(t *testing.T) {
	above, left := Cut([]string{"! one", "  two", "! three", "  four", "  five", "! six"}, 5)
	assert.Equal(t, []string{"! one", "  two", ""}, above)
	assert.Equal(t, 4, left)
}
