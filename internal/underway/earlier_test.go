package underway

import (
	"fmt"
	"math"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/checkout/pictures"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/record"
	"example.org/ringout/internal/strip"
)

// allRight is a proof by a camera that watched the prop and read all places as planned.
func allRight(t *testing.T, d *Desk) *pictures.Proof {
	t.Helper()
	s, err := eyes.SceneOf(d.Prop())
	require.NoError(t, err)
	r := &eyes.Result{Watched: true}
	for i := range s.Places() {
		r.Places = append(r.Places, eyes.Place{State: eyes.Read, Reading: eyes.Reading{Slot: i * s.Slots, Chip: s.Slots, Order: s.Order, Strength: [4]float64{1, 1, 1, 0}, Sure: true}})
	}
	p, err := pictures.Weigh(d.Prop(), s, r)
	require.NoError(t, err)
	require.True(t, p.AllRight())
	require.Equal(t, []single.Kind{single.Load}, p.Left())
	return p
}

// loadEntry is the record entry of a load test of the simulated prop, without its first
// skipped readings.
func loadEntry(t *testing.T, d *Desk, skipped int, faults ...strip.Fault) record.Entry {
	t.Helper()
	model, err := strip.New(d.Prop(), faults...)
	require.NoError(t, err)
	trial, _, err := d.BeginTest(single.Load, 1)
	require.NoError(t, err)
	defer d.Release()
	for n := 0; ; n++ {
		step, more := trial.Step()
		if !more {
			break
		}
		sent := step.Show(nil, d.Prop().Pixels(), 0)
		for i := range sent {
			sent[i] = sent[i].Dim(step.Level)
		}
		volts, err := model.Volts(sent)
		require.NoError(t, err)
		reply := single.Reply{Typed: fmt.Sprintf("%.2f", math.Round(100*volts[step.Marks[0].First])/100), Level: step.Level}
		if n < skipped {
			reply = single.Reply{}
		}
		require.NoError(t, trial.Answer(reply))
	}
	r, err := trial.Result()
	require.NoError(t, err)
	e, ok := d.TestEntry(trial, r)
	require.True(t, ok)
	return e
}

// A load test in the record counts for the sign-off by camera if nothing has changed
// since. Otherwise the proof gives the reason why it must be repeated.
func TestALoadTestBeforeTheCamera(t *testing.T) {
	at := func(e record.Entry, days int) record.Entry {
		e.At = then.Add(-time.Duration(days) * 24 * time.Hour)
		return e
	}
	other := func(v record.Verdict, found ...record.Finding) func(*testing.T, *Desk) []record.Entry {
		return func(t *testing.T, d *Desk) []record.Entry {
			return []record.Entry{at(loadEntry(t, d, 0), 9), at(d.stamp(record.Entry{Kind: "check-out", Verdict: v, Findings: found}, d.Text()), 2)}
		}
	}
	for name, c := range map[string]struct {
		entries func(*testing.T, *Desk) []record.Entry
		says    string // empty for no load test in the record
		good    bool
	}{
		"none":                   {func(*testing.T, *Desk) []record.Entry { return nil }, "", false},
		"nothing since":          {func(t *testing.T, d *Desk) []record.Entry { return []record.Entry{at(loadEntry(t, d, 0), 3)} }, "The load test of 22 November 2026 counts", true},
		"a good check-out since": {other(record.Pass), "counts", true},
		"a stopped one since":    {other(record.Stopped), "counts", true},
		"a fault since":          {other(record.Fail, record.Finding{Kind: "dead-pixel"}), "something was found wrong since, on 23 November 2026", false},
		"mended since":           {other(record.Pass, record.Finding{Kind: "dead-pixel", Fixed: true}), "something was mended since, on 23 November 2026", false},
		"a season ago":           {func(t *testing.T, d *Desk) []record.Entry { return []record.Entry{at(loadEntry(t, d, 0), 301)} }, "a season ago", false},
		"yet to come":            {func(t *testing.T, d *Desk) []record.Entry { return []record.Entry{at(loadEntry(t, d, 0), -2)} }, "its date is yet to come", false},
		"readings skipped":       {func(t *testing.T, d *Desk) []record.Entry { return []record.Entry{loadEntry(t, d, 1)} }, "not all of its readings were taken", false},
		"resistance": {func(t *testing.T, d *Desk) []record.Entry {
			return []record.Entry{loadEntry(t, d, 0, strip.Fault{Kind: strip.Resistance, Run: 1, N: 1000})}
		}, "it did not pass", false},
		"a newer one that failed": {func(t *testing.T, d *Desk) []record.Entry {
			return []record.Entry{loadEntry(t, d, 0), loadEntry(t, d, 0, strip.Fault{Kind: strip.Resistance, Run: 1, N: 1000})}
		}, "it did not pass", false},
		"another file": {func(t *testing.T, d *Desk) []record.Entry {
			e := loadEntry(t, d, 0)
			e.PropFile += "# a line more\n"
			return []record.Entry{e}
		}, "the prop file has changed since", false},
		"one run alone": {func(t *testing.T, d *Desk) []record.Entry {
			e := loadEntry(t, d, 0)
			e.Only = "inner ring"
			return []record.Entry{e}
		}, "", false},
	} {
		t.Run(name, func(t *testing.T) {
			d := desk(t)
			for _, e := range c.entries(t, d) {
				require.NoError(t, record.Beside(d.Path()).Append(e))
			}
			p := allRight(t, d)
			d.Earlier(p)
			require.Equal(t, c.good, p.Good(), p.Earlier)
			require.Contains(t, p.Earlier, c.says)
			require.Equal(t, c.says == "", p.Earlier == "")
			require.Equal(t, c.good, len(p.Left()) == 0)
			if !c.good && c.says != "" {
				require.Contains(t, p.Earlier, "so it is wanted again: ")
			}
		})
	}
	d := desk(t)
	file := record.Beside(d.Path())
	require.NoError(t, file.Append(loadEntry(t, d, 0)))
	text, err := os.ReadFile(file.Path)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(file.Path, append(text, "{torn\n"...), 0o644))
	p := allRight(t, d)
	d.Earlier(p)
	require.Contains(t, p.Earlier, "lines that are not as ringout wrote them")
	require.False(t, p.Good())
}
