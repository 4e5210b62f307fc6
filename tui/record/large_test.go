package record

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/record"
)

// blocks are the rows of large letters on a page (Unicode chart U+2580).
func blocks(page string) (n int) {
	for _, l := range strings.Split(page, "\n") {
		if strings.ContainsAny(l, "▀▄█▌▐▘▝▖▗▙▛▜▟▚▞") {
			n++
		}
	}
	return n
}

// Every page says in large letters what it comes to, at every size there is, and in
// larger ones where the window is larger.
func TestWhatPagesComeToIsLarge(t *testing.T) {
	for _, keys := range [][]string{nil, {"enter"}, {"c"}, {"m"}, {"n", "t", "u", "b", "e"}} {
		last := 0
		for _, size := range [][2]int{{50, 16}, {80, 20}, {120, 35}, {160, 45}, {200, 55}} {
			d, _ := newDesk(t, sample, size[0], size[1], termenv.Ascii)
			d.press(keys...)
			n := blocks(d.page())
			assert.GreaterOrEqual(t, n, 3, "%v at %v\n%s", keys, size, d.page())
			assert.GreaterOrEqual(t, n, last, "%v at %v", keys, size)
			last = n
		}
		assert.Greater(t, last, 3, "%v", keys)
	}
}

// A failure and what is worse warn, on the page and from afar; a pass does not.
func TestWhatIsWrongWarns(t *testing.T) {
	for _, c := range []struct {
		keys []string
		bad  bool
	}{{[]string{"enter"}, true}, {[]string{"c"}, true}, {[]string{"end"}, false}, {[]string{"m"}, false}} {
		d, _ := newDesk(t, sample, 120, 40, termenv.TrueColor)
		d.press(c.keys...)
		assert.Equal(t, c.bad, d.m.FarView().Bad, "%v: %v", c.keys, d.m.FarView().Texts)
		row := strings.Split(d.m.style.ForLarge(true).Strong.Render("█"), "█")[0] + "█"
		assert.Equal(t, c.bad, strings.Contains(d.m.View(120, 40), row), "%v", c.keys)
	}
}

// The place of what is left to mend is drawn, on the prop's own pixels only.
func TestThePlaceIsDrawn(t *testing.T) {
	for k, want := range map[string]struct {
		named string
		signs int // in the caption, and at its places
	}{"enter": {"pixel 97", 2}, "home": {"pixel 97", 2}, "c": {"worse: joint 84/85, 97, 144", 5}, "m": {"pixel 97", 2}} { // worse: both sides of a joint and the volts at pixel 144, too
		d, _ := newDesk(t, sample, 140, 40, termenv.Ascii)
		d.press(k)
		assert.Regexp(t, "(?s)× "+want.named+" .*▶ (data )?in, [→↘↓↙←↖↑↗]+ (its way|on).*○ others", d.page(), k)
		assert.Equal(t, want.signs, strings.Count(d.page(), "×"), k)
	}
	d, _ := newDesk(t, sample, 140, 40, termenv.Ascii)
	rank, marked := d.m.places(record.Entry{Findings: []record.Finding{
		{Kind: "dark", Pixel: 145}, {Kind: "dark", Pixel: 12, Fixed: true}, {Kind: "good", Pixel: 3}, {Kind: "dark"}}})
	assert.Empty(t, marked)
	assert.NotContains(t, rank, uint8(1))
	rank, marked = d.m.places(record.Entry{Findings: []record.Finding{{Kind: "dark", Pixel: 144}, {Kind: "dark", Pixel: 1}}})
	assert.Equal(t, "left to mend", marked)
	assert.Equal(t, []uint8{1, 1, 0}, []uint8{rank[0], rank[143], rank[1]})
}

// While a note is typed enter takes it, and no line says that it shows more.
func TestEnterIsOneThingAtATime(t *testing.T) {
	d, _ := newDesk(t, sample, 80, 20, termenv.Ascii)
	assert.Contains(t, d.page(), "more: enter")
	d.press("n")
	d.write("tube")
	assert.NotContains(t, d.page(), ": enter")
	assert.Equal(t, tea.KeyEnter.String(), d.m.Keys().ShortHelp()[0].Keys()[0])
}

// What differs between two check-outs has a sign, so that it needs no colour.
func TestWhatDiffersHasASign(t *testing.T) {
	for _, width := range []int{50, 80, 120} {
		d, _ := newDesk(t, sample, width, 60, termenv.Ascii)
		d.press("c")
		for what, differs := range map[string]bool{"verdict": true, "left to mend": true, "answers": false, "colour order": false, "joint middle ring to outer ring": true} {
			assert.Equal(t, differs, strings.Contains(d.page(), "≠ "+what), "%s at %d\n%s", what, width, d.page())
		}
	}
}

// The drawing of what is worse is not that of an entry drawn before in the same room.
func TestTheDrawingIsOfWhatIsShown(t *testing.T) {
	d, _ := newDesk(t, sample, 80, 20, termenv.Ascii)
	d.press("enter")
	assert.Equal(t, 2, strings.Count(d.page(), "×"), "pixel 97 and its name")
	d.press("esc", "c")
	assert.Equal(t, 5, strings.Count(d.page(), "×"), "a joint's two pixels, 97, 144 and their name")
}
