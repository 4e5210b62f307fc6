package underway

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/strip"
)

// A load test passes in the record only with every reading: with one skipped it is
// stopped, and the notes say so as the screen does. A supply below the chip's lowest volts fails.
func TestALoadTestPassesOnlyWhole(t *testing.T) {
	for _, row := range []struct {
		name  string
		skip  int
		share float64 // of the planned volts
		want  record.Verdict
		says  string
	}{
		{"whole", -1, 1, record.Pass, "No joint or feed stands out"},
		{"one skipped", 4, 1, record.Stopped, "1 reading was not taken, and what lies there may have gone unseen."},
		{"supply low", -1, 0.75, record.Fail, "The chip wants 4.5 V at least"},
	} {
		p := prop.Porthole()
		test, err := single.New(single.Load, p)
		require.NoError(t, err)
		trial := &Trial{Test: test}
		i := 0
		for s, more := trial.Step(); more; s, more = trial.Step() {
			volts, err := power.Planned(p, []power.Reading{{Level: s.Level, Pixel: s.Marks[0].First}})
			require.NoError(t, err)
			r := single.Reply{Typed: strconv.FormatFloat(row.share*volts[0], 'f', 2, 64), Level: s.Level}
			if i == row.skip {
				r = single.Reply{}
			}
			require.NoError(t, trial.Answer(r))
			i++
		}
		r, err := trial.Result()
		require.NoError(t, err)
		e, ok := NewDesk(Options{Prop: p}).TestEntry(trial, r)
		require.True(t, ok)
		assert.Equal(t, row.want, e.Verdict, row.name)
		assert.Contains(t, e.Notes, row.says, row.name)
		assert.Equal(t, row.want == record.Fail, len(e.Findings) > 0, row.name)
	}
}

// A roll call is in the record: passed where the last planned pixel lights, failed where another
// does, stopped without a count. A check-out of the whole prop after it outdates it.
func TestARollCallIsRecorded(t *testing.T) {
	p := prop.Porthole()
	for typed, want := range map[string]record.Verdict{"144": record.Pass, "143": record.Fail, "145": record.Fail, "": record.Stopped} {
		test, err := single.New(single.Count, p)
		require.NoError(t, err)
		trial := &Trial{Test: test}
		require.NoError(t, trial.Answer(single.Reply{Typed: typed}))
		r, err := trial.Result()
		require.NoError(t, err)
		e, ok := NewDesk(Options{Prop: p}).TestEntry(trial, r)
		require.True(t, ok)
		assert.Equal(t, want, e.Verdict, typed)
		assert.Equal(t, record.RollCall, e.Test)
		assert.Equal(t, want == record.Fail, len(e.Findings) > 0, typed)
		assert.Contains(t, e.Notes, r.Lines[0].Text)
		h := record.History{Entries: []record.Entry{e}}
		assert.Len(t, h.Tests(), 1)
		_, whole := h.Last()
		assert.False(t, whole, "a roll call is no check-out")
		h.Entries = append(h.Entries, record.Entry{Kind: "check-out"})
		assert.Empty(t, h.Tests())
	}
}

// A plan change that a fault to be mended explains as well has a doubt that names it; one that is
// the only cause, or whose causes mean the same plan, has none.
func TestTakeOverNamesWhatLooksAlike(t *testing.T) {
	p := prop.Porthole()
	causes := func(names ...string) (out []checkout.Cause) {
		for _, n := range names {
			ft, err := strip.ParseFault(n, p)
			require.NoError(t, err)
			out = append(out, checkout.Cause{Faults: []strip.Fault{ft}, Text: ft.Sentence(p)})
		}
		return out
	}
	for _, row := range []struct {
		causes []checkout.Cause
		doubt  string
	}{
		{causes("count run 3 by -5"), ""},
		{causes("count run 3 by -5", "count run 3 by -5"), ""},
		{causes("count run 3 by -5", "open-joint pixel 140"), "This looks the same: No data reaches pixel 56"},
		{causes("count run 3 by -5", "dead-stop pixel 140", "rail-lost pixel 140"), "So does 1 other cause."},
		{causes("wrong-order pixel 1 order RGB", "count run 3 by -5"), "55 instead of 60"},
	} {
		built := CheckOut{Sub: p, Seen: []checkout.Finding{{Sure: checkout.Certain, Causes: row.causes}}}.AsBuilt()
		require.Empty(t, built.Why)
		assert.Contains(t, built.Doubt, row.doubt)
		assert.Equal(t, row.doubt == "", built.Doubt == "")
	}
}
