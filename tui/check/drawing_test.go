package check

import (
	"fmt"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/screen"
)

// Drawings keep their size and place from question to question: the same pixel
// stands in the same cell, whatever is asked. From 80 columns on each stands large.
func TestDrawingsKeepTheirPlace(t *testing.T) {
	for _, size := range [][2]int{{50, 20}, {80, 24}, {120, 40}, {160, 50}, {200, 60}} {
		for _, fault := range []string{"open-joint pixel 60", "wrong-order pixel 1 order RGB", "run-backwards run 2"} {
			for _, demo := range []bool{false, true} {
				t.Run(fmt.Sprint(size, " ", fault, " demo ", demo), func(t *testing.T) {
					p, path := onDisk(t, "porthole")
					if demo {
						path = ""
					}
					e := begin(t, Options{Style: styles(termenv.Ascii)}, p, path, faultOf(t, p, fault))
					e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
					e.press("1")
					at := map[string]int{}
					for n := 0; n < 40 && e.m.st.more && on[questionPage](e.m); n++ {
						lines := strings.Split(ansi.Strip(e.m.View(size[0], rowsOf(size))), "\n")
						assert.Equal(t, size[0] >= 80, strings.ContainsAny(strings.Join(lines[:5], ""), "▀▄▌▐█"), "large words above: %s", lines[:5])
						captions, row := 0, -2
						for y, l := range lines {
							l = strings.TrimSpace(l)
							for _, caption := range []string{canvas.ExpectedTitle.Full, "With that fault", canvas.SimulatedTitle.Full, "? here"} {
								if strings.HasPrefix(l, caption) && y > row+1 { // or it is the second row of one
									row = y
									at[fmt.Sprint("caption in row ", y)]++
									captions++
								}
							}
						}
						require.Equal(t, 1, captions, "%s", strings.Join(lines, "\n"))
						for _, c := range []sheet{e.m.draw.should, e.m.draw.does, e.m.draw.open} {
							if c.c != nil {
								at[fmt.Sprintf("%d x %d, %d a sign", c.width, c.height, c.c.Per())]++
							}
						}
						e.answer()
					}
					require.NotEmpty(t, at)
					assert.Len(t, at, 2, "one row of captions and one size: %v", at)
				})
			}
		}
	}
}

// The confirming look is compared with a prop that has the fault which is thought of,
// not with a sound one: where that fault is the prop's, both drawings are the same.
func TestTheConfirmingLookIsDrawnWithTheFault(t *testing.T) {
	for _, fault := range []string{"open-joint pixel 60", "run-backwards run 2", "count run 3 by -2", "runs-swapped run 2 run 3", "wrong-order pixel 1 order RGB"} {
		t.Run(fault, func(t *testing.T) {
			p, _ := onDisk(t, "porthole")
			e := begin(t, Options{Style: styles(termenv.TrueColor)}, p, "", faultOf(t, p, fault))
			e.feed(tea.WindowSizeMsg{Width: 160, Height: 47})
			e.press("1")
			confirmed := 0
			for e.m.st.more && on[questionPage](e.m) {
				if e.m.st.probe.Spec.Kind == checkout.AskConfirm {
					e.feed(screen.SnapshotMsg{Level: e.out.last(t).Level}, screen.LightMsg{Light: e.real.Light(e.light()), Driven: true})
					text := ansi.Strip(e.m.View(160, 47))
					assert.Contains(t, text, "With that fault")
					assert.NotContains(t, text, canvas.ExpectedTitle.Full)
					assert.Equal(t, e.m.draw.does.c.Lines(), e.m.draw.should.c.Lines())
					confirmed++
				}
				e.answer()
			}
			assert.NotZero(t, confirmed, "no confirming look came")
		})
	}
}

// The key of a drawing names the signs that are on it, and no others.
func TestTheKeyOfADrawingNamesWhatIsThere(t *testing.T) {
	for name, v := range visits {
		e := v.open(t, termenv.Ascii)
		for _, size := range [][2]int{{50, 20}, {80, 24}, {120, 40}, {160, 50}} {
			e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
			text := ansi.Strip(e.m.View(size[0], rowsOf(size)))
			for _, sign := range []string{"■", "•", "○", "◇", "×", "?", "▶", "▼", "◀", "▲", "◆", "›", "→", "↘", "↓", "↙", "←", "↖", "↑", "↗"} {
				for _, words := range []string{" here", " or here", " may be here", " this one", " maybe", " likely", " data in", " data starts", " its way", " on", " dark", " lit"} {
					if strings.Contains(text, sign+words) {
						assert.Greater(t, strings.Count(text, sign), strings.Count(text, sign+words), "%s %v: %s%s is named and not drawn", name, size, sign, words)
					}
				}
			}
		}
	}
}

// The part that is chosen is shown on the drawing of the whole.
func TestAPartIsShownWhereItIs(t *testing.T) {
	v := visit{keys: "2 down"}
	e := v.open(t, termenv.Ascii)
	e.feed(tea.WindowSizeMsg{Width: 160, Height: 47})
	text := e.m.View(160, 47)
	assert.Contains(t, text, "● this one")
	assert.Equal(t, 48+1, strings.Count(text, "●"), "the middle ring has 48 pixels; one more in the key")
}
