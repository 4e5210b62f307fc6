package check

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/charmbracelet/x/exp/golden"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/underway"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/screen"
)

// asked are two answers of a check-out, the second of them "not sure".
func asked() []checkout.AnsweredQuestion {
	return []checkout.AnsweredQuestion{
		{ID: 1, Kind: checkout.AskEven, Question: "Every pixel is sent blue. What do you see?", Given: 3,
			Answers: []checkout.Answer{{Key: 1, Press: "1", Text: "all lit, all blue"}, {Key: 2, Press: "2", Text: "all lit, all in another colour"},
				{Key: 3, Press: "3", Text: "lit at the start, dark from some pixel on"}}},
		{ID: 2, Kind: checkout.AskPlace, Question: "Which colour is the first pixel of inner ring?",
			Answers: []checkout.Answer{{Key: 1, Press: "r", Text: "red", Sees: 1}, {Key: 2, Press: "1", Text: "something else", Sees: checkout.SeesElse}}},
	}
}

// thirds is red, then green, then white.
func thirds(dst patterns.Frame, pixels int, _ time.Duration) patterns.Frame {
	for i := range pixels {
		dst = append(dst, []patterns.Colour{{R: 255}, {G: 255}, {R: 255, G: 255, B: 255}}[3*i/pixels])
	}
	return dst
}

// script is a check-out as an engine might leave it after two answers: the
// questions of the real one may change, the pages should not.
func script(e *evening, p *prop.Prop) state {
	st := e.m.st // its session stands for any other
	st.asked, st.stopped, st.more = asked(), "", true
	st.probe = checkout.Probe{ID: 3, Show: thirds, Level: 0.2, Spec: checkout.Spec{Kind: checkout.AskLastLit},
		Question: "Follow the data from its start. Which colour is the last pixel that is lit?",
		Hint:     "the data starts at inner ring and follows the arrows",
		Answers: []checkout.Answer{{Key: 1, Press: "r", Text: "red", Sees: checkout.Token(checkout.Red)},
			{Key: 2, Press: "g", Text: "green", Sees: checkout.Token(checkout.Green)}, {Key: 3, Press: "w", Text: "white", Sees: checkout.Token(checkout.White)},
			{Key: 4, Press: "d", Text: "dark", Sees: checkout.Token(checkout.Dark)},
			{Key: 5, Press: "1", Text: "nothing: the light ends early", Sees: checkout.SeesMissing}, {Key: 6, Press: "2", Text: "something else", Sees: checkout.SeesElse}}}
	n := max(2, p.Pixels())
	st.open = checkout.Open{Pixels: make([]float64, n), Run: make([]float64, len(p.Runs)), Fits: make([]bool, n), Left: 3, Sound: 0.05}
	for i := n / 3; i < n/2; i++ {
		st.open.Pixels[i], st.open.Fits[i] = 0.02, true
	}
	st.open.Pixels[n/2-1] = 0.4
	st.suspects = withPercents([]suspect{{share: 0.7, text: "data line open: 24 places fit"}, {share: 0.2, text: "start slot not as planned: 4 slots fit"}, {share: 0.1, text: "nothing wrong"}})
	where := strip.Spot(p, n/2-1)
	st.findings = []checkout.Finding{{Title: "No data reaches " + where, Sure: checkout.Certain, Percent: 99, Share: 0.9999,
		Pixels: []show.Span{{First: n/2 - 1, Last: n/2 - 1}},
		Causes: []checkout.Cause{
			{Text: "No data reaches " + where + ".", Where: where, Remedy: "Power off. Re-solder the data joint there.", Faults: []strip.Fault{{Kind: strip.OpenJoint, Pixel: n/2 - 1}}},
			{Text: where + " is dead: it passes no data on.", Where: where, Remedy: "Power off. Cut out the pixel and put a new one in.", Faults: []strip.Fault{{Kind: strip.DeadStop, Pixel: n/2 - 1}}}}}}
	st.points = pointingAt(p, st.findings)
	return st
}

// The pages are fixed in size and colours; go test -update writes them again,
// and someone then has to look at the difference.
func TestPages(t *testing.T) {
	for _, row := range []struct {
		name          string
		prop          *prop.Prop
		demo          bool
		page          page
		width, height int // of the page, three less high than the terminal
		depth         termenv.Profile
		keys          string
	}{
		{"120x40 start", prop.Porthole(), true, startPage{}, 120, 37, termenv.Ascii, ""},
		{"120x40 no colour, question", prop.Porthole(), true, questionPage{}, 120, 37, termenv.Ascii, ""},
		{"120x40 true colour, question", prop.Porthole(), true, questionPage{}, 120, 37, termenv.TrueColor, "down"},
		{"120x40 no colour, question, real prop", prop.Pennant(), false, questionPage{}, 120, 37, termenv.Ascii, ""},
		{"120x40 no colour, found", prop.Porthole(), true, findingPage{}, 120, 37, termenv.Ascii, ""},
		{"80x24 no colour, question", prop.Porthole(), true, questionPage{}, 80, 21, termenv.Ascii, "9"},
		{"80x24 256 colours, what is open", prop.Pennant(), true, questionPage{}, 80, 21, termenv.ANSI256, "v"},
		{"80x24 no colour, found", prop.Porthole(), false, findingPage{}, 80, 21, termenv.Ascii, ""},
		{"80x24 no colour, earlier answers", prop.Porthole(), true, questionPage{}, 80, 21, termenv.Ascii, "e"},
		{"80x24 no colour, change an answer", prop.Porthole(), true, questionPage{}, 80, 21, termenv.Ascii, "e 1"},
		{"80x24 no colour, record elsewhere", prop.Porthole(), true, findingPage{}, 80, 21, termenv.Ascii, "w"},
		{"50x20 no colour, question", prop.Porthole(), true, questionPage{}, 50, 17, termenv.Ascii, ""},
		{"50x20 16 colours, simulated prop", prop.Porthole(), true, questionPage{}, 50, 17, termenv.ANSI, ""},
		{"50x20 no colour, found", prop.BuoyLamp(), false, findingPage{}, 50, 17, termenv.Ascii, ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Setenv("HOME", "/home/builder")
			fault := strip.Fault{Kind: strip.OpenJoint, Pixel: row.prop.Pixels()/2 - 1}
			if row.prop.Pixels() == 1 {
				fault.Pixel = 0
			}
			e := begin(t, Options{Style: styles(row.depth), Hidden: []strip.Fault{fault}, Faulty: true}, row.prop, "", fault)
			e.feed(tea.WindowSizeMsg{Width: row.width, Height: row.height})
			e.m.bench.demo = row.demo
			if _, start := row.page.(startPage); !start {
				e.m, _ = e.m.restart(underway.Part{})
				s, err := checkout.New(row.prop, checkout.Options{})
				require.NoError(t, err)
				e.feed(stateMsg{job: e.m.work.job, st: stateOf(underway.CheckOut{Sub: row.prop, Session: s})})
				e.m.st, e.m.page = script(e, row.prop), row.page
				if on[questionPage](e.m) {
					e.m.page = questionPage{list: none}
				}
				if on[findingPage](e.m) {
					e.m.st.more = false
					e.m.rec.why, e.m.rec.pending = sentence(errNoFile), []record.Entry{{}}
				}
				e.m = e.m.fresh()
				e.m.send()
			}
			e.press(strings.Fields(row.keys)...)
			e.feed(screen.SnapshotMsg{Want: e.out.last(t), Level: patterns.StartLevel},
				screen.LightMsg{Light: e.real.Light(e.light()), Driven: true})
			requirePage(t, e.m.View(row.width, row.height), row.width, row.height)
		})
	}
}

// requirePage holds a page against its golden, and its size.
func requirePage(t *testing.T, v string, width, height int) {
	t.Helper()
	lines := strings.Split(v, "\n")
	require.Len(t, lines, height)
	for _, l := range lines {
		assert.Equal(t, width, ansi.StringWidth(l), "%q", l)
	}
	if os.Getenv("RINGOUT_CAPTURES") == "" { // pictures are of the ground that was asked for
		golden.RequireEqual(t, []byte(v))
	}
}

func TestPageWithoutProp(t *testing.T) {
	m := New(Options{Style: styles(termenv.Ascii)})
	for _, k := range []string{"1", "enter", "x", "m", "p", "w", "left", "v", "l"} {
		s, cmd := m.Update(named(k))
		m = s.(Model)
		assert.Nil(t, cmd)
	}
	assert.Contains(t, m.View(80, 21), "In a terminal, ringout FILE opens a prop.")
}

// The page of what would change, at the smallest size.
func TestPlanPage(t *testing.T) {
	p, path := onDisk(t, "pennant")
	e := begin(t, Options{}, p, path, faultOf(t, p, "count run 2 by -2"))
	e.press("1")
	e.through()
	e.feed(tea.WindowSizeMsg{Width: 50, Height: 17})
	e.press("p")
	require.IsType(t, planPage{}, e.m.page)
	v := strings.ReplaceAll(e.m.View(50, 17), filepath.Dir(path), "")
	assert.Contains(t, v, "pixels: 40 now, 38 then", "what it says, and what it will say")
	assert.Contains(t, v, "enter saves it")
	assert.Contains(t, v, "█", "and large")
	assert.Equal(t, []string{"40 to 38"}, e.m.page.(planPage).large())
}

// Where the likeliest cause has no place of its own, no place is called "here".
func TestMarksOfAFinding(t *testing.T) {
	p := prop.Porthole()
	rank := make([]uint8, p.Pixels())
	markFault(rank, p, strip.Fault{Kind: strip.NoSupply}, true)
	assert.NotContains(t, rank, likely)
	markFault(rank, p, strip.Fault{Kind: strip.RunBackwards, Run: 0}, false)
	assert.Equal(t, maybe, rank[35])
	assert.Equal(t, ruledOut, rank[36])
	markFault(rank, p, strip.Fault{Kind: strip.OpenJoint, Pixel: 35}, true)
	markFault(rank, p, strip.Fault{Kind: strip.RunsSwapped, Run: 0, Run2: 2}, false)
	assert.Equal(t, likely, rank[35], "the likeliest stays on top")
	assert.Equal(t, ruledOut, rank[36])
	assert.Equal(t, maybe, rank[143])
}
