package light

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/screen"
)

// A cell is a sign of a page and its ink.
type cell struct{ sign, ink string }

// sgrOrRune matches the parameters of colours (ECMA-48 8.3.117) or one sign.
var sgrOrRune = regexp.MustCompile("(?s)\x1b\\[([0-9;]*)m|.")

// sgrInk matches a foreground or a background among such parameters.
var sgrInk = regexp.MustCompile(`\b([34])8;(2;\d+;\d+;\d+|5;\d+)|\b(3|9)([0-7])\b|\b(4|10)([0-7])\b|\b0\b`)

// cells are the cells of a text, with the ink of the background where back is asked for.
func cells(text string) (out []cell, back []string) {
	fg, bg := "", ""
	for _, m := range sgrOrRune.FindAllStringSubmatch(text, -1) {
		if !strings.HasPrefix(m[0], "\x1b") {
			out, back = append(out, cell{m[0], fg}), append(back, bg)
			continue
		}
		for _, p := range sgrInk.FindAllStringSubmatch(m[1], -1) {
			switch {
			case p[1] == "3":
				fg = p[2]
			case p[1] == "4":
				bg = p[2]
			case p[3] != "":
				fg = p[3] + p[4]
			case p[5] != "":
				bg = map[string]string{"4": "3", "10": "9"}[p[5]] + p[6]
			default:
				fg, bg = "", ""
			}
		}
	}
	return out, back
}

// drawnCells are the signs of light of drawings; halves of cells count as squares.
func drawnCells(drawings ...*canvas.Canvas) map[cell]bool {
	drawn := map[cell]bool{}
	for _, c := range drawings {
		signs, back := cells(strings.Join(c.Lines(), "\n"))
		for i, s := range signs {
			switch {
			case strings.Contains("▀▄█", s.sign):
				drawn[cell{"■", s.ink}] = true
				drawn[cell{"■", back[i]}] = s.sign == "▀" || drawn[cell{"■", back[i]}]
			case strings.Contains("■▪•◆.", s.sign):
				drawn[s] = true
			}
		}
	}
	return drawn
}

// namedCells are the signs of light of legends.
func namedCells(legends []string) map[cell]bool {
	named := map[cell]bool{}
	for _, l := range legends {
		signs, _ := cells(l)
		for i, s := range signs {
			if strings.Contains("■▪•◆", s.sign) || s.sign == "." && i+2 < len(signs) && signs[i+2].sign == "o" {
				named[s] = true
			}
		}
	}
	return named
}

// lightNow is the page with the light of a prop with an open joint, or a sound one of few pixels.
func lightNow(t *testing.T, m Model, out *output, p *prop.Prop, step int) Model {
	snap, sent := answer(p, out.last(t), step)
	var faults []strip.Fault
	if p.Pixels() > 100 {
		faults = append(faults, strip.Fault{Kind: strip.OpenJoint, Pixel: 84})
	}
	s, err := strip.New(p, faults...)
	require.NoError(t, err)
	return feed(m, snap, screen.LightMsg{Light: s.Shine(sent), Driven: true})
}

// Every sign of light that a legend names is drawn below it, in that ink, and every one that is drawn is
// named, with any pattern, at any size, in every palette with colours.
func TestLegendsNameWhatIsDrawn(t *testing.T) {
	at := map[string][]string{"chase": {"1"}, "count": {"2", "right"}, "marked": {"2", "end", "pgup", "pgup", "pgup", "pgup", "pgup", "pgup", " "},
		"single": {"3"}, "ends": {"4"}, "ruler": {"5"}, "part": {"p", "p", "3"}, "even": {"8"}, "dark": {"l"}, "brighter": {"2", "right", "up"}, "dimmer": {"2", "right", "down", "down"}}
	for _, p := range []*prop.Prop{prop.Porthole(), prop.Pennant()} {
		for _, demo := range []bool{false, true} {
			for _, depth := range []termenv.Profile{termenv.TrueColor, termenv.ANSI256, termenv.ANSI} {
				for _, size := range [][2]int{{50, 17}, {80, 21}, {120, 37}, {200, 57}} {
					for name, keys := range at {
						m, out := lit(p, demo, size[0], size[1], depth)
						m = lightNow(t, press(m, keys...), out, p, out.last(t).Step)
						holdsInks(t, m, m.View(size[0], size[1]), fmt.Sprintf("%s, demo %v, %v %v, %s", p.Name, demo, depth, size, name))
					}
				}
			}
		}
	}
}

// Where a legend has no room for all in full, the way of the data is said in short before several colours share a word.
func TestColoursKeepTheirNames(t *testing.T) {
	for _, size := range [][2]int{{120, 37}, {160, 47}, {200, 57}} {
		m, out := lit(prop.Porthole(), true, size[0], size[1], termenv.TrueColor)
		m = lightNow(t, press(m, "5"), out, prop.Porthole(), out.last(t).Step)
		page := strings.ReplaceAll(ansi.Strip(m.View(size[0], size[1])), "\u00a0", " ")
		assert.Regexp(t, `▪ dim blue  ■ green  ■ red`, page, "%v", size)
	}
}

// Legends side by side stand apart and have one form of the way of the data, in a window of any width.
func TestLegendsStandApart(t *testing.T) {
	for width := 80; width <= 200; width += 6 {
		for _, keys := range [][]string{{"2", "end"}, {"5"}, {"2", "end", "pgup", " "}, {"3"}} {
			m, out := lit(prop.Porthole(), true, width, 40, termenv.TrueColor)
			m = lightNow(t, press(m, keys...), out, prop.Porthole(), out.last(t).Step)
			page := ansi.Strip(m.View(width, 40))
			assert.NotRegexp(t, `\S ?Simulated`, page, "%d columns, %v", width, keys)
			if strings.Contains(page, "data in,") {
				assert.NotContains(t, page, "▶ in,", "%d columns, %v", width, keys)
			}
		}
	}
}

// holdsInks compares the legends of a page with its drawings.
func holdsInks(t *testing.T, m Model, page, of string) {
	lines, d := strings.Split(page, "\n"), m.draw
	legends, drawings := lines[d.top:d.top+d.lead], []*canvas.Canvas{d.should.c}
	if d.next > 0 {
		legends = append(legends[:d.lead:d.lead], lines[d.top+d.next:d.top+d.next+d.lead]...)
	}
	if m.demo {
		drawings = append(drawings, d.does.c)
	}
	named, drawn := namedCells(legends), drawnCells(drawings...)
	for c := range named {
		assert.True(t, drawn[c], "%s: %v is named and not drawn: %q", of, c, legends)
	}
	for c := range drawn {
		if m.demo && d.lead == 1 { // half a row has no room for all
			break
		}
		assert.True(t, named[c], "%s: %v is drawn and not named: %q", of, c, legends)
	}
}

// A short title has words of the full one: a thing has one name at all sizes.
func TestShortTitlesAreWordsOfTheFullOnes(t *testing.T) {
	undriven := Model{}
	undriven.look.Serial = 1
	for _, n := range []canvas.Name{canvas.ExpectedTitle, Model{}.doesTitle(), undriven.doesTitle()} {
		for _, w := range strings.Fields(strings.ToLower(n.Brief)) {
			assert.Contains(t, strings.Fields(strings.NewReplacer(",", "").Replace(strings.ToLower(n.Full))), w)
		}
	}
}
