package traffic

import (
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/protocol"
	"example.org/ringout/tui/screen"
)

// Who lights which part of the prop, in words and at each pixel of the drawing. Source: ANSI
// E1.31-2018 6.2.3, the highest priority wins; with START code 0xdd slot by slot.
func TestWhoLightsWhatOfTheProp(t *testing.T) {
	whole := talker{cid: 2, name: "Pier PC", from: "10.0.0.7:5568", priority: 150, universes: []protocol.Universe{1}, levels: ramp(432, 5)}
	tied, low, far, part, highest := whole, whole, whole, whole, whole
	tied.priority, low.priority, far.universes, highest.priority = 100, 90, []protocol.Universe{9}, 200
	part.priority, part.perSlot = 50, append(make([]byte, 108), []byte(strings.Repeat("\x96", 144))...) // the 48 pixels of the middle ring
	for _, row := range []struct {
		name  string
		who   talker
		says  string
		signs string // of pixels 1, 37 and 144
	}{
		{"whole", whole, "lights your whole prop, not you. Stop it there, or send above 150 (you send at 100).", "AAA"},
		{"highest", highest, "Stop it there.", "AAA"},
		{"tied", tied, "sends universe 1 as you do, at priority 100: receivers may mix both. Stop it there, or send above 100 (you send at 100).", "+++"},
		{"low", low, "sends universe 1 too, at priority 90, and lights nothing of yours.", "●●●"},
		{"far", far, "lights nothing of yours: it sends universe 9, which your prop does not use.", "●●●"},
		{"part", part, "lights middle ring, not you", "●A●"},
	} {
		m := open(termenv.Ascii, snapshot(), screen.TrafficMsg(evenings(you(), row.who)))
		text := ""
		for _, r := range m.rows {
			if r.source != nil && r.source.Name == "Pier PC" {
				text = r.text
			}
		}
		assert.Contains(t, text, row.says, row.name)
		lines := m.litDrawing(78, 15)
		var drawn []rune
		for _, r := range ansi.Strip(strings.Join(lines[2:], "")) {
			if strings.ContainsRune("●A+-", r) {
				drawn = append(drawn, r)
			}
		}
		assert.Len(t, drawn, 144, row.name)
		assert.Equal(t, row.signs, string([]rune{drawn[0], drawn[36], drawn[143]}), row.name)
		for _, sign := range row.signs {
			assert.Contains(t, ansi.Strip(lines[0]), string(sign)+" ", "the legend names it")
		}
	}
}
