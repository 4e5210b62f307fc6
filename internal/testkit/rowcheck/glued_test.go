package rowcheck

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestGlued(t *testing.T) {
	rest := strings.Repeat("\n", leastRows)
	rows := []struct{ page, want string }{
		{"a\n\n  … more below: ↓", ""},
		{"a\n  … more below: ↓", `no empty row above "… more below"`},
		{"                   ○ ○\n  … 3 more below      ○○○", ""}, // what is above is beside it
		{"Expected  ▶ data in\n\n  1▶○○○○", ""},
		{"Expected  ▶ data in\n  1▶○○○○", `no empty row between "Expected  ▶ data in" and "1▶○○○○"`},
		{"Expected  ▶ data in\nR red  W white\n  R W W", `no empty row between "R red  W white" and "R W W"`},
		{"text    ▶ in, › on\nmore of the text\nand more", ""},
		{"▶ in, › on\n             ○ ○ ○", ""}, // not below it
		{"▶ in, › on\n\n\n  ○ ○ ○", `2 empty rows above the drawing "○ ○ ○"`},
		{"▶ in, › on\n\n          ○ ○ ○\n  ○ ○ ○", ""},
		{"▶ in, › on      text\n\n                text\n  ○ ○ ○", `2 empty rows above the drawing "○ ○ ○"`},
	}
	for _, r := range rows {
		assert.Equal(t, r.want, strings.Join(Glued(strings.Split(r.page+rest, "\n"), 0), "\n"), "%q", r.page)
		if !strings.HasPrefix(r.want, "2 ") {
			assert.Empty(t, Glued(strings.Split(r.page, "\n"), 0), "a low page")
		}
	}
}
