package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

func texts(cs []Change) (out []string) {
	for _, c := range cs {
		mark := "  "
		if c.Worse {
			mark = "! "
		}
		out = append(out, mark+c.Text)
	}
	return out
}

func TestCompare(t *testing.T) {
	from := Entry{Kind: "check-out", At: time.Date(2025, 11, 20, 20, 0, 0, 0, time.UTC), Verdict: Pass, Order: "GRB",
		Runs:   []Run{{"inner", 36, 36, "as planned"}, {"outer", 60, 60, ""}},
		Joints: []Joint{{"inner to middle", 0.05, 0.01}, {"middle to outer", 0.05, 0.02}, {"lead", 0.1, 0}},
		Volts:  []Reading{{144, 1, 4.61}, {72, 1, 4.80}},
	}
	lost := Finding{Kind: "dead-channel", Text: "pixel 97 has lost its blue", Pixel: 97, Channel: "blue"}
	to := Entry{Kind: "check-out", At: evening, Verdict: Fail, Order: "GRB", Findings: []Finding{lost},
		Runs:   []Run{{"inner", 36, 35, "reversed"}, {"outer", 60, 60, "as planned"}},
		Joints: []Joint{{"inner to middle", 0.05, 0.01}, {"middle to outer", 0.38, 0.04}, {"lead", 0.11, 0}},
		Volts:  []Reading{{144, 1, 4.32}, {72, 1, 4.78}, {36, 1, 4.9}},
	}
	assert.Equal(t, []string{
		"! verdict: pass to fail since 20 November 2025",
		"! pixel 97 has lost its blue, new since 20 November 2025",
		`! run "inner": 36 to 35 pixels since 20 November 2025`,
		`! run "inner": travel as planned to reversed since 20 November 2025`,
		"! joint middle to outer: 0.05 to 0.38 Ω since 20 November 2025",
		"! at pixel 144, level 100 %: 4.61 V to 4.32 V since 20 November 2025",
	}, texts(Compare(from, to)))

	back := texts(Compare(to, from))
	assert.Contains(t, back, "  no longer found: pixel 97 has lost its blue")
	assert.Contains(t, back, "  joint middle to outer: 0.38 to 0.05 Ω since 25 November 2026")
	assert.Empty(t, Compare(from, from))
	assert.Equal(t, []string{"  still there: pixel 97 has lost its blue"}, texts(Compare(to, to)))
}

func TestNotCheckedIsNoChange(t *testing.T) {
	from := Entry{Kind: "check-out", At: evening, Order: "GRB", Runs: []Run{{"inner", 36, 36, "as planned"}}}
	to := Entry{Kind: "check-out", At: evening, Runs: []Run{{"inner", 36, 0, ""}}}
	assert.Empty(t, Compare(from, to))
}

func TestDue(t *testing.T) {
	fault := Finding{Kind: "open-joint", Text: "dark from pixel 37 on"}
	mended := fault
	mended.Fixed = true
	for _, row := range []struct {
		name string
		in   []Entry
		want []string
	}{
		{"never", []Entry{{Kind: "note", At: evening}}, []string{"a first check-out"}},
		{"fresh", []Entry{{Kind: "check-out", At: evening, Verdict: Pass, PropFile: "a"}}, nil},
		{"open", []Entry{{Kind: "check-out", At: evening, Verdict: Fail, Findings: []Finding{fault}}}, []string{"left to mend since 25 November 2026: dark from pixel 37 on"}},
		{"mended", []Entry{{Kind: "check-out", At: evening, Verdict: Pass, Findings: []Finding{mended}}}, []string{"something was mended on 25 November 2026: check again after it is sealed and warm"}},
		{"stopped", []Entry{{Kind: "check-out", At: evening, Verdict: Stopped}}, []string{"the last check-out was stopped half-way on 25 November 2026"}},
		{"changed", []Entry{{Kind: "check-out", At: evening, Verdict: Pass, PropFile: "b"}}, []string{"the prop file has changed since the last check-out"}},
		{"old", []Entry{{Kind: "check-out", At: evening.AddDate(-1, 0, 0), Verdict: Pass}}, []string{"last checked on 25 November 2025, a season ago"}},
		{"a day ahead", []Entry{{Kind: "check-out", At: evening.AddDate(0, 0, 1), Verdict: Pass}}, nil},
		{"yet to come", []Entry{{Kind: "check-out", At: evening.AddDate(4, 0, 0), Verdict: Pass}}, []string{"the last check-out is dated 25 November 2030, which is yet to come: see to the clock and check again"}},
		{"last counts", []Entry{{Kind: "check-out", At: evening, Verdict: Fail}, {Kind: "check-out", At: evening, Verdict: Pass}, {Kind: "note", At: evening}}, nil},
	} {
		t.Run(row.name, func(t *testing.T) {
			assert.Equal(t, row.want, History{Entries: row.in}.Due("a", evening.Add(time.Hour)))
		})
	}
}
