package rowcheck

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
)

func TestFaults(t *testing.T) {
	rows := []struct{ page, want string }{
		{"a\n\nb\n", ""},
		{"a\n\n\nb\n", `2 empty rows above "b"`},
		{"\n\na\n", `2 empty rows above "a"`},
		{"a\n█ █\n█ █\nb\n", ""}, // no row is free
		{"a\n█ █\n\nb\n\n", `1 rows are free, none between "a" and "█ █"`},
		{"a\n\n█ █\nb\n\n", `1 rows are free, none between "█ █" and "b"`},
		{"a  b\n   \n█ █ b\n█ █ b\n\na\n\n", ""}, // text beside them
		{"4.9 V█\na\n\n", ""},
		{"a\n… 3 more below: ↓\n", ""},
		{"a\n… 3 more below: ↓\n\n\n", ""}, // a heading and the row before it are below
		{"a\n… 3 more below: ↓\n\n\n\n", `3 rows are free below "… 3 more below: ↓"`},
		{"a\n\x1b[1m\x1b[0m\n\nb\n", `2 empty rows above "b"`},
		{"a\n\x1b[37;40m   \x1b[0m\n\nb\n", ""}, // ground is the margin of a drawing
		{"a\n\x1b[48;5;233m   \x1b[0m\n\x1b[48;2;17;17;17m   \x1b[0m\n\nb\n", `2 empty rows above "b"`},
		{"a\n\x1b[40m   \x1b[0m\n\n\nb\n", `2 empty rows above "b"`},
	}
	for _, r := range rows {
		assert.Equal(t, r.want, strings.Join(Faults(strings.Split(r.page, "\n"), 1), "\n"), "%q", r.page)
	}
}

func TestEdges(t *testing.T) {
	assert.Empty(t, Edges([]string{"", "  text", "▸ chosen", " ▸ too", "  0123456"}, 11, utf8.RuneCountInString))
	assert.Len(t, Edges([]string{" text", "text", "  01234567", "  \x1b[1m01234567\x1b[0m  "}, 11, utf8.RuneCountInString), 4)
}
