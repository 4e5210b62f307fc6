package plan

import (
	"path/filepath"
	"regexp"
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

// A thing's number and the figure after it are never taken together: "feed 1 2.4 A" would read as 12.4.
func TestNumbersDoNotRunIntoFigures(t *testing.T) {
	files, err := filepath.Glob("../../testdata/props/*.toml")
	require.NoError(t, err)
	mixed := regexp.MustCompile(`\b(?:feed|joint|run|universe|reel|supply|pixel|slot|J|U|S|F) ?\d+ \d`)
	seen := 0
	for _, file := range files {
		p, _, err := prop.Load(file)
		if err != nil {
			continue // the bad ones
		}
		for _, level := range []float64{0.2, 1} {
			pl, err := For(p, level, power.FullWhite())
			require.NoError(t, err)
			for _, width := range []int{60, 100, 10000} {
				assert.Empty(t, mixed.FindAllString(strings.Join(strings.Fields(pl.Text(width)), " "), -1), "%s, level %v", file, level)
			}
			seen++
		}
	}
	require.Greater(t, seen, 6)
}
