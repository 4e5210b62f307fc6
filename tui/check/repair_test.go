package check

import (
	"os"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/strip"
	"example.org/ringout/tui/screen"
)

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
	require.IsType(t, questionPage{}, e.m.page)
	e.through()
	assert.Equal(t, "Mended: load test next", e.m.st.verdict(e.m.of.sub)[0])
	assert.Contains(t, e.findings(), "Its fault is mended, and nothing else was put in. Found to be sound, and it is.")
	assert.Contains(t, e.findings(), "Mended before "+f.Sentence(p))

	wrong := begin(t, Options{Hidden: []strip.Fault{{Kind: strip.Sag}}, Faulty: true, Mend: func() { mends++ }}, p, "", f)
	wrong.press("1")
	wrong.through()
	wrong.press("m")
	assert.Contains(t, wrong.m.note, "another fault")
	assert.Equal(t, 1, mends)
	assert.Empty(t, wrong.m.st.Mended)
}

func TestMendedAndCheckedAgain(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path, faultOf(t, p, "open-joint pixel 60"))
	e.press("1")
	e.through()
	e.real, _ = strip.New(p) // the iron did it
	e.press("m")
	require.IsType(t, questionPage{}, e.m.page)
	e.through()
	assert.Equal(t, "Mended: load test next", e.m.st.verdict(e.m.of.sub)[0])
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

// Where several explanations are left, no one knows which one was mended.
func TestMendedFromAShortList(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path, faultOf(t, p, "open-joint pixel 60"))
	e.press("1")
	e.answer()
	e.press("x")
	require.Equal(t, checkout.Possible, e.m.st.findings[0].Sure)
	e.press("m")
	require.IsType(t, questionPage{}, e.m.page)
	assert.Empty(t, e.m.st.Mended)
	assert.Empty(t, e.m.st.asked, "checked from the beginning")
}

// What was found true goes into the prop file, shown before it is saved.
func TestTakenOverIntoThePlan(t *testing.T) {
	p, path := onDisk(t, "pennant")
	e := begin(t, Options{}, p, path, faultOf(t, p, "count run 2 by -2"))
	e.press("1")
	e.through()
	e.press("p")
	require.IsType(t, planPage{}, e.m.page, e.m.note)
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
	assert.IsType(t, findingPage{}, e.m.page)
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
