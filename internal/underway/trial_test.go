package underway

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
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
		{"supply low", -1, 0.75, record.Fail, "the chip wants 4.5 V at least"},
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

// A plan change that an open joint or a dead pixel explains as well has a doubt that names it.
func TestTakeOverNamesWhatLooksAlike(t *testing.T) {
	p := prop.Porthole()
	for text, doubted := range map[string]bool{"count run 3 by -5": true, "count run 1 by -2": false, "wrong-order pixel 1 order RGB": false} {
		ft, err := strip.ParseFault(text, p)
		require.NoError(t, err)
		s, err := checkout.New(p, checkout.Options{})
		require.NoError(t, err)
		b, err := checkouttest.New(p, ft)
		require.NoError(t, err)
		for pr, more := s.Next(); more; pr, more = s.Next() {
			require.NoError(t, s.Answer(b.Answer(pr)))
		}
		built := CheckOut{Sub: p, Session: s}.AsBuilt()
		require.Empty(t, built.Why, text)
		assert.Equal(t, doubted, built.Doubt != "", "%s: %s", text, built.Doubt)
		if doubted {
			assert.Contains(t, built.Doubt, "This looks the same, and is to be mended: ")
		}
	}
}
