package traffic

import (
	"regexp"
	"slices"
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
// letter in the drawing is the first of its word in the list, small where it is less than half of full.
func TestWordAndDrawingAgree(t *testing.T) {
	rival := talker{cid: 2, name: "Pier PC", from: "10.0.0.7:5568", priority: 150, universes: []protocol.Universe{1}, levels: ramp(432, 7)}
	m := open(termenv.Ascii, snapshot(), screen.TrafficMsg(evenings(you(), rival)))
	shown, _ := m.frames()
	pic := canvas.New(m.prop, nil, canvas.Rows, 80, 6, m.style.Depth)
	pic.SetFrame(shown, wholeScale)
	letters := strings.NewReplacer("▶", "", "›", "", " ", "")
	var drawn []byte
	for _, l := range pic.Lines() {
		drawn = append(drawn, strings.TrimLeft(letters.Replace(l), "0123456789")...)
	}
	require.Len(t, drawn, 144)
	_, rows, _ := m.pixelRows(117)
	for i, p := range m.light.Pixels {
		_, name := canvas.Seen(p.Shown, wholeScale, m.style.Depth)
		assert.Equal(t, vision.Letter(name), string(drawn[i]), "pixel %d is %s", i+1, name)
	}
	listed := m.stretches()
	require.Len(t, rows, len(listed))
	at := 0
	for i, s := range listed {
		assert.Equal(t, at, s.First, "each pixel is in one row")
		for ; at <= s.Last; at++ {
			_, name := canvas.Seen(m.light.Pixels[at].Shown, wholeScale, m.style.Depth)
			assert.Contains(t, ansi.Strip(rows[i]), " "+name+" ", "the list has the same words")
		}
		assert.Equal(t, s.shownVary, strings.Contains(rows[i], "differ"), "values of one pixel are not those of others")
	}
	assert.Equal(t, 144, at)
}

// One scale for all: the white that we send at 20 % is called as the same white of a rival is, and
// drawn in the same ink in the drawing and the list, whoever else lights the prop.
func TestOneScaleWhoeverSends(t *testing.T) {
	f := make(patterns.Frame, 144)
	for i := range f {
		f[i] = patterns.Colour{R: uint8(i), G: uint8(i), B: uint8(i)}
	}
	levels := make([]byte, 432)
	for i := range levels {
		levels[i] = byte(i / 3)
	}
	rival := talker{cid: 2, name: "Pier PC", from: "10.0.0.7:5568", priority: 150, universes: []protocol.Universe{1}, levels: levels}
	for _, profile := range []termenv.Profile{termenv.TrueColor, termenv.ANSI256, termenv.ANSI, termenv.Ascii} {
		m := open(profile, screen.SnapshotMsg(show.Snapshot{Sent: f, Level: 0.2, At: evening}), screen.TrafficMsg(evenings(you(), rival)))
		shown, yours := m.frames()
		assert.Equal(t, shown, yours)
		for v := range 144 {
			_, name := m.seen(shown[v])
			want := ""
			for _, row := range []struct {
				from int
				word string
			}{{0, "dark"}, {1, "faint"}, {8, "dim white"}, {32, "white"}} {
				if v >= row.from {
					want = row.word
				}
			}
			assert.Equal(t, want, name, v)
			if v%3 == 0 { // the list has the ink or the letter of the drawing
				pic := canvas.New(m.prop, nil, canvas.Rows, 80, 6, m.style.Depth)
				pic.SetFrame(patterns.Frame{shown[v]}, wholeScale)
				assert.Contains(t, m.colour(shown[v], paint{}, false), canvas.Pixel(shown[v], wholeScale, m.style.Depth))
				sign := ansi.Strip(canvas.Pixel(shown[v], wholeScale, m.style.Depth))
				assert.Contains(t, ansi.Strip(pic.Lines()[0]), "▶"+sign)
			}
		}
	}
}

// Wherever a drawing of Traffic has dark pixels its legend names them, in every palette.
func TestDarkIsNamedWhereverItIsDrawn(t *testing.T) {
	for _, profile := range []termenv.Profile{termenv.TrueColor, termenv.ANSI256, termenv.ANSI, termenv.Ascii} {
		for _, size := range [][2]int{{50, 17}, {80, 21}, {120, 37}, {160, 47}, {200, 57}} {
			f := make(patterns.Frame, 144)
			f[1] = patterns.Colour{R: 51, G: 51, B: 51}
			m := open(profile, screen.SnapshotMsg(show.Snapshot{Sent: f, Level: 0.2, At: evening}))
			assert.Regexp(t, `[■•][ \x{a0}]dark`, ansi.Strip(m.View(size[0], size[1])), "%v at %v", profile, size)
		}
	}
}

// The small sign stands for faint and for dim white light: where both are drawn, a legend in any view names
// both. Two legends of a page have one form of a name.
func TestFaintIsNamedBesideDim(t *testing.T) {
	rival := talker{cid: 2, name: "Pier PC", from: "10.0.0.7:5568", priority: 150, universes: []protocol.Universe{1}, levels: make([]byte, 432)}
	for i := range rival.levels {
		rival.levels[i] = byte(i / 3 * 7)
	}
	for _, profile := range []termenv.Profile{termenv.TrueColor, termenv.ANSI256, termenv.ANSI, termenv.Ascii} {
		for _, size := range [][2]int{{50, 17}, {80, 21}, {120, 37}, {160, 47}, {200, 57}} {
			m := open(profile, snapshot(), screen.TrafficMsg(evenings(you(), rival)))
			for view := range 4 {
				page := ansi.Strip(m.View(size[0], size[1]))
				assert.NotRegexp(t, `[▪w][ \x{a0}](dim|faint)  [■▪•▶A-Z]`, page, "%v at %v, view %d", profile, size, view)
				if strings.Contains(page, "data in,") {
					assert.NotRegexp(t, `[▶>] in,`, page, "%v at %v, view %d", profile, size, view)
				}
				m = press(m, "v")
			}
		}
	}
}

// A bulb's white of under 2 % is faint, as a pixel of those values is, and drawn so: 0 2 4 5 on its
// four channels.
func TestABulbHasOneColour(t *testing.T) {
	c := patterns.Colour{G: 2, B: 4, W: 5}
	m := feed(New(styles(termenv.TrueColor), nil), screen.ReadyMsg{Prop: prop.BuoyLamp()})
	drawn, name := m.seen(c)
	assert.Equal(t, "faint", name)
	assert.Equal(t, patterns.Colour{R: 5, G: 5, B: 5}, drawn)
	assert.Contains(t, m.mark(c), canvas.Inked("▪", drawn, wholeScale, m.style.Depth), "the mark has the ink of the drawing")
}

// One drawing where the prop shows what we send, two where it does not.
func TestOneDrawingWhereBothAreAlike(t *testing.T) {
	m := open(termenv.Ascii, snapshot())
	assert.NotRegexp(t, `[Pp]rop shows`, drawn(t, m, 120, 35)+drawn(t, m, 80, 21))
	rival := talker{cid: 2, name: "Pier PC", from: "10.0.0.7:5568", priority: 150, universes: []protocol.Universe{1}, levels: ramp(432, 2)}
	page := drawn(t, feed(m, screen.TrafficMsg(evenings(you(), rival))), 80, 21)
	assert.Regexp(t, `What your prop shows +What you send`, page)
}

// A short title has words of the full one: a thing has one name at all sizes.
func TestShortTitlesAreWordsOfTheFullOnes(t *testing.T) {
	for _, n := range []canvas.Name{shownTitle, yoursTitle} {
		for _, w := range strings.Fields(strings.ToLower(n.Brief)) {
			assert.Contains(t, strings.Fields(strings.ToLower(n.Full)), w)
		}
	}
}

// The ground of a swatch touches neither the word before it nor the one after it, where names of lights are no
// longer than "dim white".
func TestSwatchesStandApartFromWords(t *testing.T) {
	for _, p := range []*prop.Prop{prop.Porthole(), prop.BuoyLamp()} {
		sent := screen.SnapshotMsg(show.Snapshot{Sent: slices.Repeat(patterns.Frame{{R: 51, G: 51, B: 51}}, p.Pixels()), Level: 0.2, At: evening})
		for _, size := range [][2]int{{50, 17}, {80, 21}, {120, 37}, {160, 47}, {200, 57}} {
			rival := talker{cid: 2, name: "Pier PC", from: "10.0.0.7:5568", priority: 150, universes: []protocol.Universe{protocol.Universe(p.Address.Universe)}, levels: ramp(432, 2)}
			m := feed(New(styles(termenv.TrueColor), nil), screen.ReadyMsg{Prop: p}, sent, screen.TrafficMsg(evenings(you(), rival)))
			for view := range 4 {
				for _, line := range strings.Split(m.View(size[0], size[1]), "\n") {
					assert.NotRegexp(t, `[^ ▦]▦{1,4}( |$)|(^| )▦{1,4}[^ ▦]|[^ ▦]▦{1,4}[^ ▦]`, onGround(line), "%v at %v, view %d", p.Name, size, view)
				}
				m = press(m, "v")
			}
		}
	}
}

// onGround is a line with a ▦ for each cell that has a ground.
func onGround(line string) string {
	var b strings.Builder
	ground := false
	for _, c := range regexp.MustCompile("(?s)\x1b\\[([0-9;]*)m|.").FindAllStringSubmatch(line, -1) {
		switch {
		case strings.HasPrefix(c[0], "\x1b"):
			ground = ground && c[1] != "0" || strings.Contains(c[1], "48;")
		case ground:
			b.WriteString("▦")
		default:
			b.WriteString(c[0])
		}
	}
	return b.String()
}
