package check

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
)

// A check-out under way is laid aside when something else begins, not thrown
// away: neither in memory nor on disk, where the record of another test must
// not take it for done.
func TestAnotherTestLaysTheCheckOutAside(t *testing.T) {
	for _, row := range []struct {
		line string
		keys []string
	}{
		{"Flex test", []string{"1", "1", "1", "esc"}},
		{"Load test", []string{"x", "esc"}},
		{"Roll call", []string{"n", "9", "enter", "esc"}},
	} {
		t.Run(row.line, func(t *testing.T) {
			p, path := onDisk(t, "porthole")
			e := begin(t, Options{}, p, path, faultOf(t, p, "open-joint pixel 100"))
			e.press("1")
			e.answer()
			e.answer()
			before := e.m.st.probe.Question
			e.press("esc")
			e.choose(row.line)
			e.press(row.keys...)
			require.IsType(t, startPage{}, e.m.page)
			_, err := os.Stat(record.UnfinishedBeside(path))
			require.NoError(t, err, "it still lies on disk")
			e.choose("Take up the unfinished check-out: 2 answers")
			require.IsType(t, questionPage{}, e.m.page)
			assert.Equal(t, before, e.m.st.probe.Question)
			e.through()
			assert.Contains(t, e.findings(), "100 of the prop")
			_, err = os.Stat(record.UnfinishedBeside(path))
			assert.ErrorIs(t, err, os.ErrNotExist, "now it is done")
			e.press("esc")
			assert.NotContains(t, e.text(), "Take up")
		})
	}
}

// In the demo nothing is on disk, and a part goes on as the part it is.
func TestDemoLaysAPartAside(t *testing.T) {
	p := prop.Porthole()
	e := demoOf(t, p, faultOf(t, p, "dead-stop pixel 50"))
	e.choose("Check one run or part alone")
	e.press("2")
	e.answer()
	e.press("esc")
	e.choose("Roll call")
	require.Len(t, e.real.Prop().Runs, 3)
	e.press("esc")
	assert.Contains(t, e.text(), "Take up the unfinished check-out of middle")
	e.choose("Take up")
	require.Len(t, e.real.Prop().Runs, 1, "the run lies on the bench again")
	e.through()
	assert.Contains(t, e.findings(), "Found")
	e.press("esc")
	assert.NotContains(t, e.text(), "Take up")
}
