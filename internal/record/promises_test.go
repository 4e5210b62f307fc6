package record

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// Everything an entry holds is told under its own heading, and what it lacks is
// named once; notes that are not there are not missed.
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
	assert.Equal(t, []string{"dark from pixel 37 on (certain, 99 %)", "  try 1: reflow", "  try 2: replace", "  bring: solder, iron", "  because: 36 lit"}, e.findingLines())
	e.Findings[0].Fixed = true
	assert.Equal(t, []string{"dark from pixel 37 on (mended) (certain, 99 %)"}, e.findingLines())
	e.Findings[0].Fixed, e.Findings[0].Kind = false, "good"
	assert.Len(t, e.findingLines(), 1)
	for sure, want := range map[float64]string{0: "x", 0.4: "x (40 % sure)", 0.994: "x (99 % sure)", 0.995: "x", 1: "x"} {
		assert.Equal(t, want, Entry{Findings: []Finding{{Kind: "dark", Text: "x", Sure: sure}}}.findingLines()[0])
	}
	none := Entry{Findings: []Finding{{Kind: "dark", Text: "x"}}}
	assert.Equal(t, []string{"x"}, none.findingLines(), "no parts, no line for them")
}

// Both entries stand side by side, in columns, with what either of them has.
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
	for _, want := range []Pair{{"answers", "2", "0"}, {"open findings", "0", "0"}, {"colour order", "GRB", notChecked}, {"run inner ring", "35 px, reversed", "36 px"}, {"run middle ring", "48 px, as planned", notChecked},
		{"run new", notChecked, "not counted, reversed"}, {"joint inner ring to middle ring", "0.05 ± 0.01 Ω", notChecked}, {"at pixel 144, level 100 %", "4.32 V", "4.30 V"}, {"at pixel 144, level 50 %", notChecked, "4.90 V"}} {
		assert.Equal(t, want, pairs[want.What])
	}
	assert.NotContains(t, pairs, "run outer ring", "neither counted it")
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
	assert.Equal(t, []string{"- y = 2", "+ y = 3"}, PropChanges(a, b))
	assert.Contains(t, CompareText(a, b), "\nThe prop file, - before, + after:\n  - y = 2\n  + y = 3\n")
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

// The season's page names each prop with how it stands, then what is open or due.
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
	assert.Equal(t, []string{"open", "first try: reflow"}, s.lines())
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
	for _, want := range []string{"  1  2026-11-25 19:30  note: glued\n", "  2  2026-11-25 19:30  check-out: pass, 1 answer, 1 open\n", "       dark from pixel 37 on (mended)\n", "       pixel 9 is dark\n",
		"       inner ring: 35 pixels found, 36 planned\n", "       colour order GRB\n", "       joint inner ring to middle ring: 0.05 ± 0.01 Ω\n", "       at pixel 144, level 100 %: 4.32 V\n", "       note: a damp evening\n"} {
		assert.Contains(t, strings.ReplaceAll(text, evening.Format("15:04"), "19:30"), want)
	}
	assert.NotContains(t, text, "middle ring: 48", "as planned")
	assert.NotContains(t, text, "outer ring: 60 pixels", "not counted")
	assert.NotContains(t, text, "Nothing is recorded")
	assert.Contains(t, History{}.Text("", evening), "Nothing is recorded yet.\n")
	clean := History{Entries: []Entry{{Kind: "check-out", Verdict: Pass, At: evening}}}.Text("", evening)
	assert.NotContains(t, clean, "answer")
	assert.NotContains(t, clean, "open")
	assert.NotContains(t, clean, "colour order")
	assert.NotContains(t, clean, "note:")
}

// On the sheet: all as planned in one line where every run of the prop was
// counted and its travel seen, else run by run.
func TestCountsOnTheSheet(t *testing.T) {
	pg := Page{Prop: prop.Porthole()}
	const whole = "pixels counted and travel seen: as planned in every run"
	runs := func(change func([]Run)) []string {
		rs := []Run{{"inner ring", 36, 36, "as planned"}, {"middle ring", 48, 48, "as planned"}, {"outer ring", 60, 60, "as planned"}}
		change(rs)
		return pg.countsFound(Entry{Runs: rs})
	}
	assert.Equal(t, []string{whole}, runs(func([]Run) {}))
	assert.Empty(t, runs(func(r []Run) { r[1].Found = 0 }))
	assert.Empty(t, runs(func(r []Run) { r[1].Travel = "" }))
	assert.Empty(t, runs(func(r []Run) { r[1].Name = "a run that is gone" }))
	assert.Equal(t, []string{"middle ring: 47 pixels found, 48 planned"}, runs(func(r []Run) { r[1].Found = 47 }))
	assert.Equal(t, []string{"middle ring: travel found reversed"}, runs(func(r []Run) { r[1].Travel = "reversed" }))
	assert.Equal(t, []string{"J1 ", "J2 ", "", ""}, []string{pg.jointMark("inner ring to middle ring"), pg.jointMark("middle ring to outer ring"), pg.jointMark("outer ring to inner ring"), pg.jointMark("lead")})
	assert.Empty(t, pg.asFound(Entry{}))
	assert.Equal(t, []Reading{{7, 1, 4}, {8, 0.2, 5}}, brightest([]Reading{{7, 0.5, 4.5}, {8, 0.2, 5}, {7, 1, 4}, {7, 0.7, 4.2}}))
	assert.Equal(t, []Reading{{7, 1, 3.9}}, brightest([]Reading{{7, 1, 4}, {7, 1, 3.9}}), "of two at one level the later one")
	assert.Equal(t, []string{"7", "7-9"}, []string{span(7, 7), span(7, 9)})
}

// The voltage that the plan gives beside a reading is the solver's at that pixel.
func TestReckonedBesideMeasured(t *testing.T) {
	p := prop.Porthole()
	pg := page(t, p)
	for _, row := range []struct {
		pixel int
		level float64
		want  bool
	}{{1, 1, true}, {144, 0.5, true}, {0, 1, false}, {145, 1, false}, {9, -0.1, false}, {9, 1.1, false}, {9, 0, true}} {
		got := pg.reckoned(Reading{Pixel: row.pixel, Level: row.level})
		if !row.want {
			assert.Empty(t, got, "%+v", row)
			continue
		}
		r, err := power.Plan(p, row.level, power.FullWhite())
		require.NoError(t, err)
		assert.Equal(t, fmt.Sprintf(" (%.2f V reckoned in white)", math.Floor(100*r.Sagging.Volts(row.pixel-1))/100), got, "cut, as the plan cuts it")
	}
}

// Figures for whoever stands at the supply; the highest level is left out where
// a pixel gets no voltage at all, and feeds go by their mark.
func TestFactsOnTheSheet(t *testing.T) {
	pg := page(t, prop.Porthole())
	whats := func() (out []string) {
		for _, f := range pg.powerFacts() {
			out = append(out, f.What)
		}
		return out
	}
	assert.Contains(t, whats(), "Highest level in white")
	r := *pg.Power
	c := *r.Constant
	c.Dead = 1
	r.Constant, pg.Power = &c, &r
	assert.NotContains(t, whats(), "Highest level in white")
	c.Dead, r.MinVolts = 0, 0
	assert.NotContains(t, whats(), "Highest level in white")
	r.MinVolts = 0.5
	assert.Contains(t, whats(), "Highest level in white")
	pg.Prop.Feeds = []prop.Feed{{Name: "feed 1"}, {Name: ""}, {Name: "mast"}, {Name: "feed 1"}}
	assert.Equal(t, []string{"F1", "F2", "F3, mast", "F4, feed 1", "F5"}, []string{pg.feedName(0), pg.feedName(1), pg.feedName(2), pg.feedName(3), pg.feedName(4)})
	facts := func() string { return fmt.Sprint(pg.address()) }
	assert.NotContains(t, facts(), "Synchronization")
	assert.NotContains(t, facts(), "Interface")
	pg.Prop.Address.Sync, pg.Prop.Address.Interface, pg.Prop.Address.Packing = 1, "eth0", prop.Straddle
	assert.Contains(t, facts(), "{Synchronization address 1}")
	assert.Contains(t, facts(), "{Interface eth0}")
	assert.Contains(t, facts(), "straddle: all 512 slots are used")
	pg.Rows = []prop.Row{{FirstUniverse: 4, LastUniverse: 5}, {FirstUniverse: 2, LastUniverse: 3}, {FirstUniverse: 7, LastUniverse: 7}}
	first, last := pg.universes()
	assert.Equal(t, [2]int{2, 7}, [2]int{first, last})
}

// What fills the back: one line more of anything makes the type no larger, and
// the type is such that 1.3 times its size for each line fill 723 points (Letter
// less margins), from 4 to 10.
func TestTypeFitsTheBack(t *testing.T) {
	base := func() htmlPage {
		h := newHTMLPage(page(t, prop.Porthole()))
		for range 40 { // so many that the largest type does not fit
			h.Notes = append(h.Notes, "x")
		}
		return h
	}
	lines := func(change func(*htmlPage)) float64 {
		h := base()
		change(&h)
		size := fontSize(h)
		require.Greater(t, size, 4.0)
		require.Less(t, size, 10.0)
		return 723 / (1.3 * size)
	}
	start := lines(func(*htmlPage) {})
	for name, row := range map[string]struct {
		change func(*htmlPage)
		more   float64
	}{
		"a note":               {func(h *htmlPage) { h.Notes = append(h.Notes, "x") }, 1},
		"a note of two lines":  {func(h *htmlPage) { h.Notes = append(h.Notes, strings.Repeat("x", 105)) }, 2},
		"a line of 104":        {func(h *htmlPage) { h.Lines = append(h.Lines, strings.Repeat("x", 104)) }, 1},
		"a caution":            {func(h *htmlPage) { h.Cautions = append(h.Cautions, "x") }, 0.9},
		"an address":           {func(h *htmlPage) { h.Address = append(h.Address, fact{}) }, 1},
		"a fact of the supply": {func(h *htmlPage) { h.Supply = append(h.Supply, fact{"", strings.Repeat("x", 69)}) }, 1},
		"a long fact":          {func(h *htmlPage) { h.Supply = append(h.Supply, fact{"", strings.Repeat("x", 140)}) }, 3},
		"a thing to buy":       {func(h *htmlPage) { h.Buy = append(h.Buy, strings.Repeat("x", 54)) }, 0.5},
		"a long thing to buy":  {func(h *htmlPage) { h.Buy = append(h.Buy, strings.Repeat("x", 55)) }, 1},
		"the table on the back": {func(h *htmlPage) {
			require.True(t, h.OnFront)
			h.OnFront = false
		}, 3*1.5 + 3},
	} {
		assert.InDelta(t, start+row.more, lines(row.change), 1e-6, name)
	}
	small := base()
	for range 400 {
		small.Notes = append(small.Notes, "x")
	}
	assert.Equal(t, 4.0, fontSize(small))
	assert.Equal(t, 10.0, fontSize(htmlPage{Page: small.Page, Tables: [][]prop.Row{nil}}.bare()))
}

// bare is a page of which only the frame is left.
func (h htmlPage) bare() htmlPage {
	p := h.Page
	p.Notes = nil
	r := *p.Power
	r.Findings = nil
	p.Power = &r
	h.Page, h.OnFront = p, true
	return h
}

// Under the drawing the table takes 11 mm and 5 mm a row, more where names wrap:
// what is left of 255 mm after 36 mm is the drawing's.
func TestTableUnderTheDrawing(t *testing.T) {
	h := htmlPage{Page: Page{Prop: &prop.Prop{Name: "x"}}, Tables: [][]prop.Row{{{Run: "a"}, {Run: "b"}}}}
	room := 255.0 - 36 - 11 - 2*5
	fits := func(want float64) {
		t.Helper()
		assert.True(t, frontHas(h, want-0.01))
		assert.False(t, frontHas(h, want+0.01))
	}
	fits(room)
	h.Tables[0][1].Run = strings.Repeat("r", 40)
	fits(room - 4.2)
	h.Tables[0][1].Run = strings.Repeat("r", 39)
	fits(room)
	h.Prop.Name = strings.Repeat("n", 45)
	fits(room - 9)
	h.Prop.Name = strings.Repeat("n", 44)
	fits(room)
	for n, tables := range map[int]int{16: 1, 17: 2, 40: 2} {
		p := manyRuns()
		p.Runs, p.Chip.MinVolts, p.Supply.Amps = p.Runs[:n], 0, 1000 // no feeds to look for
		got := newHTMLPage(page(t, p))
		require.Len(t, got.Tables, tables, "%d rows", n)
		if tables == 2 {
			assert.LessOrEqual(t, len(got.Tables[0])-len(got.Tables[1]), 1)
			assert.GreaterOrEqual(t, len(got.Tables[0]), len(got.Tables[1]))
			assert.Equal(t, "R1 ", got.Tables[0][0].Run[:3])
		}
	}
	assert.False(t, crowded(10))
	assert.True(t, crowded(11))
}

// Names of props that an item is for: three of them, long ones cut to 40.
func TestNamesOfProps(t *testing.T) {
	assert.Equal(t, "a, b, c", propNames([]string{"a", "b", "c"}))
	assert.Equal(t, "a, b, c and 1 more", propNames([]string{"a", "b", "c", "d"}))
	assert.Equal(t, strings.Repeat("é", 40), propNames([]string{strings.Repeat("é", 40)}))
	assert.Equal(t, strings.Repeat("é", 39)+"…", propNames([]string{strings.Repeat("é", 41)}))
	assert.Equal(t, strings.Repeat("é", 24), short(strings.Repeat("é", 24)))
	assert.Equal(t, strings.Repeat("é", 23)+"…", short(strings.Repeat("é", 25)))
}

// Contents list forty props a page, and the pages they begin on are counted
// from what lies before.
func TestContentsCountPages(t *testing.T) {
	pg := page(t, prop.BuoyLamp())
	for n, lists := range map[int]int{1: 1, 40: 1, 41: 2, 80: 2, 81: 3} {
		pages := make([]htmlPage, n)
		for i := range pages {
			pages[i] = newHTMLPage(pg)
		}
		out, sum := contents(pages, 2)
		require.Len(t, out, lists, "%d props", n)
		k := 0
		for i, list := range out {
			if i+1 < len(out) {
				assert.Len(t, list, 40)
			}
			for _, row := range list {
				assert.Equal(t, lists+2+2*k+1, row.Page)
				k++
			}
		}
		assert.Equal(t, n, k)
		assert.Contains(t, sum, fmt.Sprintf("%d props, %d pixels, %s", n, n, words.Amps(float64(n)*pg.Power.Amps)))
	}
}

// Marks of the drawing, by hand: two runs on one line 2 m apart, three pixels
// each a metre from each other: the page is 580 units for 4 m, so a metre is 145.
func TestDrawingByHand(t *testing.T) {
	layout := [][]prop.Point{{{X: 0}, {X: 1}}, {{X: 3}, {X: 4, Y: 1}}}
	d := newDrawing(layout)
	assert.InDelta(t, 145+60, d.height, 1e-9)
	assert.InDelta(t, 5, d.radius, 1e-9)
	assert.InDelta(t, 100, d.pitch, 1e-9, "no pitch above 100 is told apart")
	assert.Equal(t, prop.Point{X: 30, Y: 175}, d.at[0][0])
	assert.Equal(t, prop.Point{X: 610, Y: 30}, d.at[1][1])
	assert.Equal(t, prop.Point{X: 465, Y: 175}, d.pixel(2))
	d.joint(1)
	line := regexp.MustCompile(`x1="([\d.]+)" y1="([\d.]+)" x2="([\d.]+)" y2="([\d.]+)"`).FindStringSubmatch(d.body.String())
	assert.Equal(t, []float64{175, 175, 465, 175}, floats(t, line[1:]))
	require.Len(t, d.wanted, 1)
	assert.Equal(t, label{at: prop.Point{X: 320, Y: 175}, text: "J1", bold: true}, d.wanted[0])
	for _, q := range []prop.Point{{X: 200, Y: 175}, {X: 320, Y: 175}, {X: 460, Y: 175}} {
		assert.False(t, d.fits(around(q, 3)), "labels keep off the wire at %v", q)
	}
	assert.True(t, d.fits(around(prop.Point{X: 320, Y: 100}, 3)))
	for _, b := range []box{{-1, 50, 9, 60}, {50, -1, 60, 9}, {635, 50, 641, 60}, {50, 200, 60, 206}} {
		assert.False(t, d.fits(b), "off the page")
	}
	for _, b := range []box{{0, 50, 9, 60}, {50, 0, 60, 9}, {631, 50, 640, 60}, {50, 196, 60, 205}} {
		assert.True(t, d.fits(b), "on the very edge: %v", b)
	}
	d.joint(1)
	empty := newDrawing([][]prop.Point{{}, {{X: 1}}, {}})
	empty.joint(1)
	empty.joint(2)
	assert.Empty(t, empty.body.String(), "an empty run has no joint to draw")
	one := newDrawing([][]prop.Point{{{X: 7, Y: 7}}})
	assert.InDelta(t, 60, one.height, 1e-9)
	assert.Equal(t, prop.Point{X: 320, Y: 30}, one.at[0][0], "in the middle")
	upright := newDrawing([][]prop.Point{{{Y: 0}, {Y: 1}}})
	assert.InDelta(t, 690, upright.height, 1e-9)
	dense := newDrawing([][]prop.Point{{{X: 0}, {X: 0.001}, {X: 1}}})
	assert.InDelta(t, 0.6, dense.radius, 1e-9)
	mid := newDrawing([][]prop.Point{{{X: 0}, {X: 0.01}, {X: 1}}})
	assert.InDelta(t, 0.38*5.8, mid.radius, 1e-9)
}

// The square of a feed lies round its pixel; a feed past the end goes to the
// last pixel, and one run's last pixel is labelled only when it has two.
func TestFeedsOnTheDrawing(t *testing.T) {
	p := prop.Porthole()
	p.Feeds = []prop.Feed{{Pixel: 40}, {Pixel: 1000}}
	svg := picture(p)
	dots := circles(t, svg)
	boxes := regexp.MustCompile(`<rect x="([\d.]+)" y="([\d.]+)" width="([\d.]+)" height="([\d.]+)"`).FindAllStringSubmatch(svg, -1)
	require.Len(t, boxes, 2)
	for i, pixel := range []int{40, 143} {
		v := floats(t, boxes[i][1:])
		assert.InDelta(t, dots[pixel].X, v[0]+v[2]/2, 0.11)
		assert.InDelta(t, dots[pixel].Y, v[1]+v[3]/2, 0.11)
		assert.InDelta(t, v[2], v[3], 0.01)
		assert.Contains(t, svg, fmt.Sprintf(">F%d</text>", i+1))
	}
	assert.Equal(t, 1, strings.Count(picture(prop.BuoyLamp()), ">1</text>"))
	svg, _, every := drawn(prop.Pennant())
	assert.Equal(t, 10, every)
	for _, n := range []int{1, 10, 20, 130, 136} {
		assert.LessOrEqual(t, strings.Count(svg, fmt.Sprintf(">%d</text>", n)), 1)
	}
	for pitch, want := range map[float64]int{2.2: 10, 2.19: 50, 0.44: 50, 0.43: 100, 0.22: 100, 0.21: 500, 0.044: 500, 0.043: 1000} {
		assert.Equal(t, want, numbered(pitch), "%g", pitch)
	}
}

// Arrows: three, one more for every 60 pixels, never more than there are steps,
// spread evenly.
func TestArrowsOnARun(t *testing.T) {
	for n, want := range map[int]int{1: 0, 2: 1, 3: 2, 4: 3, 59: 3, 60: 4, 119: 4, 120: 5} {
		layout := make([]prop.Point, n)
		for i := range layout {
			layout[i].X = float64(i)
		}
		d := newDrawing([][]prop.Point{layout})
		d.arrows(d.at[0])
		got := regexp.MustCompile(`translate\(([\d.]+) `).FindAllStringSubmatch(d.body.String(), -1)
		require.Len(t, got, want, "%d pixels", n)
		last, width := 0.0, 580/math.Max(1, float64(n-1))
		for k, m := range got {
			x := floats(t, m[1:])[0]
			middle := 30 + 580*(2*float64(k)+1)/(2*float64(want))
			assert.InDelta(t, middle, x, width+0.1, "arrow %d of %d pixels", k, n)
			assert.Greater(t, x, last)
			last = x
		}
	}
}

// A label goes to a free place near its mark, and where none is near a line
// leads to it.
func TestLabelsNearTheirMarks(t *testing.T) {
	d := newDrawing([][]prop.Point{{{X: 0}, {X: 1, Y: 1}}})
	at := prop.Point{X: 300, Y: 300}
	b, ok := d.free(label{at: at, text: "middle"})
	require.True(t, ok)
	near := b.nearest(at)
	assert.LessOrEqual(t, apart(near, at), d.radius+5)
	assert.GreaterOrEqual(t, apart(near, at), d.radius, "not on the pixel")
	assert.Equal(t, prop.Point{X: b.x0, Y: b.y1}, b.nearest(prop.Point{X: b.x0 - 5, Y: b.y1 + 5}))
	d.taken = append(d.taken, around(at, 60))
	_, ok = d.free(label{at: at, text: "10", tens: true})
	assert.False(t, ok, "one of many is not looked for far away")
	b, ok = d.free(label{at: at, text: "J1"})
	require.True(t, ok)
	assert.Greater(t, apart(b.nearest(at), at), 59.0)
	d.wanted = []label{{at: at, text: "J1"}}
	d.labels()
	assert.Equal(t, 1, strings.Count(d.body.String(), "<line"))
	d.taken, d.wanted = nil, []label{{at: at, text: "J2"}}
	d.labels()
	assert.Equal(t, 1, strings.Count(d.body.String(), "<line"), "beside its mark it needs none")
	assert.True(t, box{0, 0, 2, 2}.hits(box{1, 1, 3, 3}))
	for _, other := range []box{{2, 0, 4, 2}, {0, 2, 2, 4}, {-2, 0, 0, 2}, {0, -2, 2, 0}} {
		assert.False(t, box{0, 0, 2, 2}.hits(other), "side by side")
		assert.False(t, other.hits(box{0, 0, 2, 2}))
	}
}

// Names of files are at most sixty letters long, whatever script.
func TestNamesOfFiles(t *testing.T) {
	assert.Equal(t, "the-buoy-2", FileName(" The  Buoy: #2 "))
	assert.Equal(t, "prop", FileName("!?"))
	assert.Equal(t, strings.Repeat("é", 60), FileName(strings.Repeat("É", 61)))
	assert.Equal(t, strings.Repeat("é", 60), FileName(strings.Repeat("É", 60)))
}

// Of many check-outs the two newest of one kind are compared.
func TestTheTwoNewestAreCompared(t *testing.T) {
	whole, flex := Entry{Kind: "check-out"}, Entry{Kind: "check-out", Test: FlexTest}
	for want, entries := range map[[2]int][]Entry{{1, 2}: {whole, whole, whole}, {0, 1}: {whole, whole, {Kind: "note"}}, {1, 3}: {flex, flex, whole, flex}, {0, 2}: {whole, {Kind: "note"}, whole, flex}} {
		assert.Equal(t, want[:], History{Entries: entries}.LastPair())
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
	assert.Contains(t, said, "joints as estimated: J1 inner ring to middle ring 0.10 Ω")
	assert.NotContains(t, sheet(t, AnyPaper, pg), "@page { size")
	assert.Contains(t, sheet(t, A4, pg), "@page { size: A4;")
	for pixels, want := range map[int][]string{30: {"10", "20", "30"}, 23: {"10", "20", "30"}, 22: {"10", "20"}, 3: {"10"}, 2: nil} {
		p := prop.Porthole()
		p.Runs[0].Pixels, p.Runs[1].Pixels = 8, pixels
		d := newDrawing(prop.Layout(p))
		d.pitch = 5
		d.tens(p, 1)
		var tens []string
		for _, l := range d.wanted {
			tens = append(tens, l.text)
		}
		assert.Equal(t, want, tens, "pixels 9 to %d: also the second and the last but one; the ends have numbers of their own", 8+pixels)
	}
}

// An arrow stands on its step where there is room between the circles, else
// beside it, six units from them, on the free side.
func TestWhereArrowsStand(t *testing.T) {
	for _, row := range []struct {
		a, b   prop.Point
		want   prop.Point
		radius float64
	}{
		{prop.Point{X: 100, Y: 100}, prop.Point{X: 120, Y: 100}, prop.Point{X: 110, Y: 100}, 5}, {prop.Point{X: 100, Y: 100}, prop.Point{X: 119, Y: 100}, prop.Point{X: 109.5, Y: 89}, 5},
		{prop.Point{X: 100, Y: 100}, prop.Point{X: 100, Y: 120}, prop.Point{X: 100, Y: 110}, 5}, {prop.Point{X: 100, Y: 100}, prop.Point{X: 100, Y: 110}, prop.Point{X: 111, Y: 105}, 5},
		{prop.Point{X: 100, Y: 100}, prop.Point{X: 112, Y: 100}, prop.Point{X: 106, Y: 100}, 1},
	} {
		d := &drawing{height: 600, radius: row.radius}
		d.arrow([]prop.Point{row.a, row.b}, 0)
		at := floats(t, regexp.MustCompile(`translate\(([\d.]+) ([\d.]+)\)`).FindStringSubmatch(d.body.String())[1:])
		assert.InDelta(t, row.want.X, at[0], 0.06, "%+v", row)
		assert.InDelta(t, row.want.Y, at[1], 0.06, "%+v", row)
		blocked := &drawing{height: 600, radius: row.radius, taken: []box{around(row.want, 4)}}
		blocked.arrow([]prop.Point{row.a, row.b}, 0)
		other := floats(t, regexp.MustCompile(`translate\(([\d.]+) ([\d.]+)\)`).FindStringSubmatch(blocked.body.String())[1:])
		mid := prop.Point{X: (row.a.X + row.b.X) / 2, Y: (row.a.Y + row.b.Y) / 2}
		assert.InDelta(t, 2*mid.X-row.want.X, other[0], 0.06, "on the other side of %+v", row)
		assert.InDelta(t, 2*mid.Y-row.want.Y, other[1], 0.06)
	}
	d := &drawing{height: 600, radius: 5}
	d.arrow([]prop.Point{{X: 1, Y: 1}, {X: 1, Y: 1}}, 0)
	assert.Empty(t, d.body.String(), "two pixels in one place have no way between them")
}

// A drawing as high as it gets leaves room for the table of one run below it,
// not for two: 200 mm, 36 mm, 11 mm and 5 mm a row of 255 mm.
func TestTallDrawingsLeaveLittleRoom(t *testing.T) {
	p := prop.Porthole()
	p.Parts, p.Feeds = nil, nil
	for n := 1; n <= 2; n++ {
		p.Runs = nil
		for i := range n {
			p.Runs = append(p.Runs, prop.Run{Name: string(rune('a' + i)), Pixels: 30, Shape: prop.Shape{Kind: prop.Line, Angle: 90, Centre: prop.Point{X: 0.01 * float64(i+1)}}})
		}
		h := newHTMLPage(page(t, p))
		_, height, _ := drawn(p)
		require.InDelta(t, 690, height, 1)
		assert.Equal(t, n == 1, h.OnFront, "%d runs", n)
	}
}

// Labels stand in two columns: of two runs one more line, and one more for each
// fifty letters of the first.
func TestLabelsTakeLines(t *testing.T) {
	lines := func(runs ...string) float64 {
		h := newHTMLPage(page(t, prop.Porthole()))
		h.Tables, h.OnFront = [][]prop.Row{nil}, true
		h.Rows = nil
		for _, name := range runs {
			r := prop.Row{Run: name, Prop: "p", Pixels: 1, FirstUniverse: 1, FirstSlot: 1, LastUniverse: 1, LastSlot: 3}
			h.Rows, h.Tables[0] = append(h.Rows, r), append(h.Tables[0], r)
		}
		for range 40 {
			h.Notes = append(h.Notes, "x")
		}
		return 723 / (1.3 * fontSize(h))
	}
	none, long := lines(), strings.Repeat("x", 60)
	assert.InDelta(t, none+1, lines("a"), 1e-6)
	assert.InDelta(t, none+1, lines("a", "b"), 1e-6)
	assert.InDelta(t, none+2, lines("a", "b", "c"), 1e-6)
	assert.InDelta(t, none+1+0.92, lines(long), 1e-6)
	assert.InDelta(t, none+1, lines("a", long), 1e-6, "beside a short one")
}

// Reasons that stand below as answers go by their numbers, the first one too.
func TestReasonsGoByNumber(t *testing.T) {
	e := Entry{Steps: []Step{{Question: "q1?", Answer: "a"}, {Question: "q2?", Answer: "b"}, {Question: "q3?", Answer: "c"}}}
	because := func(reasons ...string) []string { return e.because(Finding{Because: reasons}) }
	assert.Equal(t, []string{"answer 1"}, because("1. q1? a"))
	assert.Equal(t, []string{"another", "answers 1 and 3"}, because("1. q1? a", "another", "3. q3? c"))
	assert.Equal(t, []string{"answers 1, 2 and 3"}, because("1. q1? a", "2. q2? b", "3. q3? c"))
	assert.Equal(t, []string{"q1? a"}, because("q1? a"), "in other words it is written out")
	assert.Empty(t, because())
}
