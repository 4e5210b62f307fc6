package check

import (
	"math/rand/v2"
	"net/netip"
	"os"
	"path/filepath"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui/screen"
)

// Somebody who sees only the light is led to the fault that was hidden.
func TestLedToTheFault(t *testing.T) {
	for _, row := range []struct{ name, fault string }{
		{"porthole", ""},
		{"porthole", "no-supply"},
		{"porthole", "open-joint pixel 60"},
		{"porthole", "open-joint pixel 37"},
		{"porthole", "dead-stop pixel 144"},
		{"porthole", "dead-pixel pixel 12"},
		{"porthole", "dead-channel pixel 97 colour blue"},
		{"porthole", "wrong-order pixel 1 order RGB"},
		{"porthole", `run-mirrored run 2`},
		{"porthole", "runs-swapped run 1 run 3"},
		{"pennant", "count run 2 by -2"},
		{"pennant", "open-joint pixel 97"},
		{"buoylamp", "wrong-order pixel 1 order GRBW"},
	} {
		t.Run(row.name+" "+row.fault, func(t *testing.T) {
			p, path := onDisk(t, row.name)
			var faults []strip.Fault
			if row.fault != "" {
				faults = append(faults, faultOf(t, p, row.fault))
			}
			e := begin(t, Options{Version: "test"}, p, path, faults...)
			assert.Nil(t, e.out.last(t).Frames, "dark before it begins")
			e.press("1")
			assert.Equal(t, show.StartLevel, e.out.last(t).Level)
			e.through()
			verdict := compared(e.m.st.findings, faults)
			assert.True(t, strings.HasPrefix(verdict, "Found"), "%s: %v", verdict, e.m.st.findings)
			assert.Nil(t, e.out.last(t).Frames, "dark at the end, for the iron")

			h, err := record.Beside(path).Read(p.Name)
			require.NoError(t, err)
			require.Len(t, h.Entries, 1)
			assert.Empty(t, h.Troubles)
			want := record.Fail
			if len(faults) == 0 {
				want = record.Pass
			}
			got := h.Entries[0]
			assert.Equal(t, want, got.Verdict)
			assert.Equal(t, prop.DemoFile(row.name), got.PropFile)
			assert.Len(t, got.Steps, len(e.m.st.asked))
			assert.Contains(t, e.m.sayRecord(), "Recorded in "+record.Beside(path).Path)
		})
	}
}

func TestDemoTellsItsSecretAtTheEndOnly(t *testing.T) {
	p := prop.Porthole()
	f := faultOf(t, p, "open-joint pixel 60")
	e := begin(t, Options{Hidden: []strip.Fault{f}, Faulty: true}, p, "", f)
	e.press("1")
	for e.m.page == questionPage {
		assert.NotContains(t, e.text(), "secret")
		e.answer()
	}
	assert.Contains(t, e.findings(), "The demo's secret "+f.Sentence(p))
	assert.Contains(t, e.findings(), "Found: it is one of those that look alike.")
	assert.Equal(t, "Pixel 60", e.m.outcome())
	assert.Contains(t, e.m.sayRecord(), "Not recorded: This prop has no file.")
}

// In the demo the builder's "I mended it" mends the simulated prop.
func TestDemoIsMended(t *testing.T) {
	p := prop.Porthole()
	f := faultOf(t, p, "open-joint pixel 60")
	mends := 0
	e := begin(t, Options{Hidden: []strip.Fault{f}, Faulty: true, Mend: func() { mends++ }}, p, "", f)
	e.press("1")
	e.through()
	e.press("m")
	require.Equal(t, 1, mends)
	require.Equal(t, []tea.Msg{screen.UseMsg{Prop: p}}, e.asks)
	e.real, _ = strip.New(p)
	e.feed(screen.ReadyMsg{Prop: p, Out: e.out, Demo: true})
	require.Equal(t, questionPage, e.m.page)
	e.through()
	assert.Equal(t, "All is well now", e.m.outcome())
	assert.Contains(t, e.findings(), "Its fault is mended, and nothing else was put in. Found to be sound, and it is.")
	assert.Contains(t, e.findings(), "Mended before "+f.Sentence(p))

	wrong := begin(t, Options{Hidden: []strip.Fault{{Kind: strip.Sag}}, Faulty: true, Mend: func() { mends++ }}, p, "", f)
	wrong.press("1")
	wrong.through()
	wrong.press("m")
	assert.Contains(t, wrong.m.note, "another fault")
	assert.Equal(t, 1, mends)
	assert.Empty(t, wrong.m.mended)
}

func TestComparedWithWhatWasHidden(t *testing.T) {
	a, b := strip.Fault{Kind: strip.OpenJoint, Pixel: 3}, strip.Fault{Kind: strip.DeadStop, Pixel: 3}
	swap := strip.Fault{Kind: strip.RunsSwapped, Run: 2, Run2: 1}
	found := func(sure checkout.Sureness, causes ...[]strip.Fault) checkout.Finding {
		f := checkout.Finding{Sure: sure}
		for _, c := range causes {
			f.Causes = append(f.Causes, checkout.Cause{Faults: c})
		}
		return f
	}
	for _, row := range []struct {
		found  []checkout.Finding
		hidden []strip.Fault
		want   string
	}{
		{[]checkout.Finding{{Good: true, Sure: checkout.Certain}}, nil, "Found to be sound, and it is."},
		{[]checkout.Finding{{Good: true, Sure: checkout.Certain}}, []strip.Fault{a}, "It was not found."},
		{[]checkout.Finding{found(checkout.Certain, []strip.Fault{a})}, []strip.Fault{a}, "Found."},
		{[]checkout.Finding{found(checkout.Likely, []strip.Fault{b}, []strip.Fault{a})}, []strip.Fault{a}, "Found: it is one of those that look alike."},
		{[]checkout.Finding{found(checkout.Possible, []strip.Fault{b}), found(checkout.Possible, []strip.Fault{a})}, []strip.Fault{a}, "It is on the short list."},
		{[]checkout.Finding{found(checkout.Likely, []strip.Fault{{Kind: strip.RunsSwapped, Run: 1, Run2: 2}})}, []strip.Fault{swap}, "Found."},
		{[]checkout.Finding{found(checkout.Likely, []strip.Fault{b})}, []strip.Fault{a}, "It was not found."},
		{[]checkout.Finding{found(checkout.Likely, []strip.Fault{a})}, nil, "It was not found."},
		{nil, nil, "It was not found."},
	} {
		assert.Equal(t, row.want, compared(row.found, row.hidden))
	}
}

func TestBackAndChange(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path, faultOf(t, p, "open-joint pixel 60"))
	e.press("1")
	first := e.m.st.probe
	e.answer()
	second := e.m.st.probe
	e.answer()
	e.press("left")
	assert.Equal(t, second.Question, e.m.st.probe.Question)
	assert.Equal(t, second.Spec.Paint, e.m.st.probe.Spec.Paint)
	e.press("backspace")
	assert.Equal(t, first.Spec.Paint, e.m.st.probe.Spec.Paint)
	e.press("b")
	assert.Contains(t, e.text(), "This is the first question.")

	e.press("1") // a wrong answer: all lit
	e.answer()
	e.press("c")
	assert.Contains(t, e.text(), "Which answer was wrong?")
	e.press("1")
	assert.Contains(t, e.text(), first.Question)
	e.press("3") // lit up to some place
	assert.Equal(t, 3, e.m.st.asked[0].Given)
	assert.Len(t, e.m.st.asked, 2)
	e.through()
	assert.True(t, strings.HasPrefix(compared(e.m.st.findings, e.real.Faults()), "Found"))
}

func TestTakenUpAgain(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path, faultOf(t, p, "open-joint pixel 60"))
	e.press("1")
	e.answer()
	e.answer()
	next := e.m.st.probe

	again := begin(t, Options{}, p, path, e.real.Faults()...)
	assert.Contains(t, again.text(), "1 Take up the unfinished check-out: 2 answers, 25 November 19:30")
	again.press("1")
	assert.Equal(t, next.Question, again.m.st.probe.Question)
	assert.Equal(t, next.Spec.Paint, again.m.st.probe.Spec.Paint)
	again.through()
	assert.NoFileExists(t, again.m.keepPath(), "recorded, so no longer unfinished")
	assert.NotContains(t, begin(t, Options{}, p, path).text(), "unfinished")
}

func TestTakenUpAgainWithAnotherFile(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path)
	e.press("1")
	e.answer()
	q := *p
	q.Runs = append([]prop.Run(nil), p.Runs...)
	q.Runs[1].Pixels++
	again := begin(t, Options{}, &q, path)
	again.press("1")
	assert.Contains(t, again.text(), "The check-out was begun with another version of")
	assert.Equal(t, startPage, again.m.page)
	assert.FileExists(t, again.m.keepPath(), "nothing answered is lost")

	require.NoError(t, os.WriteFile(again.m.keepPath(), []byte("{torn"), 0o644))
	assert.Contains(t, begin(t, Options{}, p, path).text(), "can't be read")
}

// A prop without a file keeps its answers in the settings folder.
func TestKeptInTheFolder(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "settings")
	p := prop.Porthole()
	e := begin(t, Options{Folder: folder}, p, "x.toml")
	e.m.path = ""
	e.press("1")
	e.answer()
	assert.FileExists(t, filepath.Join(folder, "porthole.check.json"))
}

func TestNotRecordedIsSaidAndKept(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path)
	e.press("1")
	require.NoError(t, os.Mkdir(record.Beside(path).Path, 0o755)) // a folder stands in the way
	e.through()
	assert.Contains(t, e.text(), "Not recorded:")
	assert.NotContains(t, e.text(), "Recorded in")
	assert.FileExists(t, e.m.keepPath())

	e.press("w")
	require.True(t, e.m.Typing())
	other := filepath.Join(t.TempDir(), "other.jsonl")
	e.press("ctrl+u")
	for _, r := range other {
		e.press(string(r))
	}
	e.press("enter")
	assert.Contains(t, e.m.sayRecord(), "Recorded in "+other)
	h, err := record.File{Path: other}.Read(p.Name)
	require.NoError(t, err)
	require.Len(t, h.Entries, 1)
	assert.Equal(t, record.Pass, h.Entries[0].Verdict)
	e.press("w")
	assert.Contains(t, e.text(), "Nothing waits to be recorded.")
}

func TestEndedEarly(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path, faultOf(t, p, "open-joint pixel 60"))
	e.press("1", "x")
	assert.Equal(t, startPage, e.m.page, "nothing was answered, nothing is recorded")
	assert.NoFileExists(t, record.Beside(path).Path)
	e.press("1")
	e.answer()
	e.press("x")
	assert.Contains(t, e.findings(), "You ended it early")
	h, err := record.Beside(path).Read(p.Name)
	require.NoError(t, err)
	require.Len(t, h.Entries, 1)
	assert.Equal(t, record.Stopped, h.Entries[0].Verdict)
	e.press("left") // on with it after all
	require.Equal(t, questionPage, e.m.page)
	e.through()
}

func TestMendedAndCheckedAgain(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path, faultOf(t, p, "open-joint pixel 60"))
	e.press("1")
	e.through()
	e.real, _ = strip.New(p) // the iron did it
	e.press("m")
	require.Equal(t, questionPage, e.m.page)
	e.through()
	assert.Equal(t, "All is well now", e.m.outcome())
	h, err := record.Beside(path).Read(p.Name)
	require.NoError(t, err)
	require.Len(t, h.Entries, 2)
	assert.Equal(t, record.Pass, h.Entries[1].Verdict)
	fixed := 0
	for _, f := range h.Entries[1].Findings {
		if f.Fixed {
			fixed++
			assert.Equal(t, 60, f.Pixel)
			assert.Equal(t, 24, f.InRun)
		}
	}
	assert.Equal(t, 1, fixed)
}

// Where several explanations are left, nobody knows which one was mended.
func TestMendedFromAShortList(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path, faultOf(t, p, "open-joint pixel 60"))
	e.press("1")
	e.answer()
	e.press("x")
	require.Equal(t, checkout.Possible, e.m.st.findings[0].Sure)
	e.press("m")
	require.Equal(t, questionPage, e.m.page)
	assert.Empty(t, e.m.mended)
	assert.Empty(t, e.m.st.asked, "checked from the beginning")
}

// What was found true goes into the prop file, shown before it is saved.
func TestTakenOverIntoThePlan(t *testing.T) {
	p, path := onDisk(t, "pennant")
	e := begin(t, Options{}, p, path, faultOf(t, p, "count run 2 by -2"))
	e.press("1")
	e.through()
	e.press("p")
	require.Equal(t, planPage, e.m.page, e.m.note)
	assert.Contains(t, e.text(), "38")
	before, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, prop.DemoFile("pennant"), string(before), "nothing is saved yet")
	e.press("enter")
	now, _, err := prop.Load(path)
	require.NoError(t, err)
	assert.Equal(t, 38, now.Runs[1].Pixels)
	require.Len(t, e.asks, 1)
	assert.Equal(t, 38, e.asks[0].(screen.UseMsg).Prop.Runs[1].Pixels)
	assert.Equal(t, path, e.asks[0].(screen.UseMsg).Path)
}

func TestNothingToTakeOver(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path, faultOf(t, p, "open-joint pixel 60"))
	e.press("1")
	e.through()
	e.press("p")
	assert.Equal(t, findingPage, e.m.page)
	assert.Contains(t, e.m.note, "mended on the prop")
}

func TestPlanChangedMeanwhile(t *testing.T) {
	p, path := onDisk(t, "pennant")
	e := begin(t, Options{}, p, path, faultOf(t, p, "count run 2 by -2"))
	e.press("1")
	e.through()
	e.press("p")
	require.NoError(t, os.WriteFile(path, []byte(prop.DemoFile("pennant")+"\n# by hand\n"), 0o644))
	e.press("enter")
	assert.Contains(t, e.m.note, "was changed meanwhile")
	assert.Empty(t, e.asks)
}

// A result that comes late must not overtake what was asked after it.
func TestLateResultsAreDropped(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path)
	e.press("1")
	at := e.m.st.probe.Question
	s, slow := e.m.Update(named("3"))
	e.m = s.(Model)
	assert.True(t, e.m.busy)
	e.press("4") // not for the question that is coming
	e.press("left")
	assert.False(t, e.m.busy)
	e.feed(slow())
	assert.Equal(t, at, e.m.st.probe.Question)
	assert.Empty(t, e.m.st.asked)
}

func TestOneRunAlone(t *testing.T) {
	p, path := onDisk(t, "porthole")
	f := strip.Fault{Kind: strip.OpenJoint, Pixel: 11}
	e := begin(t, Options{}, p, path)
	e.press("2")
	assert.Contains(t, e.text(), "Which run? ▸ 1 inner ring, 36 pixels")
	e.press("2")
	var err error
	e.real, err = strip.New(e.m.sub, f) // only this ring hangs on the wire
	require.NoError(t, err)
	require.Equal(t, 48, e.m.sub.Pixels())
	e.through()
	assert.Equal(t, "Pixel 12", e.m.outcome())
	h, err := record.Beside(path).Read(p.Name)
	require.NoError(t, err)
	require.Len(t, h.Entries, 1)
	assert.Equal(t, "middle ring alone on the bench", h.Entries[0].Notes)
	assert.Equal(t, "middle ring", h.Entries[0].Findings[0].Run)
	assert.Equal(t, 12, h.Entries[0].Findings[0].InRun)
	e.press("p")
	assert.Contains(t, e.m.note, "check the whole prop")
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
		os.Remove(e.m.keepPath())
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
	assert.Greater(t, e.out.last(t).Level, show.StartLevel)
	e.press("-", "-")
	assert.Less(t, e.out.last(t).Level, show.StartLevel)
	serial := e.out.last(t).Serial
	e.press("d")
	assert.Nil(t, e.out.last(t).Frames)
	e.press("d")
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

// What the network knows is said beside the question, and weighs in.
func TestNetworkSpeaksToo(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path, faultOf(t, p, "no-supply"))
	refused := link.Status{State: link.Refused, Target: link.Target{Universe: 1, Host: "192.0.2.9"}}
	e.feed(screen.SnapshotMsg{Links: []link.Status{refused}})
	e.press("1")
	for e.m.page == questionPage {
		e.feed(screen.SnapshotMsg{Links: []link.Status{refused}})
		e.feed(screen.SnapshotMsg{Links: []link.Status{{State: link.Sending, Target: refused.Target}}}) // until the next refusal
		e.answer()
	}
	assert.True(t, e.m.st.session.Heard().Refused)
	assert.Contains(t, e.findings(), "Nobody listens at the prop's address")
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
	assert.NotEmpty(t, e.m.st.session.Heard().Rival)
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
		home := t.TempDir()
		t.Setenv("HOME", home)
		for range min(max(n, 0), 400) {
			k := randomKey(r)
			key, pressed := k.(tea.KeyMsg)
			if en := e.m.entering; en != nil && en.kind == pathLine && pressed && key.Type == tea.KeyEnter && !strings.HasPrefix(string(en.text), home) {
				k = named("esc") // no files in strange places
			}
			e.feed(k)
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
