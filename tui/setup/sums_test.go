package setup

import (
	"slices"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/screen"
)

// What the wires of the prop file carry is among the sums: first where it is less than what the supply gives,
// and in the line of a low page; nothing is said of wires that carry all. Of a prop without a file nothing is known.
func TestSumsKnowThinWires(t *testing.T) {
	thin := prop.Porthole()
	thin.Feeds[1].Wire = prop.Wire{AWG: 28} // 1.4 A in free air: 41 % of white, and the supply gives 90 %
	m, _ := feed(form(Options{}), screen.ReadyMsg{Prop: thin})
	at := slices.Index(m.sum, "The wires carry 41 % of white at most: stay below, or see Prop (tab).")
	require.Positive(t, at, "%q", m.sum)
	assert.Contains(t, m.sum[at+1], "held at about 90 %")
	assert.Equal(t, "The wires carry 41 % of white at most.", m.held)
	thin.Supply.Amps = 3 // the supply gives less
	m, _ = feed(form(Options{}), screen.ReadyMsg{Prop: thin})
	assert.Contains(t, strings.Join(m.sum, " "), "for hours on end, so the light is held at about 26 %. The wires carry 41 %")
	assert.Contains(t, m.held, "held at about 26 %")
	m, _ = feed(form(Options{}), screen.ReadyMsg{Prop: prop.Porthole()})
	assert.NotContains(t, strings.Join(m.sum, " "), "wires")
	v := Defaults()
	v.Host, v.Pixels, v.Amps = "192.0.2.7", 300, 5
	m, _ = feed(form(Options{Values: v}), tea.WindowSizeMsg{Width: 80, Height: 20})
	assert.Contains(t, strings.Join(m.sum, " "), "The wires may carry less.")
}
