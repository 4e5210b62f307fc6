package record

import (
	"fmt"
	"math"
	"slices"
	"time"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// A Change is one difference between two check-outs of the same prop.
type Change struct {
	What  string `json:"what"`  // what it is about: "verdict", "joint", "count", "order", "volts", "finding"
	Text  string `json:"text"`  // in words and figures
	Worse bool   `json:"worse"` // the later one is worse
}

// Compare lists what changed from an earlier check-out to a later one. What only one of
// them checked is reported as not checked, never as a change.
func Compare(from, to Entry) []Change {
	var out []Change
	since := "since " + from.At.Format(Day)
	out = append(out, compareVerdict(from, to, since)...)
	out = append(out, compareFindings(from, to, since)...)
	out = append(out, compareRuns(from, to, since)...)
	if from.Order != "" && to.Order != "" && from.Order != to.Order {
		out = append(out, Change{"order", fmt.Sprintf("colour order: %s to %s %s", from.Order, to.Order, since), true})
	}
	out = append(out, compareJoints(from, to, since)...)
	out = append(out, compareVolts(from, to, since)...)
	return out
}

func compareVerdict(from, to Entry, since string) []Change {
	if from.Verdict == to.Verdict || from.Verdict == "" || to.Verdict == "" {
		return nil
	}
	return []Change{{"verdict", fmt.Sprintf("verdict: %s to %s %s", from.Verdict, to.Verdict, since), to.Verdict == Fail}}
}

// key identifies a finding by kind and place, not by its words.
func (f Finding) key() string {
	return fmt.Sprint(f.Kind, "|", f.Run, "|", f.Pixel, "|", f.Channel)
}

// open returns the findings that were still faults at the end of the check-out.
func (e Entry) open() []Finding {
	return slices.DeleteFunc(slices.Clone(e.Findings), func(f Finding) bool {
		return f.Kind == "good" || f.Fixed
	})
}

func compareFindings(from, to Entry, since string) []Change {
	var out []Change
	has := func(in []Finding, f Finding) bool {
		return slices.ContainsFunc(in, func(g Finding) bool { return g.key() == f.key() })
	}
	for _, f := range to.open() {
		if has(from.open(), f) {
			out = append(out, Change{"finding", "still there: " + f.Text, false})
		} else {
			out = append(out, Change{"finding", fmt.Sprintf("%s, new %s", f.Text, since), true})
		}
	}
	for _, f := range from.open() {
		if !has(to.open(), f) {
			out = append(out, Change{"finding", "no longer found: " + f.Text, false})
		}
	}
	return out
}

func compareRuns(from, to Entry, since string) []Change {
	var out []Change
	for _, b := range to.Runs {
		i := slices.IndexFunc(from.Runs, func(a Run) bool { return a.Name == b.Name })
		if i < 0 {
			out = append(out, Change{"count", fmt.Sprintf("run %q is new %s", b.Name, since), false})
			continue
		}
		a := from.Runs[i]
		if a.Found > 0 && b.Found > 0 && a.Found != b.Found {
			out = append(out, Change{"count", fmt.Sprintf("run %q: %d to %d pixels %s", b.Name, a.Found, b.Found, since), b.Found < a.Found})
		}
		if a.Travel != "" && b.Travel != "" && a.Travel != b.Travel {
			out = append(out, Change{"travel", fmt.Sprintf("run %q: travel %s to %s %s", b.Name, a.Travel, b.Travel, since), b.Travel != "as planned"})
		}
	}
	for _, a := range from.Runs {
		if !slices.ContainsFunc(to.Runs, func(b Run) bool { return a.Name == b.Name }) && len(to.Runs) > 0 {
			out = append(out, Change{"count", fmt.Sprintf("run %q is gone %s", a.Name, since), false})
		}
	}
	return out
}

// leadOhms is the smallest difference of joint estimates that counts, in ohms: about the error
// from a bench meter's leads (common practice). If two standard deviations of the difference
// are more, they are the limit.
const leadOhms = 0.02

func compareJoints(from, to Entry, since string) []Change {
	var out []Change
	for _, j := range changedJoints(from, to) {
		a, b := j[0], j[1]
		out = append(out, Change{"joint", fmt.Sprintf("joint %s: %s to %s %s", b.Name, words.Figure(a.Ohms), words.Ohms(b.Ohms), since), b.Ohms > a.Ohms})
	}
	return out
}

// changedJoints are the joints whose resistance differs between two check-outs by more than
// the readings may be off: as it was, and as it is.
func changedJoints(from, to Entry) (out [][2]Joint) {
	for _, b := range to.Joints {
		i := slices.IndexFunc(from.Joints, func(a Joint) bool { return a.Name == b.Name })
		if i < 0 {
			continue
		}
		a := from.Joints[i]
		if math.Abs(b.Ohms-a.Ohms) > max(leadOhms, 2*math.Hypot(a.PlusMinus, b.PlusMinus)) {
			out = append(out, [2]Joint{a, b})
		}
	}
	return out
}

// WorseJoints names the joints that have more resistance in the later of two check-outs.
func WorseJoints(from, to Entry) (names []string) {
	for _, j := range changedJoints(from, to) {
		if j[1].Ohms > j[0].Ohms {
			names = append(names, j[1].Name)
		}
	}
	return names
}

// leastVolts is the difference between two readings above which it counts, in volts: 50 mV
// is five steps of the last digit of a meter on its 20 V range, 10 mV (common practice).
const leastVolts = 0.05

func compareVolts(from, to Entry, since string) []Change {
	var out []Change
	for _, v := range changedVolts(from, to) {
		a, b := v[0], v[1]
		out = append(out, Change{"volts", fmt.Sprintf("at pixel %d, level %s: %s to %s %s", b.Pixel, words.WholePercent(b.Level), words.Volts(a.Volts), words.Volts(b.Volts), since), b.Volts < a.Volts})
	}
	return out
}

// changedVolts are the readings at one pixel and level that differ, the earlier one first.
func changedVolts(from, to Entry) (out [][2]Reading) {
	for _, b := range to.Volts {
		i := slices.IndexFunc(from.Volts, func(a Reading) bool { return a.Pixel == b.Pixel && math.Abs(a.Level-b.Level) < 0.005 })
		if i >= 0 && math.Abs(b.Volts-from.Volts[i].Volts) > leastVolts {
			out = append(out, [2]Reading{from.Volts[i], b})
		}
	}
	return out
}

// WorseVolts are the pixels, from 1, at which the later of two check-outs read fewer volts.
func WorseVolts(from, to Entry) (pixels []int) {
	for _, v := range changedVolts(from, to) {
		if v[1].Volts < v[0].Volts {
			pixels = append(pixels, v[1].Pixel)
		}
	}
	return pixels
}

// season is how long a check-out stays valid: props are used once a year and stored in
// between (common practice).
const season = 300 * 24 * time.Hour

// Due lists why the prop should be checked again, most urgent first; empty when it need
// not. propFile is the current text of the prop file.
func (h History) Due(propFile string, now time.Time) []string {
	last, ok := h.Last()
	if !ok {
		return append([]string{"a first check-out"}, h.dueTests()...)
	}
	var due []string
	switch last.Verdict {
	case Fail:
		for _, f := range last.open() {
			due = append(due, "left to mend since "+last.At.Format(Day)+": "+f.Text)
		}
		if len(due) == 0 {
			due = append(due, "the last check-out did not pass")
		}
	case Stopped:
		due = append(due, "the last check-out was stopped half-way on "+last.At.Format(Day))
	}
	due = append(due, h.dueTests()...)
	if slices.ContainsFunc(last.Findings, func(f Finding) bool { return f.Fixed }) {
		due = append(due, "something was mended on "+last.At.Format(Day)+": check again after it is sealed and warm")
	}
	if last.Edited {
		due = append(due, "the line of the last check-out was changed after ringout wrote it: check again")
	}
	if last.changed(propFile) {
		due = append(due, "the prop file has changed since the last check-out")
	}
	switch {
	case last.Verdict == Pass && last.Ahead(now):
		due = append(due, "the last check-out is dated "+last.At.Format(Day)+", which is yet to come: see to the clock and check again")
	case now.Sub(last.At) > season:
		due = append(due, "last checked on "+last.At.Format(Day)+", a season ago")
	}
	return due
}

// maxSkew is how far two clocks may differ before a date counts as yet to come.
const maxSkew = 24 * time.Hour

// Ahead reports whether an entry's date is yet to come, as of a clock that was wrong then or
// is now: its age is not known.
func (e Entry) Ahead(now time.Time) bool { return e.At.Sub(now) > maxSkew }

// Fits reports whether the entry is of a prop with the same runs, colour order and address.
// Names may differ. An entry that does not hold its prop file fits, unless it says that it is
// of other figures.
func (e Entry) Fits(p *prop.Prop) bool {
	if e.PropFile == "" {
		return !e.Unfiled
	}
	then, _, err := prop.Parse([]byte(e.PropFile), "")
	if err != nil {
		return false
	}
	old, err := prop.RowsFor(then)
	if err != nil {
		return false
	}
	now, err := prop.RowsFor(p)
	return err == nil && slices.EqualFunc(old, now, func(a, b prop.Row) bool {
		a.Prop, a.Run = b.Prop, b.Run
		return a == b
	})
}

// fitsCopper reports whether the entry is of a prop with the same supply, copper and chip, so
// that its readings are of what is there now. An entry that does not hold its prop file fits.
func (e Entry) fitsCopper(p *prop.Prop) bool {
	if e.PropFile == "" {
		return true
	}
	then, _, err := prop.Parse([]byte(e.PropFile), "")
	if err != nil {
		return false
	}
	old, err := power.Copper(then)
	if err != nil {
		return false
	}
	now, err := power.Copper(p)
	return err == nil && old == now
}

// changed reports whether the prop file, whose text is given, differs from that of the entry.
func (e Entry) changed(propFile string) bool {
	return e.Unfiled || propFile != "" && e.PropFile != "" && propFile != e.PropFile
}

// dueTests lists the single tests that did not pass, or whose line was changed by hand.
func (h History) dueTests() (due []string) {
	for _, e := range h.Tests() {
		on := " of " + e.At.Format(Day)
		if e.Edited {
			due = append(due, e.kind()+on+": its line was changed after ringout wrote it, take it again")
		}
		if e.Verdict != Fail {
			continue
		}
		for _, f := range e.open() {
			due = append(due, e.kind()+on+": "+f.Text)
		}
		if len(e.open()) == 0 {
			due = append(due, e.kind()+on+" did not pass")
		}
	}
	return due
}
