package check

import (
	"errors"
	"math/rand/v2"
	"net/netip"
	"os"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui/screen"
)

// A result that comes late must not overtake what was asked after it.
func TestLateResultsAreDropped(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path)
	e.press("1")
	at := e.m.st.probe.Question
	s, slow := e.m.Update(named("3"))
	e.m = s.(Model)
	assert.True(t, e.m.work.busy)
	e.press("4") // not for the question that is coming
	e.press("left")
	assert.False(t, e.m.work.busy)
	e.feed(slow())
	assert.Equal(t, at, e.m.st.probe.Question)
	assert.Empty(t, e.m.st.asked)
}

func TestMouseAnswers(t *testing.T) {
	p, path := onDisk(t, "porthole")
	for _, size := range [][2]int{{120, 37}, {80, 21}, {50, 17}} {
		e := begin(t, Options{}, p, path)
		e.feed(tea.WindowSizeMsg{Width: size[0], Height: size[1]})
		e.press("1")
		lines := strings.Split(ansi.Strip(e.m.View(size[0], size[1])), "\n")
		y := -1
		for i, l := range lines {
			if strings.Contains(l, "5 nothing is lit") {
				y = i
			}
		}
		require.GreaterOrEqual(t, y, 0, "%v", lines)
		x := ansi.StringWidth(lines[y][:strings.Index(lines[y], "5 nothing")])
		e.feed(tea.MouseMsg{X: x, Y: y, Action: tea.MouseActionPress, Button: tea.MouseButtonLeft})
		require.Len(t, e.m.st.asked, 1)
		assert.Equal(t, 5, e.m.st.asked[0].Given)
		os.Remove(e.m.desk.File())
	}
}

func TestArrowsAndEnter(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path)
	e.press("enter") // begin
	e.press("enter")
	assert.Contains(t, e.text(), "Choose an answer first")
	assert.Empty(t, e.m.st.asked, "a stray enter is no answer")
	e.press("down", "down", "down", "enter")
	assert.Equal(t, 3, e.m.st.asked[0].Given)
	e.press("up", "enter") // round to "not sure"
	assert.Equal(t, checkout.NotSure, e.m.st.asked[1].Given)
	e.press("9")
	assert.Contains(t, e.text(), "There is no such answer here.")
	assert.Len(t, e.m.st.asked, 2)
}

func TestLevelAndDark(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path)
	e.press("1", "+")
	assert.Greater(t, e.out.last(t).Level, patterns.StartLevel)
	e.press("-", "-")
	assert.Less(t, e.out.last(t).Level, patterns.StartLevel)
	serial := e.out.last(t).Serial
	e.press("l")
	assert.Nil(t, e.out.last(t).Frames)
	e.press("l")
	assert.NotNil(t, e.out.last(t).Frames)
	e.answer()
	assert.NotEqual(t, serial, e.out.last(t).Serial, "each picture is new to the show")
	n := len(e.out.wants)
	e.feed(screen.LeaveMsg{})
	e.press("+")
	assert.Len(t, e.out.wants, n, "a screen that is not shown sends nothing")
	e.feed(screen.EnterMsg{})
	assert.NotNil(t, e.out.last(t).Frames, "shown again, lit again")
}

// A host that refuses ends the check-out: an answer about a prop that is not
// there does not count, nothing is found and nothing is recorded.
func TestAbsentPropHasNoFinding(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path)
	links := func(s link.State) screen.SnapshotMsg {
		return screen.SnapshotMsg{Links: []link.Status{{State: s, Target: link.Target{Universe: 1, Host: "192.0.2.9"}}}}
	}
	e.press("1")
	e.answer()
	before := e.m.st.probe.Question
	for _, key := range []string{"1", "x"} {
		e.feed(links(link.Refused))
		e.press(key)
		require.IsType(t, findingPage{}, e.m.page)
		assert.Contains(t, e.findings(), "The prop is not there: no program listens at 192.0.2.9")
		assert.NotContains(t, e.findings(), "Nothing is wrong")
		assert.NoFileExists(t, record.Beside(path).Path)
		e.press("m", "p", "o")
		require.IsType(t, findingPage{}, e.m.page)
		e.feed(links(link.Sending))
		e.press("left")
		require.IsType(t, questionPage{}, e.m.page)
		assert.Equal(t, before, e.m.st.probe.Question)
	}
	e.through()
	assert.Contains(t, e.findings(), "Nothing is wrong")
	assert.FileExists(t, record.Beside(path).Path)
}

// The start page leads back to a prop that was not there: it says what is so by now,
// or asks on.
func TestAbsentPropIsLookedForAgain(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path)
	links := func(s link.State) screen.SnapshotMsg {
		return screen.SnapshotMsg{Links: []link.Status{{State: s, Err: errors.New("host is down"), Target: link.Target{Universe: 1, Host: "192.0.2.9"}}}}
	}
	e.press("1")
	e.answer()
	before := e.m.st.probe.Question
	e.feed(links(link.Refused))
	e.press("1", "esc")
	assert.NotContains(t, e.text(), "See the findings once more")
	e.feed(links(link.Unreachable))
	e.choose("Look for the prop again, 1 answer so far")
	assert.Contains(t, e.findings(), "No packet reaches the prop", "what is so now, not what was")
	e.press("esc")
	e.feed(links(link.Sending))
	e.choose("Look for the prop again")
	require.IsType(t, questionPage{}, e.m.page)
	assert.Equal(t, before, e.m.st.probe.Question)
	e.through()
}

func TestRivalIsNamed(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path)
	e.press("1")
	ours := protocol.Ours{CID: protocol.CID{1}, Universes: []protocol.Universe{1}}
	source := func(cid byte, name string, u protocol.Universe, st protocol.StreamState) protocol.SourceReport {
		return protocol.SourceReport{CID: protocol.CID{cid}, Name: name, From: netip.MustParseAddrPort("192.0.2.7:5568"),
			Streams: []protocol.StreamReport{{Universe: u, State: st}}}
	}
	for _, row := range []struct {
		source protocol.SourceReport
		want   string
	}{
		{source(1, "ourselves", 1, protocol.Live), ""},
		{source(2, "next door", 2, protocol.Live), ""},
		{source(2, "gone", 1, protocol.Lost), ""},
		{source(2, "porch\x1b[2J", 1, protocol.Live), "porch[2J"},
		{source(2, "", 1, protocol.Live), "a source without a name at 192.0.2.7"},
	} {
		e.feed(screen.TrafficMsg{Report: &protocol.Report{Sources: []protocol.SourceReport{row.source}}, Ours: ours})
		assert.Equal(t, row.want, e.m.network().Rival)
		if row.want == "" {
			assert.NotContains(t, e.text(), "Another source")
		} else {
			assert.Contains(t, e.text(), "Another source drives this universe: "+row.want)
		}
	}
	e.answer()
	assert.NotEmpty(t, e.m.st.Session.Network().Rival)
}

// FuzzKeys: no stream of keys, clicks and sizes breaks a page or panics, and
// what is on disk can always be taken up again.
func FuzzKeys(f *testing.F) {
	f.Add(uint64(1), 80)
	f.Add(uint64(7), 30)
	f.Add(uint64(20), 40)
	f.Fuzz(func(t *testing.T, seed uint64, n int) {
		r := rand.New(rand.NewPCG(seed, 0))
		name := []string{"porthole", "pennant", "buoylamp"}[r.IntN(3)]
		p, path := onDisk(t, name)
		if r.IntN(2) == 0 {
			path = ""
		}
		e := begin(t, Options{Faulty: true}, p, path, strip.Random(p, seed))
		if path == "" {
			e = demoOf(t, p, strip.Random(p, seed))
		}
		home := t.TempDir()
		t.Setenv("HOME", home)
		for range min(max(n, 0), 150) { // one that takes 10 s counts as hung
			k := randomKey(r)
			key, pressed := k.(tea.KeyMsg)
			if en, ok := e.m.page.(typingPage); ok && en.kind == pathLine && pressed && key.Type == tea.KeyEnter && !strings.HasPrefix(en.line.String(), home) {
				k = named("esc") // no files in strange places
			}
			e.feed(k)
			if w := e.out.last(t); w.Frames != nil && r.IntN(3) == 0 {
				e.sent()
				e.feed(screen.LightMsg{Light: e.real.Light(e.light())})
			}
			v := e.m.View(e.m.size.Width, e.m.size.Height)
			lines := strings.Split(v, "\n")
			require.Len(t, lines, e.m.size.Height)
			for _, l := range lines {
				require.Equal(t, e.m.size.Width, ansi.StringWidth(l), "%q", l)
			}
		}
		begin(t, Options{}, p, path)
	})
}

// What is still open is said in whole sentences or not at all.
func TestOpenIsNotCutOff(t *testing.T) {
	p := prop.Porthole()
	e := begin(t, Options{}, p, "", faultOf(t, p, "rail-lost pixel 85"))
	e.press("1")
	for range 3 {
		for room := 1; room <= openRows; room++ {
			lines := openLines(e.m.style, e.m.st.suspects, 36, room)
			require.LessOrEqual(t, len(lines), room)
			text := strings.Join(strings.Fields(ansi.Strip(strings.Join(lines, " "))), " ")
			for _, s := range e.m.st.suspects {
				if words := strings.Fields(s.text); strings.Contains(text, " "+strings.Join(words[:min(2, len(words))], " ")) {
					assert.Contains(t, text, s.text)
				}
			}
		}
		e.answer()
	}
}
