package record

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
)

// Whoever programs the display must know which addresses have no light.
func TestSheetTellsOfEmptyParts(t *testing.T) {
	p := prop.Porthole()
	whole := page(t, p)
	assert.NotContains(t, sheet(t, AnyPaper, whole)+whole.Markdown(), "give light")
	p.Parts = append(p.Parts, prop.Part{Name: "hole", First: 36, Last: 83, Empty: true})
	pg := page(t, p)
	html, md := sheet(t, AnyPaper, pg), pg.Markdown()
	for _, text := range []string{html, md} {
		assert.Contains(t, text, "144, of which 96 give light; keep the 48 of empty parts black")
		assert.Contains(t, text, "5.9 A; 0.14 A dark", "144 x 1 mA + 96 x 60 mA")
	}
	assert.Contains(t, html, "hole (empty: no light, keep it black) 37-84")
	assert.Contains(t, md, "- Part hole: pixels 37-84, empty: no light, keep it black")
}
