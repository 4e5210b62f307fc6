package check

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/strip"
	"example.org/ringout/tui/screen"
)

// choose presses the digit of the line of the start page that begins so.
func (e *evening) choose(text string) {
	e.t.Helper()
	for i, c := range choices(e.m) {
		if len(c.text) >= len(text) && c.text[:len(text)] == text {
			e.press(fmt.Sprint(i + 1))
			return
		}
	}
	require.Fail(e.t, "no such line", "%s: %s", text, e.text())
}

func entries(t *testing.T, p *prop.Prop, path string) []record.Entry {
	t.Helper()
	h, err := record.Beside(path).Read(p.Name)
	require.NoError(t, err)
	require.Empty(t, h.Troubles)
	return h.Entries
}

func TestFlexTest(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path)
	e.choose("Flex test")
	require.IsType(t, testPage{}, e.m.page)
	assert.LessOrEqual(t, e.out.last(t).Level, 0.2, "steady light to look at")
	assert.NotNil(t, e.out.last(t).Frames)
	e.press("1", "2") // the lead holds, the first joint does not
	e.press("left", "2")
	assert.Contains(t, e.text(), "joint 3")
	e.press("0") // not sure of the last
	require.IsType(t, resultPage{}, e.m.page)
	assert.Equal(t, "Joint 2 is loose", e.concluded().result.Title)
	assert.Equal(t, []show.Span{{First: 36, Last: 36}, {First: 35, Last: 35}}, e.concluded().result.Here, "both sides of it are marked")
	assert.Contains(t, e.text(), "Not tested:")
	got := entries(t, p, path)
	require.Len(t, got, 1)
	assert.Equal(t, record.Fail, got[0].Verdict)
	assert.Equal(t, 37, got[0].Findings[0].Pixel, "36 pixels of the first ring, then the joint")
	assert.Equal(t, prop.DemoFile("porthole"), got[0].PropFile)
	assert.Nil(t, e.out.last(t).Frames, "dark, for the iron")
	e.press("esc")
	assert.IsType(t, startPage{}, e.m.page)
}

// The load test takes what the meter says of a sound prop. The volts come from
// the planner, whose figures are held against ngspice in its own tests.
func TestLoadTest(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path)
	e.choose("Load test")
	require.IsType(t, testPage{}, e.m.page)
	e.press("9")
	require.True(t, e.m.Typing())
	e.press("9", "enter")
	assert.Contains(t, e.m.note, "99 V can't be right")
	e.press("s") // the meter can't reach it
	e.press("left")
	e.measured(t, p)
	require.IsType(t, resultPage{}, e.m.page)
	assert.Equal(t, "The copper is sound", e.concluded().result.Title, "%v", e.concluded().result.Lines)
	got := entries(t, p, path)
	require.Len(t, got, 1)
	assert.Equal(t, record.Pass, got[0].Verdict)
	assert.NotEmpty(t, got[0].Volts)
}

// measured answers a load test with what the planner says of a sound prop.
func (e *evening) measured(t *testing.T, p *prop.Prop) {
	e.read(t, p, func(_ int, volts float64) float64 { return volts })
}

// read answers a load test with what the planner says of a sound prop, each reading made
// another one.
func (e *evening) read(t *testing.T, p *prop.Prop, as func(n int, volts float64) float64) {
	for n := 0; on[testPage](e.m); n++ {
		require.Less(t, n, 40)
		x, more := e.trial().trial.Test.(single.LoadTest).Next()
		require.True(t, more)
		report, err := power.Plan(p, x.Level, power.FullWhite())
		require.NoError(t, err)
		for _, r := range fmt.Sprintf("%.2f", as(n, report.Sagging.Volts(x.Pixel))) {
			e.press(string(r))
		}
		e.press("enter")
		require.Empty(t, e.m.note)
	}
}

// The large words tell no one to close a prop up while the load test may still find a fault.
func TestClosedUpOnlyAfterTheLoadTest(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path)
	e.press("1")
	e.through()
	require.True(t, e.m.st.findings[0].Good)
	for _, size := range sizes {
		e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
		large := strings.Join(e.m.FarView().Texts, " ")
		assert.Contains(t, large, "oad test next")
		assert.NotContains(t, strings.ToLower(large), "close it up")
		assert.False(t, e.m.FarView().Good)
	}
	assert.Contains(t, e.findings(), "Do the load test with a voltmeter before you close it up; without a meter this stays untried.")
	e.press("enter")
	require.True(t, on[testPage](e.m))
	e.measured(t, p)
	e.press("esc")
	e.choose("See the findings once more")
	assert.Equal(t, []string{"Close it up"}, e.m.st.verdict(e.m.of.sub))
	assert.True(t, e.m.FarView().Good)
	assert.Contains(t, e.findings(), "The load test has found the joints and feeds sound.")
	assert.NotContains(t, e.findings(), "Not tried")

	bare := prop.Porthole()
	bare.Supply.Volts = 0 // its copper is not known, so that no load test can be done
	bulbs := begin(t, Options{}, bare, "")
	bulbs.press("1")
	bulbs.through()
	assert.Equal(t, []string{"Close it up"}, bulbs.m.st.verdict(bulbs.m.of.sub))
}

// An earlier answer is not read as a verdict from two metres: the large words ask.
func TestEarlierAnswersAsk(t *testing.T) {
	e := begin(t, Options{}, prop.Porthole(), "")
	e.press("1")
	e.through()
	e.press("e")
	require.True(t, on[earlierPage](e.m))
	e.feed(tea.WindowSizeMsg{Width: 120, Height: 37})
	for _, it := range e.m.page.(earlierPage).items(e.m) {
		assert.Regexp(t, `wrong\?$`, it.asks[0])
		assert.Regexp(t, `\?$`, it.far)
	}
	e.press("enter")
	require.True(t, on[changePage](e.m))
	for _, it := range e.m.page.(changePage).items(e.m) {
		assert.Regexp(t, `\?$`, it.asks[0])
	}
}

func TestBulb(t *testing.T) {
	p, path := onDisk(t, "buoylamp")
	e := begin(t, Options{}, p, path, strip.Fault{Kind: strip.WrongOrder, Order: "GRBW"})
	e.choose("Check of the bulb")
	ended := false
	for n := 0; on[testPage](e.m); n++ {
		require.Less(t, n, 20)
		q := e.trial().query(e.m)
		if assert.Equal(t, strings.Contains(q.question, "the stream has ended"), e.out.last(t).Ended); e.out.last(t).Ended {
			ended = true
			assert.Contains(t, e.text(), "stream ended")
			e.press("l", "l")
			assert.True(t, e.out.wants[len(e.out.wants)-2].Ended, "dark, too, sends nothing")
			e.press("left")
			assert.False(t, e.out.last(t).Ended, "the question before is lit again")
			e.press("0")
			e.feed(screen.LeaveMsg{}, screen.EnterMsg{})
			assert.True(t, e.out.last(t).Ended)
			e.press("1") // it stays dark
			continue
		}
		light := e.real.Light(e.light())[0][0]
		want := "not sure"
		switch {
		case n >= 4:
		case light.R > 0:
			want = "red"
		case light.G > 0:
			want = "green"
		case light.B > 0:
			want = "blue"
		case light.W > 0:
			want = "white, or warm white"
		}
		for _, it := range q.items {
			if it.text == want {
				e.press(it.press())
				break
			}
		}
	}
	require.IsType(t, resultPage{}, e.m.page)
	got := entries(t, p, path)
	require.Len(t, got, 1)
	assert.Equal(t, "GRBW", got[0].Order)
	assert.Equal(t, record.Fail, got[0].Verdict)
	assert.True(t, ended, "the bench ends the stream for that question")
	assert.NotContains(t, got[0].Notes, "Not tried: what it does when the stream ends")
	assert.False(t, e.out.last(t).Ended)
	e.press("p", "enter")
	now, _, err := prop.Load(path)
	require.NoError(t, err)
	assert.Equal(t, prop.Order("GRBW"), now.Chip.Order)
}

func TestRollCallCountsTheLit(t *testing.T) {
	p, path := onDisk(t, "porthole")
	for _, turns := range []int{0, 1, 2} { // six colours, three, lit or dark
		e := begin(t, Options{}, p, path, strip.Fault{Kind: strip.OpenJoint, Pixel: 59})
		e.choose("Roll call")
		for range turns {
			e.press("o")
		}
		last := -1
		for on[testPage](e.m) {
			light := e.real.Light(e.light())
			lit := func(i int) bool {
				run, at := p.Find(i)
				return !light[run][at].Dark()
			}
			if last < 0 { // the first look lights all that can light
				for i := range p.Pixels() {
					if lit(i) {
						last = i
					}
				}
			}
			run, at := p.Find(last)
			want := ""
			q := e.trial().query(e.m)
			switch c := light[run][at]; {
			case e.trial().now().Large[0] == "Find the last lit":
				want = "my finger is on it"
			case turns == 2 && lit(last):
				want = "lit"
			case turns == 2:
				want = "dark"
			default:
				want = map[[3]bool]string{{true, false, false}: "red", {false, true, false}: "green", {false, false, true}: "blue",
					{true, true, false}: "yellow", {true, false, true}: "magenta", {false, true, true}: "cyan"}[[3]bool{c.R > 0, c.G > 0, c.B > 0}]
			}
			pressed := false
			for _, it := range q.items {
				if it.text == want {
					e.press(it.press())
					pressed = true
					break
				}
			}
			require.True(t, pressed, "%q is not offered", want)
		}
		require.IsType(t, resultPage{}, e.m.page)
		assert.Equal(t, 59, e.concluded().result.Number)
		assert.Contains(t, strings.Join(e.concluded().text(e.m, 200), " "), `The last pixel that lights is pixel 23 of run "middle ring"`)
		assert.Equal(t, []show.Span{{First: 58, Last: 58}}, e.concluded().result.Here)
	}
}

func TestRollCallByTyping(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path)
	e.choose("Roll call")
	e.press("n", "1", "x", "4", "4", "enter")
	assert.Equal(t, 144, e.concluded().result.Number)
	assert.Contains(t, e.text(), "The count is 144, as planned.")
	e.press("esc")
	e.choose("Roll call")
	e.press("r", "c", "c", "c")
	assert.IsType(t, testPage{}, e.m.page, "a misreading begins again")
	assert.NotEmpty(t, e.m.note)
}

// The count of a prop of one run goes into its file.
func TestCountIntoThePlan(t *testing.T) {
	path := filepath.Join(t.TempDir(), "line.toml")
	require.NoError(t, os.WriteFile(path, []byte(prop.Template(prop.Answers{Name: "line"})), 0o644))
	p, _, err := prop.Load(path)
	require.NoError(t, err)
	e := begin(t, Options{}, p, path)
	e.choose("Roll call")
	e.press("n", "4", "7", "enter", "p")
	require.IsType(t, planPage{}, e.m.page, e.m.note)
	e.press("esc")
	require.IsType(t, resultPage{}, e.m.page)
	e.press("p", "enter")
	now, _, err := prop.Load(path)
	require.NoError(t, err)
	assert.Equal(t, 47, now.Pixels())

	p, path = onDisk(t, "porthole")
	e = begin(t, Options{}, p, path)
	e.choose("Roll call")
	e.press("n", "9", "enter", "p")
	assert.Contains(t, e.text(), "does not say in which run")
}

// With the supply off every reading is 0 V: the page says so instead of naming
// a place; a joint behind which there is none is named and marked.
func TestLoadTestWithoutVoltage(t *testing.T) {
	p, path := onDisk(t, "porthole")
	for _, row := range []struct {
		from int // pixels from here on have no voltage
		says string
		here []show.Span
	}{
		{0, "No voltage arrives: all ", nil},
		{36, `No voltage after the joint between "inner ring" and "middle ring"`, []show.Span{{First: 35, Last: 36}}},
	} {
		p.Feeds = p.Feeds[:1]
		e := begin(t, Options{}, p, path)
		e.choose("Load test")
		for on[testPage](e.m) {
			next, more := e.trial().trial.Test.(single.LoadTest).Next()
			require.True(t, more)
			volts := "0"
			if next.Pixel < row.from {
				volts = "4.9"
			}
			e.press("n", volts, "enter")
		}
		assert.Equal(t, "No voltage", e.concluded().result.Title)
		assert.Contains(t, strings.Join(e.concluded().text(e.m, 400), " "), row.says)
		assert.Equal(t, row.here, e.concluded().result.Here)
		all := entries(t, p, path)
		assert.Equal(t, record.Fail, all[len(all)-1].Verdict)
	}
}

// A reading is mended where it is wrong, not typed again; a paste is taken.
func TestLineIsMendedWithin(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path)
	e.choose("Load test")
	e.press("n")
	e.feed(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("5x.83\n"), Paste: true})
	assert.Equal(t, "5.83", e.m.page.(typingPage).line.String())
	before := e.m
	e.feed(tea.KeyMsg{Type: tea.KeyHome})
	e.feed(tea.KeyMsg{Type: tea.KeyDelete})
	e.press("4")
	assert.Equal(t, "4.83", e.m.page.(typingPage).line.String())
	assert.Equal(t, "5.83", before.page.(typingPage).line.String(), "an older page does not change")
	assert.Contains(t, e.text(), "4▏.83")
	e.press("enter")
	assert.InDelta(t, 4.83, e.trial().trial.Test.(single.LoadTest).Readings()[0].Volts, 1e-9)
	e.press("n", "-", "5", "enter")
	assert.Contains(t, e.text(), "tips are swapped")
}

// A finding of a wrong count offers the roll call, and so does the Light
// screen; what is under way is not thrown away for it.
func TestRollCallIsOfferedWhereACountIsOff(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path)
	ask := func() { e.feed(screen.GoMsg{Name: "Check", Count: true}) }
	e.press("o")
	assert.False(t, on[testPage](e.m), "nothing has been found")
	e.choose("Load test")
	e.press("n", "4", "enter")
	ask()
	assert.IsType(t, testPage{}, e.m.page)
	assert.Contains(t, e.m.note, "Finish this first")
	e.press("esc")
	ask()
	assert.IsType(t, testPage{}, e.m.page)
	assert.NotNil(t, e.out.last(t).Frames, "the first look is lit at once")
	e.press("esc")

	e.m.page, e.m.st.findings = findingPage{}, []checkout.Finding{{Title: "short", Causes: []checkout.Cause{{Faults: []strip.Fault{{Kind: strip.Count, N: -2}}}}}}
	assert.Contains(t, strings.Join(findingPage{}.text(e.m, 200), "\n"), "o begins a roll call: 144 pixels in 6 looks.")
	e.press("o")
	assert.IsType(t, testPage{}, e.m.page)
	e.press("esc")
	e.m.page, e.m.st.findings = findingPage{}, []checkout.Finding{{Title: "open", Causes: []checkout.Cause{{Faults: []strip.Fault{{Kind: strip.OpenJoint}}}}}}
	assert.NotContains(t, strings.Join(findingPage{}.text(e.m, 200), "\n"), "roll call")
	e.press("o")
	assert.IsType(t, findingPage{}, e.m.page)
}

// What a check-out has found stays to be seen after another test, unmarked by
// it; after one of a part alone it does not, since the test is of the whole.
func TestFindingsStayBesideAnotherTest(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path, strip.Fault{Kind: strip.Count, Run: 1, N: -2})
	e.choose("Begin a check-out")
	e.through()
	require.IsType(t, findingPage{}, e.m.page)
	found := e.findings()
	require.Contains(t, found, "fewer")
	e.press("o")
	require.IsType(t, testPage{}, e.m.page)
	for _, n := range e.m.scene().ranks()[1:] {
		require.Equal(t, ruledOut, n, "the roll call's drawing marks nothing that may be wrong")
	}
	e.press("n", "9", "6", "enter", "esc")
	e.choose("Flex test")
	e.press("1", "x", "esc")
	e.choose("See the findings once more")
	require.IsType(t, findingPage{}, e.m.page)
	assert.Equal(t, found, e.findings())
	assert.Nil(t, e.out.last(t).Frames, "dark: iron next")

	e = begin(t, Options{}, p, path)
	e.choose("Check one run or part alone")
	e.press("2")
	e.through()
	require.IsType(t, findingPage{}, e.m.page)
	e.press("esc")
	e.choose("Roll call")
	e.press("esc")
	assert.NotContains(t, e.text(), "findings once more")
}

func TestACountUpToEmptyPixelsIsWhole(t *testing.T) {
	p, path := onDisk(t, "porthole")
	p.Parts = []prop.Part{{Name: "stub", First: 142, Last: 143, Empty: true}}
	for typed, want := range map[string]string{
		"142": "The last planned pixel before those left empty lights, pixel 142 of 144.",
		"141": "The last pixel that lights is",
	} {
		e := begin(t, Options{}, p, path)
		e.choose("Roll call")
		e.press("n")
		e.press(strings.Split(typed, "")...)
		e.press("enter")
		assert.Contains(t, strings.Join(e.concluded().text(e.m, 200), " "), want)
	}
}
