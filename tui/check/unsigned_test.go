package check

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/record"
)

// neverOf are words that would pass a prop.
const neverOf = `(?i)close it up|lights right|copper is sound|sound, as far`

// saysSo checks that a page says something at all sizes before it is scrolled, in its large words
// too, and passes nothing.
func (e *evening) saysSo(t *testing.T, large, text string) {
	t.Helper()
	for _, size := range sizes {
		e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
		far := e.m.FarView()
		assert.Contains(t, far.Texts[0], large, "%v", size)
		assert.NotRegexp(t, neverOf, strings.Join(far.Texts, " "), "%v", size)
		view := ansi.Strip(e.m.View(size[0], rowsOf(size)))
		column := strings.Join(strings.Fields(cutColumn(view, e.m, far.Texts)), " ")
		assert.Contains(t, column, text, "%v:\n%s", size, view)
		assert.NotRegexp(t, neverOf, strings.ReplaceAll(column, "before you close it up", ""), "%v", size)
	}
}

// cutColumn is a view without the drawing beside its text.
func cutColumn(view string, m Model, large []string) string {
	room, _ := textRoom(m, true, large)
	lines := strings.Split(view, "\n")
	for i, l := range lines {
		r := []rune(l)
		lines[i] = string(r[:min(room, len(r))])
	}
	return strings.Join(lines, "\n")
}

// A prop that seems sound is not passed while a required look has no certain answer: the page
// says so, whatever else was measured, and the record holds no pass.
func TestNotSureSignsNothingOffOnThePage(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path)
	e.press("1")
	for n := 0; on[questionPage](e.m); n++ {
		require.Less(t, n, 60)
		if e.m.st.probe.Spec.Kind == checkout.AskSteady {
			e.press("0")
			continue
		}
		e.answer()
	}
	require.IsType(t, findingPage{}, e.m.page)
	require.True(t, e.m.st.findings[0].Good)
	e.saysSo(t, "Not signed off", "Not signed off: no certain answer to")
	for _, size := range sizes {
		e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
		assert.Contains(t, e.text(), "e shows your answers", "%v", size)
	}
	got := entries(t, p, path)
	require.NotEmpty(t, got)
	assert.Equal(t, record.Stopped, got[len(got)-1].Verdict)

	assert.False(t, e.m.FarView().Good)

	e.press("esc")
	e.choose("Load test")
	e.measured(t, p)
	assert.True(t, e.m.FarView().Good)
	require.Equal(t, "The copper is sound", e.concluded().result.Title)
	e.press("esc")
	e.choose("See the findings once more")
	e.saysSo(t, "Not signed off", "Not signed off: no certain answer to")
	assert.NotContains(t, e.findings(), "Not tried")
}

// Nor is it passed where an answer was taken back when the question was asked again, until that
// answer is changed.
func TestAnAnswerTakenBackSignsNothingOffOnThePage(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path)
	e.press("1")
	for n := 0; on[questionPage](e.m); n++ {
		require.Less(t, n, 60)
		if n > 0 {
			e.answer()
			continue
		}
		for _, a := range e.m.st.probe.Answers {
			if a.Sees == checkout.SeesNone {
				e.press(a.Press)
				break
			}
		}
	}
	require.IsType(t, findingPage{}, e.m.page)
	require.True(t, e.m.st.findings[0].Good)
	e.saysSo(t, "Not signed off", "question 1 has two answers")
	assert.False(t, e.m.FarView().Good)
	got := entries(t, p, path)
	require.NotEmpty(t, got)
	assert.Equal(t, record.Stopped, got[len(got)-1].Verdict)
}

// Left early, a check-out of a sound prop passes nothing.
func TestEndedEarlySignsNothingOffOnThePage(t *testing.T) {
	p, path := onDisk(t, "porthole")
	e := begin(t, Options{}, p, path)
	e.press("1")
	for n := 0; on[questionPage](e.m) && n < 5; n++ {
		e.answer()
	}
	require.True(t, on[questionPage](e.m))
	e.press("x")
	require.IsType(t, findingPage{}, e.m.page)
	for _, size := range sizes {
		e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
		assert.NotRegexp(t, neverOf, strings.Join(e.m.FarView().Texts, " "))
		assert.False(t, e.m.FarView().Good)
	}
}

// Readings that prove nothing, and a supply below what the chip wants, are no sound copper: the
// page says which, above the fold, and the record holds no pass.
func TestReadingsThatProveNothingOnThePage(t *testing.T) {
	for _, row := range []struct {
		large, text string
		as          func(n int, volts float64) float64
	}{
		{"Measure again", "The volts hardly fall", func(int, float64) float64 { return 5 }},
		{"Measure again", "Reading 6", func(n int, volts float64) float64 {
			if n == 5 {
				return volts - 0.5
			}
			return volts
		}},
		{"Supply too low", "The supply gives", func(_ int, volts float64) float64 { return volts * 0.75 }},
	} {
		t.Run(row.text, func(t *testing.T) {
			p, path := onDisk(t, "porthole")
			e := begin(t, Options{}, p, path)
			e.choose("Load test")
			e.read(t, p, row.as)
			require.IsType(t, resultPage{}, e.m.page)
			assert.False(t, e.concluded().result.Good)
			e.saysSo(t, row.large, row.text)
			assert.True(t, e.m.FarView().Bad)
			assert.False(t, e.m.FarView().Good)
			assert.False(t, e.m.st.measured)
			got := entries(t, p, path)
			require.Len(t, got, 1)
			assert.NotEqual(t, record.Pass, got[0].Verdict)
		})
	}
}
