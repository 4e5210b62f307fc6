package record

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// Props that are missing from a season are named before all sheets, in both forms, also when one sheet is left;
// of many some are named and the others counted.
func TestMissingPropsAreNamed(t *testing.T) {
	var many []string
	for i := range 20 {
		many = append(many, fmt.Sprintf("prop-%d.toml", i))
	}
	for _, row := range []struct {
		missing []string
		want    string
	}{{nil, ""}, {many[:1], "Not in these sheets: prop-0.toml."}, {many, "prop-7.toml and 12 more."}} {
		s := Season{Pages: []Page{page(t, prop.Porthole())}, Missing: row.missing}
		var html strings.Builder
		require.NoError(t, s.WriteHTML(&html, A4))
		for form, text := range map[string]string{"HTML": html.String(), "Markdown": strings.ReplaceAll(s.Markdown(), "\\", "")} {
			assert.Contains(t, text, row.want, form)
			assert.Equal(t, row.missing != nil, strings.Contains(text, "Some props are missing"), form)
			assert.Less(t, strings.Index(text, row.want), strings.Index(text, "WS2812B"), form)
		}
	}
}
