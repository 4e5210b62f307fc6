package check

import (
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
)

// Every answer that is a colour has a swatch of its own, of signs that leave ground above and
// below: swatches of neighbours do not join to a bar.
func TestSwatchesStandApart(t *testing.T) {
	e := begin(t, Options{Style: styles(termenv.TrueColor)}, prop.BuoyLamp(), "")
	e.press("1")
	seen := map[string]string{}
	for _, it := range e.m.page.(testPage).query(e.m).items {
		bare := ansi.Strip(it.sign)
		assert.NotRegexp(t, `[\x{2580}-\x{259f}]`, bare, it.text)
		if strings.TrimSpace(bare) != "" {
			assert.Empty(t, seen[it.sign], "%q looks like %q", it.text, seen[it.sign])
			seen[it.sign] = it.text
		}
	}
	assert.Len(t, seen, 5, "red, green, blue, warm and cool white")
}
