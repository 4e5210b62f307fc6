package record

import (
	"errors"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
)

func TestOverview(t *testing.T) {
	fault := func(text string, bring ...string) Finding {
		return Finding{Kind: "open-joint", Text: text, Remedy: []string{"solder the joint again", "replace the pixel"}, Bring: bring}
	}
	props := []Standing{
		StandingOf("a.toml", "Porthole", "x", History{Entries: []Entry{{Kind: "check-out", At: evening, Verdict: Fail, PropFile: "x",
			Findings: []Finding{fault("dark from pixel 37 on", "heat-shrink", "3-wire lead")}}}}, evening),
		StandingOf("b.toml", "Pennant", "x", History{Entries: []Entry{{Kind: "check-out", At: evening, Verdict: Pass, PropFile: "x"}}}, evening),
		StandingOf("c.toml", "Buoy | lamp", "x", History{}, evening),
		StandingOf("d.toml", "Star", "x", History{Entries: []Entry{{Kind: "check-out", At: evening.AddDate(-1, 0, 0), Verdict: Pass, PropFile: "x"}}}, evening),
		{File: "e.toml", Name: "e.toml", Err: errors.New("e.toml line 3: broken")},
		StandingOf("f.toml", "Ring", "x", History{Entries: []Entry{{Kind: "check-out", At: evening, Verdict: Fail, PropFile: "x",
			Findings: []Finding{fault("dark from pixel 9 on", "heat-shrink")}}}}, evening),
	}
	page := Overview(props, evening.Add(time.Minute))
	assert.Contains(t, page, "6 props: 2 failed, 1 not checked, 1 can't be read, 1 passed, due again, 1 passed.")
	assert.Contains(t, page, "| Porthole | failed | 25 November 2026 | a.toml |")
	assert.Contains(t, page, `| Buoy \| lamp | not checked | never | c.toml |`)
	assert.Contains(t, page, "- left to mend since 25 November 2026: dark from pixel 37 on\n- first try: power off, then solder the joint again\n")
	assert.Contains(t, page, "- e.toml line 3: broken")
	assert.Contains(t, page, "- heat-shrink (Porthole, Ring)\n- 3-wire lead (Porthole)\n")
	assert.NotContains(t, page, "## Pennant", "nothing to say of a good prop")
}

// A check-out that is dated ahead is not fresh: with a clock that was wrong it would be
// passed over for years.
func TestFreshByTheClock(t *testing.T) {
	for hours, want := range map[int]bool{0: true, 167: true, 168: false, -23: true, -25: false, -24 * 365: false} {
		s := Standing{Last: Entry{Verdict: Pass, At: evening.Add(-time.Duration(hours) * time.Hour)}}
		assert.Equal(t, want, s.Fresh(168*time.Hour, evening), hours)
		s.Changed = true
		assert.False(t, s.Fresh(168*time.Hour, evening))
		s.Changed, s.Last.Edited = false, true
		assert.False(t, s.Fresh(168*time.Hour, evening))
		s.Last.Edited, s.Last.Verdict = false, Stopped
		assert.False(t, s.Fresh(168*time.Hour, evening))
	}
}

func TestOverviewOfNothing(t *testing.T) {
	page := Overview(nil, evening)
	assert.Contains(t, page, "0 props: none.")
	assert.Contains(t, page, "Nothing beyond the usual tools.")
}

// Every fault that lies in solder, wire or chips needs something; those that
// lie in a setting need nothing.
func TestBring(t *testing.T) {
	settings := map[strip.Kind]bool{strip.WrongAddress: true, strip.WrongOrder: true, strip.SlotShift: true, strip.Grouped: true,
		strip.WrongPacking: true, strip.UniversesSwapped: true}
	for _, k := range strip.Kinds() {
		got := strip.FactsOf(k).Bring(prop.Porthole().Chip)
		assert.Equal(t, settings[k], len(got) == 0, "%s: %v", k, got)
	}
}
