package record

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/prop"
)

// Everything in an entry has its own heading. What it lacks is named once; missing notes
// are not.
func TestSectionsOfAnEntry(t *testing.T) {
	e := busy()
	e.Steps = []Step{{Question: "How many light up?", Answer: "36"}}
	var heads []string
	for _, s := range e.Sections() {
		heads = append(heads, s.Head)
	}
	assert.Equal(t, []string{"Findings", "Runs as found", "Colour order", "Joints", "Volts", "Notes", "Questions and answers"}, heads)
	assert.Equal(t, []string{"inner ring: 35 pixels found, 36 planned, travel reversed", "middle ring: 48 pixels, as planned, travel as planned"}, e.runLines(), "the outer ring was not checked")
	assert.Equal(t, []string{"inner ring to middle ring: 0.05 ± 0.01 Ω", "middle ring to outer ring: 0.38 Ω"}, e.jointLines())
	assert.Equal(t, "at pixel 144, level 100 %: 4.32 V", e.voltLines()[0])
	assert.Equal(t, "at pixel 72, level 50 %: 4.80 V", e.voltLines()[1])
	assert.Equal(t, []string{"1. How many light up? 36"}, e.stepLines())
	bare := Entry{Kind: "check-out", Verdict: Pass}
	assert.Equal(t, []Section{{"Not in this record", []string{"findings, runs as found, colour order, joints, volts, questions and answers"}}}, bare.Sections())
	assert.Equal(t, []Section{{"Note", []string{"a", "b"}}}, Entry{Kind: "note", Notes: "a\nb"}.Sections())
	one := Entry{Kind: "check-out", Runs: []Run{{Name: "a", Planned: 5, Travel: "as planned"}, {Name: "b", Planned: 1, Found: 1}}}
	assert.Equal(t, []string{"a: 5 pixels planned, not counted, travel as planned", "b: 1 pixel, as planned, travel not checked"}, one.runLines())
	whole := e.WholeText()
	assert.Contains(t, whole, "\nVolts\n  at pixel 144")
	assert.NotContains(t, whole, "written by")
	e.Ringout = "1.2.3"
	assert.Contains(t, e.WholeText(), "\nwritten by ringout 1.2.3\n")
}

// Remedies, parts and reasons stand below the finding that they are for, unless
// it was mended or all is good.
func TestFindingsAtLength(t *testing.T) {
	f := Finding{Kind: "open-joint", Text: "dark from pixel 37 on", Certainty: "certain, 99 %", Sure: 0.99, Remedy: []string{"reflow", "replace"}, Bring: []string{"solder", "iron"}, Because: []string{"36 lit"}}
	e := Entry{Findings: []Finding{f}}
	assert.Equal(t, []string{"dark from pixel 37 on (certain, 99 %)", "  Power off first.", "  try 1: reflow", "  try 2: replace", "  bring: solder, iron", "  because: 36 lit"}, e.findingLines())
	e.Findings[0].Bring = []string{"iron"}
	assert.Contains(t, e.findingLines(), "  bring: iron", "the only part too")
	e.Findings[0].Fixed = true
	assert.Equal(t, []string{"dark from pixel 37 on (mended) (certain, 99 %)"}, e.findingLines())
	e.Findings[0].Fixed, e.Findings[0].Kind = false, "good"
	assert.Len(t, e.findingLines(), 1)
	for sure, want := range map[float64]string{0: "x", 0.4: "x (possible, 40 %)", 0.994: "x (very likely, 99 %)", 0.995: "x", 1: "x"} {
		assert.Equal(t, want, Entry{Findings: []Finding{{Kind: "dark", Text: "x", Sure: sure}}}.findingLines()[0])
	}
	none := Entry{Findings: []Finding{{Kind: "dark", Text: "x"}}}
	assert.Equal(t, []string{"x"}, none.findingLines(), "no parts, no line for them")
}

// Side by side, two entries are in columns with every value that either has.
func TestSideBySideAndChanges(t *testing.T) {
	from, to := busy(), busy()
	from.Steps = []Step{{}, {}}
	to.Runs, to.Order, to.At = []Run{{"inner ring", 36, 36, ""}, {"new", 3, 0, "reversed"}}, "", evening.Add(time.Hour)
	to.Joints, to.Volts = nil, []Reading{{144, 1, 4.3}, {144, 0.5, 4.9}}
	pairs := map[string]Pair{}
	for _, p := range SideBySide(from, to) {
		_, twice := pairs[p.What]
		assert.False(t, twice, p.What)
		pairs[p.What] = p
	}
	for _, want := range []Pair{{"answers", "2", "0"}, {"left to mend", "0", "0"}, {"colour order", "GRB", notChecked}, {"run inner ring, pixels", "35, reversed", "36"}, {"run middle ring, pixels", "48, as planned", notChecked},
		{"run new, pixels", notChecked, "not counted, reversed"}, {"joint inner ring to middle ring", "0.05 ± 0.01 Ω", notChecked}, {"at pixel 144, level 100 %", "4.32 V", "4.30 V"}, {"at pixel 144, level 50 %", notChecked, "4.90 V"}} {
		assert.Equal(t, want, pairs[want.What])
	}
	assert.NotContains(t, pairs, "run outer ring, pixels", "neither counted it")
	text := CompareText(from, to)
	column := -1
	_, table, _ := strings.Cut(text, "Side by side:\n")
	for l := range strings.Lines(table) {
		at := strings.Index(l, notChecked)
		if strings.HasPrefix(l, "  run new") || strings.HasPrefix(l, "  at pixel 144, level 50") {
			if column >= 0 {
				assert.Equal(t, column, at, l)
			}
			column = at
		}
	}
	assert.Positive(t, column)
	assert.NotContains(t, text, "nothing changed")
	assert.NotContains(t, text, "The prop file")
	same := CompareText(from, from)
	assert.Contains(t, same, "nothing changed in what both of them checked")
	assert.Contains(t, CompareText(Entry{At: evening, Verdict: Pass}, Entry{At: evening, Verdict: Fail}), "\n! verdict: pass to fail")
	assert.Contains(t, CompareText(Entry{At: evening, Verdict: Fail}, Entry{At: evening, Verdict: Pass}), "\n  verdict: fail to pass")
	a, b := Entry{PropFile: "x = 1\ny = 2\n"}, Entry{PropFile: "x = 1\ny = 3\n"}
	assert.Equal(t, []string{"y: 2 before, 3 after"}, PropChanges(a, b))
	assert.Contains(t, CompareText(a, b), "\nIn the prop file:\n  y: 2 before, 3 after\n")
	assert.Empty(t, PropChanges(a, Entry{}))
	assert.Empty(t, PropChanges(Entry{}, b))
}

// What counts as a change: more than two standard deviations of the difference,
// 0.02 Ω at least, or 0.05 V at one pixel and one level.
func TestWhatIsAChange(t *testing.T) {
	joint := func(a, b, pm float64) int {
		return len(Compare(Entry{Joints: []Joint{{"x", a, pm}}}, Entry{Joints: []Joint{{"x", b, pm}}}))
	}
	assert.Zero(t, joint(0.10, 0.119, 0))
	assert.Equal(t, 1, joint(0.10, 0.121, 0))
	assert.Zero(t, joint(0.10, 0.38, 0.1), "2 x 0.1 x root 2 is 0.283")
	assert.Equal(t, 1, joint(0.10, 0.384, 0.1))
	assert.Equal(t, 1, joint(0.384, 0.10, 0.1))
	volts := func(a, b Reading) []Change { return Compare(Entry{Volts: []Reading{a}}, Entry{Volts: []Reading{b}}) }
	assert.Empty(t, volts(Reading{7, 1, 4.50}, Reading{7, 1, 4.549}))
	assert.True(t, volts(Reading{7, 1, 4.50}, Reading{7, 1, 4.449})[0].Worse)
	assert.False(t, volts(Reading{7, 1, 4.50}, Reading{7, 1, 4.551})[0].Worse)
	assert.Empty(t, volts(Reading{7, 1, 4.50}, Reading{8, 1, 3}))
	assert.Empty(t, volts(Reading{7, 0, 4.50}, Reading{7, 0.005, 3}), "0 % and 1 % are two levels")
	assert.Empty(t, volts(Reading{7, 1, 4.50}, Reading{7, 0.994, 3}))
	assert.NotEmpty(t, volts(Reading{7, 1, 4.50}, Reading{7, 0.996, 3}))
	runs := func(a, b []Run) (out []string) { return texts(Compare(Entry{At: evening, Runs: a}, Entry{Runs: b})) }
	since := " since 25 November 2026"
	assert.Equal(t, []string{`  run "b" is new` + since, `  run "a" is gone` + since}, runs([]Run{{"a", 1, 1, ""}}, []Run{{"b", 1, 1, ""}}))
	assert.Empty(t, runs([]Run{{"a", 1, 1, ""}}, nil), "the later one checked no run")
	assert.Equal(t, []string{`  run "a": 1 to 2 pixels` + since}, runs([]Run{{"a", 9, 1, "x"}}, []Run{{"a", 9, 2, ""}}))
	assert.Equal(t, []string{`! run "a": 2 to 1 pixels` + since}, runs([]Run{{"a", 9, 2, ""}}, []Run{{"a", 9, 1, "x"}}))
	assert.Equal(t, []string{`  run "a": travel reversed to as planned` + since}, runs([]Run{{"a", 9, 0, "reversed"}}, []Run{{"a", 9, 3, "as planned"}}))
	assert.Empty(t, Compare(Entry{Verdict: Pass}, Entry{}))
	assert.Empty(t, Compare(Entry{}, Entry{Verdict: Pass, Order: "RGB"}))
	assert.Equal(t, []string{"! colour order: GRB to RGB since 1 January 0001"}, texts(Compare(Entry{Order: "GRB"}, Entry{Order: "RGB"})))
	f := func(kind, run string, pixel int, channel string) Entry {
		return Entry{Findings: []Finding{{Kind: kind, Run: run, Pixel: pixel, Channel: channel, Text: "t"}}}
	}
	a := f("dead", "a", 1, "blue")
	for _, b := range []Entry{f("dark", "a", 1, "blue"), f("dead", "b", 1, "blue"), f("dead", "a", 2, "blue"), f("dead", "a", 1, "red")} {
		assert.Len(t, Compare(a, b), 2, "one new, one gone")
	}
	assert.Len(t, Compare(a, a), 1)
}

// A season is 300 days; a file that was not kept has not changed.
func TestDueAtItsEdges(t *testing.T) {
	due := func(e Entry, file string, now time.Time) []string {
		e.Kind = "check-out"
		return History{Entries: []Entry{e}}.Due(file, now)
	}
	last := Entry{At: evening, Verdict: Pass}
	assert.Empty(t, due(last, "", evening.Add(300*24*time.Hour)))
	assert.Len(t, due(last, "", evening.Add(300*24*time.Hour+1)), 1)
	last.PropFile = "a"
	assert.Empty(t, due(last, "", evening))
	assert.Empty(t, due(last, "a", evening))
	assert.Len(t, due(last, "b", evening), 1)
	last.PropFile = ""
	assert.Empty(t, due(last, "b", evening))
	assert.Equal(t, []string{"the last check-out did not pass"}, due(Entry{At: evening, Verdict: Fail}, "", evening))
	flex := Entry{Kind: "check-out", Test: FlexTest, At: evening, Verdict: Fail}
	h := History{Entries: []Entry{{Kind: "check-out", At: evening, Verdict: Pass}, flex}}
	assert.Equal(t, []string{"flex test of 25 November 2026 did not pass"}, h.Due("", evening))
	h.Entries[1].Findings = []Finding{{Kind: "loose", Text: "J1 is loose"}}
	assert.Equal(t, []string{"flex test of 25 November 2026: J1 is loose"}, h.Due("", evening))
	h.Entries[1].Verdict = Pass
	assert.Empty(t, h.Due("", evening))
}

// Two of a kind collide only when part, place and test are all the same; what
// is on disk comes back as it went.
func TestUnfinishedOnDisk(t *testing.T) {
	a := UnfinishedCheck{Run: "x", Alone: true, InPlace: true, Test: single.Kind("flex")}
	assert.True(t, a.Same(a))
	for _, change := range []func(*UnfinishedCheck){func(u *UnfinishedCheck) { u.Run = "y" }, func(u *UnfinishedCheck) { u.Alone = false }, func(u *UnfinishedCheck) { u.InPlace = false }, func(u *UnfinishedCheck) { u.Test = "" }} {
		b := a
		change(&b)
		assert.False(t, a.Same(b))
		assert.False(t, b.Same(a))
	}
	path := filepath.Join(t.TempDir(), "x.check.json")
	none, err := ReadUnfinished(path)
	require.NoError(t, err)
	assert.Empty(t, none)
	a.Replies = make([]single.Reply, 2)
	b := UnfinishedCheck{Run: "y", Log: checkout.Log{Steps: make([]checkout.Entry, 3)}}
	assert.Equal(t, []int{2, 3}, []int{a.Answers(), b.Answers()})
	require.NoError(t, WriteUnfinished(path, []UnfinishedCheck{a, b}))
	back, err := ReadUnfinished(path)
	require.NoError(t, err)
	require.Len(t, back, 2)
	assert.True(t, back[0].Same(a) && back[1].Same(b))
	require.NoError(t, WriteUnfinished(path, nil))
	_, err = os.Stat(path)
	assert.ErrorIs(t, err, os.ErrNotExist)
	require.NoError(t, WriteUnfinished(path, nil), "nothing to remove is no trouble")
	require.Error(t, WriteUnfinished(filepath.Dir(t.TempDir()), nil), "a folder with something in it is not removed")
	for text, want := range map[string]int{`{"version": 3, "unfinished": []}`: -1, `{"version": 2, "unfinished": [{"run": "a"}]}`: 1, `{"run": "a", "test": "flex", "replies": [{}]}`: 1, `{"run": "a"}`: 0, `x`: -1} {
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		back, err := ReadUnfinished(path)
		assert.Equal(t, want < 0, err != nil, text)
		if want >= 0 {
			assert.Len(t, back, want, text)
		}
	}
	assert.Equal(t, "a/porthole.check.json", UnfinishedBeside("a/porthole.toml"))
}

// The season's page lists each prop with its state, then what is open or due.
func TestWordsOfAStanding(t *testing.T) {
	last := func(v Verdict) Entry { return Entry{Kind: "check-out", At: evening, Verdict: v} }
	failed := Entry{Kind: "check-out", Test: FlexTest, Verdict: Fail}
	for want, s := range map[string]Standing{"not checked": {}, "passed": {Checked: true, Last: last(Pass)}, "failed": {Checked: true, Last: last(Fail)}, "stopped half-way": {Checked: true, Last: last(Stopped)},
		"passed, due again": {Checked: true, Last: last(Pass), Due: []string{"x"}}, "can't be read": {Err: fmt.Errorf("no"), Checked: true, Last: last(Pass)}} {
		assert.Equal(t, want, s.Word())
	}
	assert.Equal(t, "failed", Standing{Checked: true, Last: last(Pass), Tests: []Entry{failed}}.Word())
	passed := failed
	passed.Verdict = Pass
	assert.Equal(t, "passed", Standing{Checked: true, Last: last(Pass), Tests: []Entry{passed}}.Word())
	assert.Equal(t, "stopped half-way", Standing{Checked: true, Last: last(Stopped), Tests: []Entry{failed}, Due: []string{"x"}}.Word())
	s := Standing{Name: "Pennant", File: "p.toml", Checked: true, Last: last(Fail), Due: []string{"open"}}
	s.Last.Findings = []Finding{{Kind: "dark", Text: "x"}, {Kind: "dark", Text: "y", Remedy: []string{"reflow", "replace"}, Bring: []string{"iron"}}, {Kind: "good"}, {Kind: "dark", Fixed: true, Remedy: []string{"never"}}}
	assert.Equal(t, []string{"open", "first try: power off, then reflow"}, s.lines())
	s.Last.Findings[1].Remedy = []string{"reflow"}
	assert.Equal(t, []string{"open", "first try: power off, then reflow"}, s.lines(), "the only remedy too")
	text := Overview([]Standing{s, {Name: "Buoy"}, {Name: "Porthole", Checked: true, Last: last(Pass)}}, evening)
	for _, want := range []string{"3 props: 1 failed, 1 not checked, 1 passed.", "| Pennant | failed | 25 November 2026 | p.toml |", "| Buoy | not checked | never |  |", "## Pennant\n\n- open\n", "- iron (Pennant)\n"} {
		assert.Contains(t, text, want)
	}
	assert.NotContains(t, text, "## Buoy")
	assert.NotContains(t, text, "Nothing beyond")
	assert.Equal(t, "none", counts(nil))
	assert.Contains(t, Overview(nil, evening), "Nothing beyond the usual tools.")
}

// The history names each entry with its number, headline and what it found.
func TestHistoryInWords(t *testing.T) {
	e := busy()
	e.Steps = []Step{{}}
	e.Findings = append(e.Findings, Finding{Kind: "dark", Text: "pixel 9 is dark"})
	h := History{Entries: []Entry{{Kind: "note", At: evening, Notes: "glued"}, e}}
	text := h.Text("", evening)
	for _, want := range []string{"  1  2026-11-25 19:30  note: glued\n", "  2  2026-11-25 19:30  check-out: pass, 1 answer, 1 left to mend\n", "       dark from pixel 37 on (mended)\n", "       pixel 9 is dark\n",
		"       inner ring: 35 pixels found, 36 planned\n", "       colour order GRB\n", "       joint inner ring to middle ring: 0.05 ± 0.01 Ω\n", "       at pixel 144, level 100 %: 4.32 V\n", "       note: a damp evening\n"} {
		assert.Contains(t, strings.ReplaceAll(text, evening.Format("15:04"), "19:30"), want)
	}
	assert.NotContains(t, text, "middle ring: 48", "as planned")
	one := Entry{Kind: "check-out", Runs: []Run{{"inner ring", 36, 1, ""}, {"tail", 2, 0, ""}}}
	assert.Equal(t, []string{"inner ring: 1 pixel found, 36 planned"}, one.lines())
	assert.NotContains(t, text, "outer ring: 60 pixels", "not counted")
	assert.NotContains(t, text, "Nothing is recorded")
	assert.Contains(t, History{}.Text("", evening), "Nothing is recorded yet.\n")
	clean := History{Entries: []Entry{{Kind: "check-out", Verdict: Pass, At: evening}}}.Text("", evening)
	assert.NotContains(t, clean, "answer")
	assert.NotContains(t, clean, "open")
	assert.NotContains(t, clean, "colour order")
	assert.NotContains(t, clean, "note:")
}

// Names of props that an item is for: three of them, long ones cut to 40.
func TestNamesOfProps(t *testing.T) {
	assert.Equal(t, "a, b, c", propNames([]string{"a", "b", "c"}))
	assert.Equal(t, "a, b, c and 1 more", propNames([]string{"a", "b", "c", "d"}))
	assert.Equal(t, strings.Repeat("é", 40), propNames([]string{strings.Repeat("é", 40)}))
	assert.Equal(t, strings.Repeat("é", 39)+"…", propNames([]string{strings.Repeat("é", 41)}))
	assert.Equal(t, strings.Repeat("é", 24), shortName(strings.Repeat("é", 24)))
	assert.Equal(t, strings.Repeat("é", 23)+"…", shortName(strings.Repeat("é", 25)))
}

// Of many check-outs the two newest of one kind are compared.
func TestTheTwoNewestAreCompared(t *testing.T) {
	whole, flex := Entry{Kind: "check-out"}, Entry{Kind: "check-out", Test: FlexTest}
	for want, entries := range map[[2]int][]Entry{{1, 2}: {whole, whole, whole}, {0, 1}: {whole, whole, {Kind: "note"}}, {1, 3}: {flex, flex, whole, flex}, {0, 2}: {whole, {Kind: "note"}, whole, flex}} {
		h := History{Entries: slices.Clone(entries)}
		for i := range h.Entries {
			h.Entries[i].Notes = fmt.Sprint("entry ", i)
		}
		assert.Equal(t, want[:], h.LastPair())
		a, b, err := h.LastTwo()
		require.NoError(t, err)
		assert.Equal(t, want, [2]int{slices.IndexFunc(h.Entries, func(e Entry) bool { return e.Notes == a.Notes }), slices.IndexFunc(h.Entries, func(e Entry) bool { return e.Notes == b.Notes })}, "the older first")
	}
	assert.Empty(t, History{Entries: []Entry{whole, flex}}.LastPair())
	_, _, err := History{Entries: []Entry{whole}}.LastTwo()
	assert.ErrorContains(t, err, "the record has 1 check-out:")
}

// One reading and one joint are enough to be said; a sheet for any paper names
// no size.
func TestOneOfEachIsSaid(t *testing.T) {
	pg := page(t, prop.Porthole())
	said := strings.Join(pg.asFound(Entry{Volts: []Reading{{1, 0.5, 4.9}}, Joints: []Joint{{"inner ring to middle ring", 0.1, 0}}}), "\n")
	assert.Contains(t, said, "measured: 4.90 V at pixel 1, level 50 %")
	assert.Contains(t, said, "joints as estimated: J2 inner ring to middle ring 0.10 Ω")
	assert.NotContains(t, sheet(t, AnyPaper, pg), "@page { size")
	assert.Contains(t, sheet(t, A4, pg), "@page { size: A4;")
	for pixels, want := range map[int][]string{30: {"10", "20", "30"}, 23: {"10", "20", "30"}, 22: {"10", "20"}, 3: {"10"}, 2: nil} {
		p := prop.Porthole()
		p.Runs[0].Pixels, p.Runs[1].Pixels = 8, pixels
		d := newDrawing(prop.Layout(p))
		d.pitch = 5
		d.tensLabels(p, 1)
		var tens []string
		for _, l := range d.wanted {
			tens = append(tens, l.text)
		}
		assert.Equal(t, want, tens, "pixels 9 to %d: also the second and the last but one; the ends have numbers of their own", 8+pixels)
	}
}
