package bench

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// farScreen is a screen with one thing to show, that may wait.
type farScreen struct {
	stub
	far   screen.FarView
	waits bool
}

func (d farScreen) FarView() screen.FarView { return d.far }
func (d farScreen) Waiting() bool           { return d.waits }
func (d farScreen) Update(msg tea.Msg) (screen.Screen, tea.Cmd) {
	_, c := d.stub.Update(msg)
	return d, c
}

func TestFarViewShowsOneThing(t *testing.T) {
	m, got, _ := setup(Options{})
	m.screens[0] = farScreen{stub: stub{"One", false, got}, far: screen.FarView{Texts: []string{"97"}}}
	m = feed(m, enter, letter("f"))
	lines := strings.Split(m.View(), "\n")
	large := digits.Large(76, 20, "97")
	assert.Greater(t, len(large), 2*digits.Rows)
	for _, l := range large {
		assert.Contains(t, lines, style.Cell("  "+l, 80), "at the left edge")
	}
	assert.Empty(t, strings.TrimSpace(lines[0]+lines[22]), "an empty row above and below")
	assert.NotContains(t, m.View(), "page One")
	assert.Contains(t, m.View(), "f back to the page")
	*got = nil
	m = feed(m, letter("x"))
	assert.Equal(t, []string{"One tea.KeyMsg"}, *got, "keys work as on the page")
	m = feed(m, news(1, advice.Trouble, rival))
	assert.Contains(t, m.View(), "TROUBLE: Stop 10.0.0.7", "what is wrong is seen here too")
	assert.Contains(t, feed(m, letter("f")).View(), "page One")
	assert.Contains(t, feed(m, tea.KeyMsg{Type: tea.KeyEsc}).View(), "page One")
	m = feed(m, tab)
	assert.Equal(t, []string{"No prop yet", "No prop"}, m.shownFar().Texts, "a page without one thing shows the prop: none here")
	m = feed(m, screen.ReadyMsg{Prop: prop.Porthole()})
	assert.Equal(t, "Porthole: 144 pixels", m.shownFar().Texts[0])
}

// What warns on the page warns in the far view too, in the same look.
func TestFarViewWarnsAsThePageDoes(t *testing.T) {
	for _, bad := range []bool{true, false} {
		r := lipgloss.NewRenderer(&strings.Builder{})
		r.SetColorProfile(termenv.TrueColor)
		st := style.On(r, style.AnyGround)
		m, got, _ := setup(Options{})
		m.opt.Style = st
		m.screens[0] = farScreen{stub: stub{"One", false, got}, far: screen.FarView{Texts: []string{"97"}, Bad: bad}}
		first := digits.Large(76, 20, "97")[0]
		view := feed(m, enter, letter("f")).View()
		assert.Equal(t, bad, strings.Contains(view, st.Warn.Render(first)))
		assert.Equal(t, !bad, strings.Contains(view, st.Strong.Render(first)))
	}
}

// Every answer is there at any size, with its key, and no line is cut.
func TestFarViewKeepsEveryAnswer(t *testing.T) {
	answers := []string{"1 red", "2 green", "3 blue", "4 dark", "5 nothing", "6 something else", "0 not sure"}
	m, got, _ := setup(Options{})
	m.screens[0] = farScreen{stub: stub{"One", false, got}, far: screen.FarView{Texts: []string{"Colour of the last?", "Last colour?"}, Answers: answers}}
	m = feed(m, enter, letter("f"))
	for width := MinWidth; width <= 240; width += 5 {
		for _, height := range []int{20, 24, 40, 60} {
			m = feed(m, tea.WindowSizeMsg{Width: width, Height: height})
			lines := strings.Split(m.View(), "\n")
			require.Len(t, lines, height)
			for _, l := range lines {
				assert.Equal(t, width, ansi.StringWidth(l))
				assert.NotContains(t, l, "…")
			}
			assert.Empty(t, strings.TrimSpace(lines[0]+lines[height-2]), "an empty row above and below")
			assert.LessOrEqual(t, len(m.farAnswers(screen.FarView{Answers: answers}, width-4, height-4)), height-8, "the question has room")
		}
	}
	assert.Equal(t, []string{"  1  R E D", "  2  G R E E N"}, m.farAnswers(screen.FarView{Answers: answers[:2]}, 12, 2), "plain where nothing else fits")
	assert.Equal(t, []string{"  1 RED", "  2 GREEN"}, m.farAnswers(screen.FarView{Answers: answers[:2]}, 8, 2), "without gaps where these have no room")
	brief := screen.FarView{Answers: []string{"1 all of them in another colour than blue", "2 no"}, Brief: []string{"1 other", "2 no"}}
	assert.Equal(t, m.largeAnswers(brief.Brief, 40, 8), m.farAnswers(brief, 40, 20)[:7], "in fewer words")
}

// While a page waits for the person a pulse comes; M ends it, and nothing comes
// where motion is not wanted.
func TestPulseOnlyWhileItWaits(t *testing.T) {
	var kept []bool
	m, got, _ := setup(Options{SetStill: func(s bool) { kept = append(kept, s) }})
	m.screens[0] = farScreen{stub: stub{"One", false, got}, waits: true}
	m, cmd := feedCmd(m, enter)
	require.NotNil(t, cmd)
	assert.True(t, m.motion.ticking)
	*got = nil
	m = feed(m, screen.PulseMsg{Step: 5})
	assert.Equal(t, []string{"One screen.PulseMsg"}, *got)
	assert.True(t, m.motion.ticking, "the next one is on its way")
	m = feed(m, letter("M"), screen.PulseMsg{Step: 6})
	assert.False(t, m.motion.ticking)
	assert.Equal(t, []bool{true}, kept)
	m = feed(m, letter("M"))
	assert.Equal(t, []bool{true, false}, kept)
	assert.True(t, m.motion.ticking)
	m.screens[0] = farScreen{stub: stub{"One", false, got}}
	m = feed(m, screen.PulseMsg{Step: 7})
	assert.False(t, m.motion.ticking)

	still, _, _ := setup(Options{Still: true})
	still.screens[0] = farScreen{stub: stub{"One", false, got}, waits: true}
	still = feed(still, enter)
	assert.False(t, still.motion.ticking)
}

// A capital turns to the page that begins with it; while typing it is text.
func TestCapitalsTurnPages(t *testing.T) {
	m, got, _ := setup(Options{})
	m.screens = []screen.Screen{stub{"Set-up", true, got}, stub{"Light", false, got}, stub{"Check", false, got}}
	m.keys = keysOf(m.screens)
	m = feed(m, enter, letter("C"))
	assert.Contains(t, m.View(), "page Set-up")
	m = feed(m, tab, letter("C"))
	assert.Contains(t, m.View(), "page Check")
	m = feed(m, letter("L"))
	assert.Contains(t, m.View(), "page Light")
	m = feed(m, letter("R"))
	assert.Contains(t, m.View(), "page Light", "no page begins with R here")
}

func TestCautionsAreWholeOnce(t *testing.T) {
	seen := 0
	m, _, _ := setup(Options{See: func() { seen++ }})
	assert.Contains(t, m.View(), "more than three flashes a second")
	feed(m, enter)
	assert.Equal(t, 1, seen)
	m, _, _ = setup(Options{Seen: true})
	assert.NotContains(t, m.View(), "light that flashes")
	assert.Contains(t, m.View(), "Power off before you")
}
