package check

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/screen"
)

// Someone who sees only the light is led to the fault that was hidden.
func TestLedToTheFault(t *testing.T) {
	for _, row := range []struct {
		name, fault string
		points      bool // the prop shows where
	}{
		{"porthole", "", false},
		{"porthole", "no-supply", false},
		{"porthole", "open-joint pixel 60", true},
		{"porthole", "open-joint pixel 37", true},
		{"porthole", "dead-stop pixel 144", true},
		{"porthole", "dead-pixel pixel 12", true},
		{"porthole", "dead-channel pixel 97 colour blue", true},
		{"porthole", "wrong-order pixel 1 order RGB", false}, // it is the whole prop
		{"porthole", "wrong-order pixel 60 order RGB", true}, // red is sent as it looks there
		{"porthole", `run-mirrored run 2`, false},            // its first pixel shows at its other end
		{"porthole", `run-backwards run 2`, true},
		{"porthole", "runs-swapped run 1 run 3", false},
		{"pennant", "count run 2 by -2", false},
		{"pennant", "open-joint pixel 97", true},
		{"buoylamp", "wrong-order pixel 1 order GRBW", false},
	} {
		t.Run(row.name+" "+row.fault, func(t *testing.T) {
			p, path := onDisk(t, row.name)
			var faults []strip.Fault
			if row.fault != "" {
				faults = append(faults, faultOf(t, p, row.fault))
			}
			e := begin(t, Options{Version: "test"}, p, path, faults...)
			assert.Nil(t, e.out.last(t).Frames, "dark before it begins")
			e.choose("Begin a check-out")
			assert.Equal(t, patterns.StartLevel, e.out.last(t).Level)
			e.through()
			verdict := compared(p, e.m.st.findings, faults)
			assert.True(t, verdict.found, "%s: %v", verdict.text, e.m.st.findings)
			assert.Equal(t, row.points, e.out.last(t).Frames != nil, "dark at the end, for the iron, but for a light that points at the place")

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
			assert.Contains(t, sayRecord(e.m), "Recorded in "+record.Beside(path).Path)
		})
	}
}

func TestDemoTellsItsSecretAtTheEndOnly(t *testing.T) {
	p := prop.Porthole()
	f := faultOf(t, p, "open-joint pixel 60")
	e := begin(t, Options{Hidden: []strip.Fault{f}, Faulty: true}, p, "", f)
	e.press("1")
	for on[questionPage](e.m) {
		assert.NotContains(t, e.text(), "secret")
		e.answer()
	}
	assert.Contains(t, e.findings(), "The demo's secret "+f.Sentence(p))
	assert.Contains(t, e.findings(), "Found: it is one of those that look alike.")
	assert.Equal(t, "Dark from 60", e.m.st.verdict(e.m.of.sub)[0])
	assert.Contains(t, sayRecord(e.m), "Not recorded: the prop is simulated.")
}

func TestComparedWithWhatWasHidden(t *testing.T) {
	a, b := strip.Fault{Kind: strip.OpenJoint, Pixel: 3}, strip.Fault{Kind: strip.DeadStop, Pixel: 3}
	swap := strip.Fault{Kind: strip.RunsSwapped, Run: 2, Run2: 1}
	found := func(sure checkout.Confidence, causes ...[]strip.Fault) checkout.Finding {
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
		{[]checkout.Finding{{Good: true, Sure: checkout.Certain, Percent: 99}}, nil, "Found to be sound, and it is."},
		{[]checkout.Finding{{Good: true, Sure: checkout.Certain, Percent: 99}}, []strip.Fault{a}, "It was not found."},
		{[]checkout.Finding{found(checkout.Certain, []strip.Fault{a})}, []strip.Fault{a}, "Found."},
		{[]checkout.Finding{found(checkout.VeryLikely, []strip.Fault{b}, []strip.Fault{a})}, []strip.Fault{a}, "Found: it is one of those that look alike."},
		{[]checkout.Finding{found(checkout.Possible, []strip.Fault{b}), found(checkout.Possible, []strip.Fault{a})}, []strip.Fault{a}, "It is on the short list."},
		{[]checkout.Finding{found(checkout.VeryLikely, []strip.Fault{{Kind: strip.RunsSwapped, Run: 1, Run2: 2}})}, []strip.Fault{swap}, "Found."},
		{[]checkout.Finding{found(checkout.VeryLikely, []strip.Fault{b})}, []strip.Fault{a}, "Found as far as light tells: it looks just like that."},
		{[]checkout.Finding{found(checkout.VeryLikely, []strip.Fault{{Kind: strip.DeadPixel, Pixel: 3}})}, []strip.Fault{a}, "It was not found."},
		{[]checkout.Finding{found(checkout.VeryLikely, []strip.Fault{a})}, nil, "It was not found."},
		{nil, nil, "It was not found."},
		{[]checkout.Finding{found(checkout.VeryLikely, []strip.Fault{{Kind: strip.NoSupply}})}, []strip.Fault{{Kind: strip.WrongAddress, N: 2}}, "Found as far as light tells: it looks just like that."},
	} {
		assert.Equal(t, row.want, compared(prop.Porthole(), row.found, row.hidden).text)
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
	e.press("left")
	assert.Contains(t, e.text(), "This is the first question.")

	e.press("1") // a wrong answer: all lit
	e.answer()
	e.press("e")
	assert.Contains(t, e.text(), "Which answer was wrong?")
	e.press("1")
	assert.Contains(t, e.text(), first.Question)
	e.press("3") // dark from some pixel on
	assert.Equal(t, 3, e.m.st.asked[0].Given)
	assert.Len(t, e.m.st.asked, 2)
	e.through()
	assert.True(t, compared(p, e.m.st.findings, e.real.Faults()).found)
}

func TestTakenUpAgain(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path, faultOf(t, p, "open-joint pixel 60"))
	e.press("1")
	e.answer()
	e.answer()
	next := e.m.st.probe

	again := begin(t, Options{}, p, path, e.real.Faults()...)
	assert.Contains(t, again.text(), "1 Take up the unfinished check-out: 2 answers,")
	assert.Contains(t, again.text(), "25 November 19:30")
	again.press("1")
	assert.Equal(t, next.Question, again.m.st.probe.Question)
	assert.Equal(t, next.Spec.Paint, again.m.st.probe.Spec.Paint)
	again.through()
	assert.NoFileExists(t, again.m.desk.File(), "recorded, so no longer unfinished")
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
	assert.Contains(t, again.m.note, "has changed since its unfinished check-out of 25 November 19:30, so a new one begins.")
	assert.IsType(t, questionPage{}, again.m.page)
	aside, err := filepath.Glob(strings.TrimSuffix(path, ".toml") + ".check-*.json")
	require.NoError(t, err)
	require.Len(t, aside, 1, "nothing answered is lost")
	kept, err := record.ReadUnfinished(aside[0])
	require.NoError(t, err)
	assert.Equal(t, 1, kept[0].Answers())

	require.NoError(t, os.WriteFile(again.m.desk.File(), []byte("{torn"), 0o644))
	torn := begin(t, Options{}, p, path)
	assert.Contains(t, torn.text(), "is not an unfinished check-out")
	torn.press("1")
	assert.IsType(t, questionPage{}, torn.m.page)
	assert.Contains(t, torn.m.note, "It is put aside in ")
}

// A prop without a file keeps its answers in the settings folder.
func TestKeptInTheFolder(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "settings")
	p := prop.Porthole()
	e := begin(t, Options{Folder: folder}, p, filepath.Join(t.TempDir(), "x.toml"))
	e.feed(screen.ReadyMsg{Prop: p, Out: e.out})
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
	assert.FileExists(t, e.m.desk.File())

	e.press("w")
	require.True(t, e.m.Typing())
	other := filepath.Join(t.TempDir(), "other.jsonl")
	e.press("ctrl+u")
	for _, r := range other {
		e.press(string(r))
	}
	e.press("enter")
	assert.Contains(t, sayRecord(e.m), "Recorded in "+other)
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
	assert.IsType(t, startPage{}, e.m.page, "nothing was answered, nothing is recorded")
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
	require.IsType(t, questionPage{}, e.m.page)
	e.through()
}

func TestOneRunAlone(t *testing.T) {
	p, path := onDisk(t, "porthole")
	f := strip.Fault{Kind: strip.OpenJoint, Pixel: 11}
	e := begin(t, Options{}, p, path)
	e.press("2")
	assert.Contains(t, e.text(), "▸ 1 inner ring, not joined yet: 36 pixels")
	e.press("2")
	var err error
	e.real, err = strip.New(e.m.of.sub, f) // only this ring hangs on the wire
	require.NoError(t, err)
	require.Equal(t, 48, e.m.of.sub.Pixels())
	e.through()
	assert.Contains(t, e.m.st.verdict(e.m.of.sub)[0], "12")
	h, err := record.Beside(path).Read(p.Name)
	require.NoError(t, err)
	require.Len(t, h.Entries, 1)
	assert.Equal(t, "middle ring alone on the bench", h.Entries[0].Notes)
	assert.Equal(t, "middle ring", h.Entries[0].Findings[0].Run)
	assert.Equal(t, 12, h.Entries[0].Findings[0].InRun)
	e.press("p")
	assert.Contains(t, e.m.note, "check the whole prop")
}

// A part of the finished prop: all before it stays dark, and what is found is
// recorded by its number in the whole prop.
func TestOnePartInPlace(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path)
	e.press("2")
	assert.Contains(t, e.text(), "8 lower rim, in the finished prop: 100 to 129")
	e.press("8")
	require.Equal(t, 30, e.m.of.sub.Pixels())
	require.Equal(t, 99, e.m.of.first)
	frame := e.m.want().Frames(nil, p.Pixels(), 0)
	require.Len(t, frame, 129)
	for i, c := range frame {
		assert.Equal(t, i < 99, c.Dark(), "pixel %d", i)
	}
	var err error
	e.real, err = strip.New(e.m.of.sub, strip.Fault{Kind: strip.DeadPixel, Pixel: 10})
	require.NoError(t, err)
	e.through()
	h, err := record.Beside(path).Read(p.Name)
	require.NoError(t, err)
	require.Len(t, h.Entries, 1)
	assert.Equal(t, "lower rim alone, in the finished prop", h.Entries[0].Notes)
	assert.Equal(t, "lower rim", h.Entries[0].Only)
	assert.Equal(t, 110, h.Entries[0].Findings[0].Pixel)
}

// Random faults of the demo props, by the whole screen.
func TestLedToManyFaults(t *testing.T) {
	if os.Getenv("RINGOUT_LONG") == "" {
		t.Skip("set RINGOUT_LONG=1: sixty check-outs")
	}
	answers := 0
	for seed := range uint64(60) {
		p, path := onDisk(t, []string{"porthole", "pennant", "buoylamp"}[seed%3])
		f := strip.Random(p, seed)
		e := begin(t, Options{}, p, path, f)
		e.choose("Begin a check-out")
		e.through()
		answers += len(e.m.st.asked)
		// What no look can tell apart stays a short list; it must hold the fault.
		verdict := compared(p, e.m.st.findings, []strip.Fault{f})
		assert.NotEqual(t, notFound, verdict, "%s, %s: %+v", p.Name, f, e.m.st.findings)
	}
	t.Logf("%.1f answers on average", float64(answers)/60)
}

// Three faults at once are none of the list: the screen says what fits most,
// which look does not fit it, and how to go on.
func TestNothingKnownSaysTheWayOn(t *testing.T) {
	p := prop.Porthole()
	var faults []strip.Fault
	for _, text := range []string{"wrong-chip pixel 40 slots 4", "mirrored", "run-order run 1 order RBG"} {
		faults = append(faults, faultOf(t, p, text))
	}
	e := begin(t, Options{Version: "test"}, p, "", faults...)
	e.press("1")
	e.through()
	u := e.m.st.findings[0].Unknown
	require.NotNil(t, u, e.m.st.findings[0].Title)
	text := e.findings()
	for _, want := range append(u.Misfits(), "Nothing I know explains this.", "What fits most", u.Closest.Text, "What does not fit it", "What to do", u.Next) {
		assert.Contains(t, text, want)
	}
	assert.Equal(t, "No known fault fits", e.m.st.verdict(e.m.of.sub)[0])
}
