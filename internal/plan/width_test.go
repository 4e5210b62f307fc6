package plan

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
)

// Sentences keep to the given width, down to 40 columns. Below that they are as at 40.
func TestSentencesKeepToTheWidth(t *testing.T) {
	pl, err := For(prop.Porthole(), 1, power.FullWhite())
	require.NoError(t, err)
	assert.Equal(t, pl.Text(40), pl.Text(10))
	for _, width := range []int{40, 41, 60, 80} {
		full := 0
		for _, l := range strings.Split(pl.Text(width), "\n") {
			if strings.HasPrefix(l, "  - ") {
				n := utf8.RuneCountInString(l)
				assert.LessOrEqual(t, n, width, l)
				full = max(full, n)
			}
		}
		assert.Greater(t, full, width-4, "and make use of it")
	}
}
