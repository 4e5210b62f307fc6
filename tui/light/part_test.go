package light

import (
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/tui/screen"
)

func TestPartsAreLitAlone(t *testing.T) {
	p := prop.Porthole()
	m, out := lit(p, false, 120, 37, termenv.Ascii)
	assert.Nil(t, out.last(t).Only)
	seen := []string{m.partName()}
	for range p.Sections() {
		m = press(m, "p")
		seen = append(seen, m.partName())
	}
	assert.Equal(t, []string{"whole prop", "inner ring", "middle ring", "outer ring", "pupil", "lower rim"}, seen)
	// The lower rim is pixels 16 to 45 of the outer ring, which begins at 85.
	assert.Equal(t, &show.Span{First: 99, Last: 128}, out.last(t).Only)
	m = press(m, "3", "end")
	assert.Equal(t, 29, out.last(t).Step, "its last pixel is the thirtieth")
	view := m.View(120, 37)
	assert.Contains(t, m.expect(), "Only pixel 129 of 144 is lit", "one number on the page, that of the drawing")
	assert.Equal(t, []string{"pixel 129"}, m.large())
	assert.Contains(t, view, "Pixel 45 of outer ring")
	m = press(m, "p")
	assert.Nil(t, out.last(t).Only, "round to the whole prop")

	p.Runs[1].Pixels = 3 // as many as a pixel has slots
	m = press(feed(m, screen.ReadyMsg{Prop: p, Out: out}), "p", "p", "7", "right")
	require.Equal(t, "middle ring", m.partName())
	assert.Contains(t, m.expect(), "slot 2 of 3 is driven", "a slot is not counted as pixels are")

	m = press(feed(m, screen.ReadyMsg{Prop: prop.BuoyLamp(), Out: out}), "p")
	require.Nil(t, m.sub)
	assert.Contains(t, m.note, "lit as a whole")
}
