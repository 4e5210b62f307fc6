package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
)

func TestThePlanTellsOfEmptyParts(t *testing.T) {
	p := prop.Porthole()
	pl, err := For(p, 1, power.FullWhite())
	require.NoError(t, err)
	assert.NotContains(t, pl.Text(100), "empty parts")
	assert.Equal(t, 144, pl.JSON().Lights)

	p.Parts = append(p.Parts, prop.Part{Name: "hole", First: 36, Last: 83, Empty: true})
	pl, err = For(p, 1, power.FullWhite())
	require.NoError(t, err)
	text := pl.Text(120)
	assert.Contains(t, text, "96 of them give light; 48 in empty parts stay dark in every pattern and are not counted as lit")
	assert.Contains(t, text, "5.9 A of a supply that gives 8.0 A for hours on end", "144 x 1 mA + 96 x 60 mA")
	assert.Equal(t, 144, pl.JSON().Pixels)
	assert.Equal(t, 96, pl.JSON().Lights)
	assert.Equal(t, "outer ring", pl.Rows[2].Run)
	assert.Equal(t, 85, pl.Rows[2].FirstPixel, "addresses stay where they are")
}
