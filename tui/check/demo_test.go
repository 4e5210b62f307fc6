package check

import (
	"math"
	"slices"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/screen"
)

// demo begins at the demo's bench, where the simulated prop can be taken apart.
func demoOf(t *testing.T, p *prop.Prop, faults ...strip.Fault) *evening {
	t.Helper()
	var e *evening
	lay := func(q *prop.Prop, run int) error {
		left := faults
		if run >= 0 {
			left = strip.Alone(p, run, q, faults)
		}
		var err error
		e.real, err = strip.New(q, left...)
		return err
	}
	e = begin(t, Options{Hidden: faults, Faulty: true, Lay: lay}, p, "", faults...)
	return e
}

// sent tells the screen what the show sent last, values as they go out.
func (e *evening) sent() {
	w := e.out.last(e.t)
	e.feed(screen.SnapshotMsg{Want: w, Sent: e.wire(), Level: w.Level})
}

// result is all that is said of what a test came to.
func (e *evening) result() string {
	return strings.Join(strings.Fields(strings.Join(e.concluded().text(e.m, 200), " ")), " ")
}

// concluded is the page of what a test came to.
func (e *evening) concluded() resultPage {
	e.t.Helper()
	require.IsType(e.t, resultPage{}, e.m.page)
	return e.m.page.(resultPage)
}

// trial is the test that is under way.
func (e *evening) trial() testPage {
	e.t.Helper()
	require.IsType(e.t, testPage{}, e.m.page)
	return e.m.page.(testPage)
}

// loadTest takes every reading of the demo's meter.
func (e *evening) loadTest() {
	e.t.Helper()
	e.choose("Load test")
	for n := 0; on[testPage](e.m); n++ {
		require.Less(e.t, n, 60)
		e.press("t")
		require.Equal(e.t, "The simulated meter is still being read.", e.m.note, "not before the light is there")
		e.sent()
		require.Contains(e.t, e.text(), "reading: "+e.m.demo.meter.text()+" V", "the answer that takes it")
		e.press("t")
		require.Empty(e.t, e.m.note)
	}
	require.IsType(e.t, resultPage{}, e.m.page)
}

// The demo's load test finds what was put into each joint, and finds a sound
// prop sound.
func TestDemoLoadTest(t *testing.T) {
	for _, row := range []struct {
		prop  *prop.Prop
		fault string
		marks []int // pixels the copper is marked at, from 0
	}{
		{prop.Porthole(), "", nil},
		{prop.Porthole(), "resistance run 2 by 1000", []int{35, 36}},
		{prop.Porthole(), "resistance run 3 by 1500", []int{83, 84}},
		{prop.Porthole(), "resistance run 1 by 300", []int{0}},
		{prop.Pennant(), "", nil},
		{prop.Pennant(), "resistance run 2 by 800", []int{95, 96}},
		{prop.Pennant(), "resistance run 1 by 300", []int{0}},
	} {
		t.Run(row.prop.Name+" "+row.fault, func(t *testing.T) {
			var faults []strip.Fault
			if row.fault != "" {
				faults = append(faults, faultOf(t, row.prop, row.fault))
			}
			e := demoOf(t, row.prop, faults...)
			e.loadTest()
			text := e.result()
			if row.fault == "" {
				assert.Equal(t, "The copper is sound", e.concluded().result.Title, text)
				assert.Contains(t, text, "Found to be sound, and it is.")
				assert.Empty(t, e.concluded().result.Here)
				return
			}
			assert.Contains(t, text, "The demo's secret "+faults[0].Sentence(row.prop)+" Found.")
			var at []int
			for _, sp := range e.concluded().result.Here {
				for i := sp.First; i <= sp.Last; i++ {
					at = append(at, i)
				}
			}
			assert.Equal(t, row.marks, at)
			e.feed(tea.WindowSizeMsg{Width: 80, Height: 21})
			assert.Contains(t, e.text(), "× here")
		})
	}
}

// The meter reads nothing of an old light, and a reading can still be typed.
func TestDemoMeterKnowsItsLight(t *testing.T) {
	e := demoOf(t, prop.Porthole())
	e.choose("Load test")
	e.sent()
	first := e.m.demo.meter
	require.True(t, first.known)
	e.press("+")
	e.feed(screen.SnapshotMsg{Want: e.out.wants[len(e.out.wants)-2], Sent: make(patterns.Frame, 144)})
	assert.False(t, e.m.demo.meter.known, "that was another level")
	e.sent()
	assert.Less(t, e.m.demo.meter.volts, first.volts)
	e.press("n")
	require.True(t, e.m.Typing())
	e.press("4", ".", "9", "enter")
	assert.Contains(t, e.text(), "reading 2 of")
}

// At a real prop there is no such meter.
func TestNoMeterButOnesOwn(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path)
	e.choose("Load test")
	e.sent()
	e.press("t")
	assert.Contains(t, e.m.note, "type what yours reads")
	e.press("up")
	assert.NotContains(t, e.text(), "demo")
}

// What takes a voltmeter is not given away by a check-out that can't find it.
func TestSecretForTheMeter(t *testing.T) {
	p := prop.Porthole()
	e := demoOf(t, p, faultOf(t, p, "resistance run 2 by 400"))
	e.choose("Begin a check-out")
	e.through()
	assert.Contains(t, e.findings(), "Go through the load test")
	assert.NotContains(t, e.findings(), "0.40 Ω")
	e.press("esc")
	e.loadTest()
	assert.Contains(t, e.result(), "0.40 Ω too much")
}

// One run by itself lies on the simulated bench alone, with what is wrong with
// it; leaving the screen puts the whole prop back.
func TestDemoRunAlone(t *testing.T) {
	p := prop.Porthole()
	e := demoOf(t, p, faultOf(t, p, "dead-stop pixel 50"))
	e.choose("Check one run or part alone")
	e.press("2")
	require.Len(t, e.real.Prop().Runs, 1)
	assert.Equal(t, "dead-stop pixel 14", e.real.Faults()[0].String())
	e.feed(screen.LeaveMsg{})
	require.Len(t, e.real.Prop().Runs, 3, "the light screen shows all of it")
	e.feed(screen.EnterMsg{})
	require.Len(t, e.real.Prop().Runs, 1)
	e.feed(screen.LightMsg{Light: e.real.Light(e.light())})
	assert.Equal(t, e.real.Light(e.light()), lit(e.m))
	e.through()
	assert.Contains(t, e.findings(), "50 of the prop")
	assert.Contains(t, e.findings(), "Found")
	e.press("esc")
	require.Len(t, e.real.Prop().Runs, 3)

	e.choose("Check one run or part alone")
	e.press("3")
	e.through()
	assert.Equal(t, "This part lights right", e.m.st.verdict(e.m.of.sub)[0])
	assert.Contains(t, e.findings(), "it does not show here. Found to be sound, and it is.")
	assert.NotContains(t, e.findings(), "50 of the prop", "the secret is kept for the right part")
}

// A part of the finished prop is checked in place: its light is cut out of that
// of the whole.
func TestDemoPartInPlace(t *testing.T) {
	p := prop.Porthole()
	e := demoOf(t, p, faultOf(t, p, "dead-pixel pixel 50"))
	e.choose("Check one run or part alone")
	e.press("5") // the middle ring, in the finished prop
	whole := e.real
	require.Len(t, whole.Prop().Runs, 3)
	n := 0
	for ; on[questionPage](e.m); n++ {
		require.Less(t, n, 60)
		e.real = whole
		e.feed(screen.LightMsg{Light: whole.Light(whole.Lay(e.wire()).Slots())})
		require.Len(t, lit(e.m), 1)
		require.Len(t, lit(e.m)[0], 48)
		e.real, _ = strip.New(e.m.of.sub, faultOf(t, e.m.of.sub, "dead-pixel pixel 14"))
		assert.Equal(t, e.real.Light(e.light()), lit(e.m), "as a part of its own would show it")
		e.answer()
	}
	require.IsType(t, findingPage{}, e.m.page)
	assert.Contains(t, e.findings(), "Found as far as this part tells")

	e = demoOf(t, p, faultOf(t, p, "dead-pixel pixel 144"))
	e.choose("Check one run or part alone")
	e.press("5")
	e.real, _ = strip.New(e.m.of.sub)
	e.through()
	assert.Contains(t, e.findings(), "it does not show here. Found to be sound, and it is.")
}

// wire is the frame for all of the prop as it goes out.
func (e *evening) wire() patterns.Frame {
	w := e.out.last(e.t)
	f := w.Frames(nil, e.m.bench.prop.Pixels(), 0)
	for i, c := range f {
		for ch := range patterns.Channel(patterns.NumChannels) {
			f[i] = f[i].With(ch, uint8(math.Round(float64(c.Get(ch))*w.Level)))
		}
	}
	return f
}

// A part's light ends with its last pixel, or with its run where pixels are too
// many or missing.
func TestCut(t *testing.T) {
	p := prop.Porthole()
	l := strip.Light{make([]patterns.Colour, 36), make([]patterns.Colour, 50), make([]patterns.Colour, 20)}
	sizes := func(l strip.Light) (out []int) {
		for _, r := range l {
			out = append(out, len(r))
		}
		return out
	}
	assert.Equal(t, []int{50}, sizes(cut(p, l, 36, 83)))
	assert.Equal(t, []int{10}, sizes(cut(p, l, 40, 49)))
	assert.Equal(t, []int{5}, sizes(cut(p, l, 99, 128)), "15 to 44 of 20")
	assert.Equal(t, []int{1, 50, 1}, sizes(cut(p, l, 35, 84)))
	assert.Equal(t, []int{0}, sizes(cut(p, l, 124, 128)))
}

// A page that is cut uses all its rows, but does not end with a heading.
func TestPagesAreNotCutBelowAHeading(t *testing.T) {
	lines := []string{"a", "b", "", "Head", "c", "d", "e", "f", "g", "h"}
	for height, want := range map[int]string{7: "d", 6: "c", 5: "", 4: "", 3: "b"} {
		got := scrolled(styles(termenv.Ascii), lines, cuts{}, 0, 40, height)
		at := slices.IndexFunc(got, func(l string) bool { return strings.Contains(l, "… more below: ↓") })
		require.Positive(t, at, "%q", got)
		assert.Equal(t, want, strings.TrimSpace(got[at-1]), "%d rows", height)
		assert.GreaterOrEqual(t, at, height-2, "%d rows", height)
	}
	all := strings.Join(scrolled(styles(termenv.Ascii), lines, cuts{}, 0, 40, 10), "")
	assert.NotContains(t, all, "more below", "all of it has room")
}

// Where no place is named, no figures are given for one; where next to nothing
// flows, no ohms are.
func TestLoadTestSaysNoMoreThanItKnows(t *testing.T) {
	p := prop.Pennant()
	for _, row := range []struct{ fault, title, says, not string }{
		{"sag by 1500", "No one place fits", "The readings show it", "in 100"},
		{"resistance run 1 by 1000000", "Resistance found", `as good as open in feed "hoist"`, "About"},
		{"open-joint pixel 10", "", "It is nothing in the copper of joints and feeds", ""},
	} {
		e := demoOf(t, p, faultOf(t, p, row.fault))
		e.loadTest()
		if row.title != "" {
			assert.Equal(t, row.title, e.concluded().result.Title)
		}
		assert.Contains(t, e.result(), row.says)
		if row.not != "" {
			assert.NotContains(t, e.result(), row.not)
		}
	}
}

func TestMetered(t *testing.T) {
	p := prop.Porthole()
	f := faultOf(t, p, "resistance run 2 by 1000")
	fit := power.FitResult{Verdict: power.FitCantTell, Suspects: []power.Suspect{{Run: 2, Weight: 0.6}, {Run: 1, Weight: 0.4}}}
	_, verdict := metered(p, fit, []strip.Fault{f})
	assert.Equal(t, "It is on the short list.", verdict)
	fit.Suspects[1].Weight = 0
	_, verdict = metered(p, fit, []strip.Fault{f})
	assert.Equal(t, "It was not found.", verdict)
	put, _ := metered(p, fit, []strip.Fault{{Kind: strip.DeadPixel}})
	assert.Contains(t, put, "the check-out finds it")
}

// A demoRow is a demo's test played to its end: the hidden fault, empty for
// none, the keys, and what the result says; nothing of the secret when empty.
type demoRow struct {
	fault string
	keys  []string
	want  string
}

func playDemo(t *testing.T, p *prop.Prop, test string, rows []demoRow) {
	t.Helper()
	for _, row := range rows {
		var faults []strip.Fault
		if row.fault != "" {
			faults = append(faults, faultOf(t, p, row.fault))
		}
		e := demoOf(t, p, faults...)
		e.choose(test)
		e.press(row.keys...)
		require.IsType(t, resultPage{}, e.m.page)
		if row.want == "" {
			assert.NotContains(t, e.result(), "secret")
			continue
		}
		assert.Contains(t, e.result(), row.want)
	}
}

func TestDemoFlexTest(t *testing.T) {
	p := prop.Porthole()
	playDemo(t, p, "Flex test", []demoRow{
		{"flicker pixel 37", []string{"1", "2", "1"}, "(37 of the prop) on. Found."},
		{"flicker pixel 37", []string{"1", "1", "2"}, "It was not found."},
		{"flicker pixel 37", []string{"1", "1", "0"}, ""},
		{"flicker pixel 40", []string{"1", "1", "1"}, "It is nothing that bending a joint shows"},
		{"", []string{"1", "1", "1"}, "Nothing was put into this prop. Found to be sound, and it is."},
	})
}

func TestDemoBulb(t *testing.T) {
	p := prop.BuoyLamp()
	playDemo(t, p, "Check of the bulb", []demoRow{
		{"wrong-order order GRBW", []string{"g", "r", "b", "w", "1", "1", "1", "4"}, "GRBW instead of RGBW. Found."},
		{"wrong-order order GRBW", []string{"r", "g", "b", "w", "1", "1", "1", "4"}, "It was not found."},
		{"wrong-order order GRBW", []string{"g", "r", "x"}, ""},
		{"", []string{"r", "g", "b", "w", "1", "1", "1", "4"}, "Nothing was put into this prop. Found to be sound, and it is."},
	})
}
