package rowcheck

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestAlone(t *testing.T) {
	rows := []struct{ page, want string }{
		{"one two three\nfour five", ""},
		{"one two three\nfour.", `"four." alone below "one two three"`},
		{"  1. one two three\n     four", `"four" alone below "one two three"`},
		{"one two three.\nfour", ""}, // a text of its own
		{"one two\nthree", ""},       // no room for two
		{"one two three\n  four", ""},
		{"one two three  the text beside\n               it", `"it" alone below "the text beside"`},
	}
	for _, r := range rows {
		assert.Equal(t, r.want, strings.Join(Alone(strings.Split(r.page, "\n")), "\n"), "%q", r.page)
	}
}
