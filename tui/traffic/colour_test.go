package traffic

import (
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/testkit/vision"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/screen"
)

// Word, mark and drawing of each pixel are one: read off a page without colours, a pixel's
// letter in the drawing is the first of its word in the list, small where it is dim.
func TestWordAndDrawingAgree(t *testing.T) {
	rival := talker{cid: 2, name: "Pier PC", from: "10.0.0.7:5568", priority: 150, universes: []protocol.Universe{1}, levels: ramp(432, 7)}
	m := open(termenv.Ascii, snapshot(), screen.TrafficMsg(evenings(you(), rival)))
	shown, _, level, _ := m.frames()
	pic := canvas.New(m.prop, nil, canvas.Rows, 80, 6, m.style.Depth)
	pic.SetFrame(shown, level)
	letters := strings.NewReplacer("▶", "", "›", "", " ", "")
	var drawn []byte
	for _, l := range pic.Lines() {
		drawn = append(drawn, strings.TrimLeft(letters.Replace(l), "0123456789")...)
	}
	require.Len(t, drawn, 144)
	_, rows, _ := m.pixelRows(117)
	words := 0
	for i, p := range m.light.Pixels {
		_, name := canvas.Seen(p.Shown, level, m.style.Depth)
		assert.Equal(t, vision.Letter(name), string(drawn[i]), "pixel %d is %s", i+1, name)
		if i < len(rows) && strings.Contains(ansi.Strip(rows[i]), " "+name+" ") {
			words++
		}
	}
	assert.Equal(t, len(rows), words, "the list has the same words")
}

// What we send is named as on the pages that light it, whoever else lights the prop: the
// white of a bench at 20 % is white.
func TestOurWhiteIsWhiteBesideABrighterRival(t *testing.T) {
	f := make(patterns.Frame, 144)
	f[1] = patterns.Colour{R: 51, G: 51, B: 51}
	rival := talker{cid: 2, name: "Pier PC", from: "10.0.0.7:5568", priority: 150, universes: []protocol.Universe{1}, levels: ramp(432, 2)}
	mine := screen.SnapshotMsg(show.Snapshot{Sent: f, Level: 0.2, At: evening})
	for _, m := range []Model{open(termenv.TrueColor, mine), open(termenv.TrueColor, mine, screen.TrafficMsg(evenings(you(), rival)))} {
		_, yours, _, level := m.frames()
		assert.Equal(t, f, yours)
		_, name := canvas.Seen(yours[1], level, m.style.Depth)
		assert.Equal(t, "white", name)
	}
}

// A bulb's white of 2 % is a dim white, and drawn so: 0 2 4 6 on its four channels.
func TestABulbHasOneColour(t *testing.T) {
	c := patterns.Colour{G: 2, B: 4, W: 6}
	m := feed(New(styles(termenv.TrueColor), nil), screen.ReadyMsg{Prop: prop.BuoyLamp()})
	level := brightest(patterns.Frame{c})
	drawn, name := canvas.Seen(c, level, m.style.Depth)
	assert.Equal(t, "dim white", name)
	assert.Equal(t, patterns.Colour{W: 6}, drawn)
	assert.Equal(t, canvas.Inked("●", drawn, level, m.style.Depth), m.mark(c, level), "the mark has the ink of the drawing")
}

// One drawing where the prop shows what we send, two where it does not.
func TestOneDrawingWhereBothAreAlike(t *testing.T) {
	m := open(termenv.Ascii, snapshot())
	assert.NotContains(t, drawn(t, m, 120, 35), "What your prop shows")
	rival := talker{cid: 2, name: "Pier PC", from: "10.0.0.7:5568", priority: 150, universes: []protocol.Universe{1}, levels: ramp(432, 2)}
	page := drawn(t, feed(m, screen.TrafficMsg(evenings(you(), rival))), 120, 35)
	assert.Regexp(t, `What your prop shows  [▶▼] (data )?in.* What you send  [▶▼] (data )?in`, page)
}
