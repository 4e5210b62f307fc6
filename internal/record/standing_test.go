package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

func on(days int, test, only string, v Verdict, open ...string) Entry {
	e := Entry{Kind: "check-out", At: evening.AddDate(0, 0, days), Prop: "Porthole", Test: test, Only: only, Verdict: v}
	for _, text := range open {
		e.Findings = append(e.Findings, Finding{Kind: "x", Text: text, Bring: []string{"solder"}})
	}
	return e
}

// A load test that passes does not make a prop good whose check-out failed, and
// a failed one does not vanish behind a check-out that passes.
func TestSingleTestsStandBesideTheCheckOut(t *testing.T) {
	h := History{Entries: []Entry{
		on(0, "", "", Fail, "dark from 37 on"), on(1, LoadTest, "", Pass), on(2, RunTest, "inner ring", Pass),
	}}
	last, ok := h.Last()
	require.True(t, ok)
	assert.Equal(t, Fail, last.Verdict)
	assert.Equal(t, []string{"left to mend since 25 November 2026: dark from 37 on"}, h.Due("", evening))
	assert.Equal(t, "failed", StandingOf("f", "n", "", h, evening).Word())
	h.Entries[0].PropFile = "a"
	assert.False(t, StandingOf("f", "n", "a", h, evening).Changed)
	assert.True(t, StandingOf("f", "n", "b", h, evening).Changed)
	h.Entries[0].PropFile = ""

	h.Entries = append(h.Entries, on(3, LoadTest, "", Fail, "0.4 ohm too much"), on(4, "", "", Pass))
	assert.Equal(t, []string{"load test of 28 November 2026: 0.4 ohm too much"}, h.Due("", evening.AddDate(0, 0, 4)))
	s := StandingOf("f", "Porthole", "", h, evening)
	assert.Equal(t, "failed", s.Word())
	assert.Equal(t, []string{"solder (Porthole)"}, ToBring([]Standing{s}))
	require.Len(t, h.Tests(), 1, "the whole prop was checked out after the run alone")

	h.Entries = append(h.Entries, on(5, LoadTest, "", Pass))
	assert.Empty(t, h.Due("", evening.AddDate(0, 0, 6)))

	alone := History{Entries: []Entry{on(0, RunTest, "inner ring", Fail, "dark"), on(1, RunTest, "tail", Pass)}}
	assert.Equal(t, []string{"a first check-out", "check-out of inner ring alone of 25 November 2026: dark"}, alone.Due("", evening))
	assert.Len(t, alone.Tests(), 2)
}

func TestLastPairIsOfOneKind(t *testing.T) {
	for _, row := range []struct {
		name string
		in   []Entry
		want []int
	}{
		{"none", nil, nil},
		{"one", []Entry{on(0, "", "", Pass)}, nil},
		{"two", []Entry{on(0, "", "", Pass), {Kind: "note"}, on(1, "", "", Fail)}, []int{0, 2}},
		{"load tests", []Entry{on(0, LoadTest, "", Pass), on(1, "", "", Pass), on(2, "", "", Pass), on(3, LoadTest, "", Fail)}, []int{0, 3}},
		{"a load test alone", []Entry{on(0, "", "", Pass), on(1, "", "", Pass), on(2, LoadTest, "", Pass)}, []int{0, 1}},
		{"runs are not mixed", []Entry{on(0, RunTest, "a", Pass), on(1, RunTest, "b", Pass)}, nil},
	} {
		t.Run(row.name, func(t *testing.T) {
			assert.Equal(t, row.want, History{Entries: row.in}.LastPair())
			_, _, err := History{Entries: row.in}.LastTwo()
			assert.Equal(t, row.want == nil, err != nil)
		})
	}
}

func TestSheetTellsTheSingleTests(t *testing.T) {
	load := on(1, LoadTest, "", Fail, "0.4 ohm too much")
	load.Joints = []Joint{{"middle ring to outer ring", 0.4, 0.04}}
	load.Volts = []Reading{{85, 0.25, 4.7}, {85, 0.5, 4.4}, {144, 0.5, 4.2}}
	md := page(t, prop.Porthole(), on(0, "", "", Pass), load).Markdown()
	assert.Contains(t, md, "Passed its check-out on 25 November 2026.\n\n- load test of 26 November 2026: fail\n- open: 0.4 ohm too much\n"+
		"- joints as estimated: J3 middle ring to outer ring 0.40 ± 0.04 Ω\n- measured: 4.40 V at pixel 85, level 50 %")
	assert.NotContains(t, md, "level 25 %", "of each pixel the reading at the highest level")
	ended := on(1, "", "", Stopped, "dark from 37 on", "a run is turned")
	for i, sure := range []float64{0.4, 0.3} {
		ended.Findings[i].Sure = sure
	}
	assert.Equal(t, "check-out: stopped, 2 not ruled out", ended.Headline(), "what is only possible is not to be mended")
	ended.Findings[0].Sure = 0.97
	assert.Equal(t, "check-out: stopped, 2 left to mend", ended.Headline())
	assert.Equal(t, "load test: fail, 1 left to mend", load.Headline())
	assert.Equal(t, "check-out of tail alone: pass", on(0, RunTest, "tail", Pass).Headline())
}

// A clock set years ahead must not hide what is open.
func TestClockAheadStillDue(t *testing.T) {
	h := History{Entries: []Entry{on(4000, "", "", Fail, "dark")}}
	assert.Len(t, h.Due("", evening.Add(-time.Hour)), 1)
}

// Each part is there once, in the order met, with every prop that needs it once.
func TestToBringNamesEachPartOnce(t *testing.T) {
	needs := func(name string, parts ...[]string) Standing {
		s := Standing{Name: name}
		for _, p := range parts {
			s.Last.Findings = append(s.Last.Findings, Finding{Kind: "x", Bring: p})
		}
		s.Last.Findings = append(s.Last.Findings, Finding{Kind: "x", Fixed: true, Bring: []string{"nothing"}})
		return s
	}
	assert.Equal(t, []string{"solder (Porthole, Pennant)", "lead (Porthole)", "fuse (Pennant)"}, ToBring([]Standing{
		needs("Porthole", []string{"solder", "lead"}, []string{"solder"}), needs("Pennant", []string{"fuse", "solder"})}))
	assert.Empty(t, ToBring(nil))
}
