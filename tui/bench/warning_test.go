package bench

import (
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/traffic"
	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/protocol"
	"example.org/ringout/tui/screen"
)

// news is a report of second s with one sentence, or none when text is empty.
func news(s int, weight advice.Weight, text string) screen.TrafficMsg {
	n := traffic.News{Report: &protocol.Report{At: time.Date(2026, 11, 25, 19, 30, s, 0, time.UTC)},
		Ours: protocol.Ours{Universes: []protocol.Universe{3}}}
	if text != "" {
		n.Sentences = []advice.Sentence{{Weight: weight, Universe: 3, Universes: []protocol.Universe{3}, Text: text,
			Do: "Stop 10.0.0.7 or send above 150", Why: "your prop follows 'Pier PC' on universe 3"}}
	}
	return screen.TrafficMsg(n)
}

const rival = "'Pier PC' at 10.0.0.7 also drives universe 3 at priority 150: your prop follows it, not you (100). Stop it there, or send at more than 150."

func TestTrafficWarningHasALineOfItsOwn(t *testing.T) {
	m, got, _ := setup(Options{})
	m = feed(m, enter, news(1, advice.Trouble, rival))
	lines := strings.Split(m.View(), "\n")
	assert.Len(t, lines, 24)
	assert.Contains(t, lines[21], " TROUBLE: Stop 10.0.0.7 or send above 150: your prop follows 'Pier PC' on un…")
	for _, l := range lines {
		assert.Equal(t, 80, ansi.StringWidth(l))
	}
	assert.Contains(t, m.View(), "page One 80 x 18", "the page makes room")
	assert.Equal(t, "Three tea.WindowSizeMsg", (*got)[len(*got)-1], "and all screens know")

	m = feed(m, news(3, advice.Note, ""))
	assert.Contains(t, m.View(), "TROUBLE: ", "it does not come and go with each report")
	m = feed(m, news(6, advice.Note, ""))
	assert.NotContains(t, m.View(), "TROUBLE: ")
	assert.Contains(t, m.View(), "page One 80 x 19")
}

func TestTrafficWarningIsOnlyAboutWhatWeSend(t *testing.T) {
	m, _, _ := setup(Options{})
	m = feed(m, enter, news(1, advice.Note, "'Pier PC' ended universe 3 4 s ago."))
	assert.NotContains(t, m.View(), "Pier PC")
	other := news(1, advice.Trouble, rival)
	other.Ours.Universes = []protocol.Universe{4}
	m = feed(m, other)
	assert.NotContains(t, m.View(), "Pier PC")
	m = feed(m, news(2, advice.Warning, "x"), screen.ReadyMsg{})
	assert.NotContains(t, m.View(), "Warning", "a new prop begins without")
}

func TestTrafficScreenSaysItItself(t *testing.T) {
	m, got, _ := setup(Options{})
	m.screens[1] = stub{trafficScreen, false, got}
	m = feed(m, enter, news(1, advice.Trouble, rival), tab)
	assert.Contains(t, m.View(), "page Traffic 80 x 19")
	assert.NotContains(t, m.View(), "Pier PC")
	m = feed(m, tab, tea.WindowSizeMsg{Width: 50, Height: 20})
	assert.Contains(t, m.View(), "page Three 50 x 15")
	assert.Contains(t, m.View(), "TROUBLE: Stop 10.0.0.7 or send above 150", "the remedy is whole")
	m = feed(m, tea.WindowSizeMsg{Width: 200, Height: 50})
	assert.Contains(t, m.View(), "TROUBLE: "+rival)
}

// Letters that a slow line hands over together are keys, not a word.
func TestLettersInOneReadAreKeys(t *testing.T) {
	m, got, _ := setup(Options{})
	m = feed(m, enter, letter("xyz"))
	assert.Equal(t, []string{"One screen.EnterMsg", "One tea.KeyMsg", "One tea.KeyMsg", "One tea.KeyMsg"}, *got)
	*got = nil
	feed(m, tab, letter("xyz")) // Two types
	assert.Equal(t, []string{"One screen.LeaveMsg", "Two screen.EnterMsg", "Two tea.KeyMsg"}, *got)
	m, _, _ = setup(Options{})
	assert.Contains(t, feed(m, enter, letter("xqy")).View(), "Going dark", "the way out among them")
}
