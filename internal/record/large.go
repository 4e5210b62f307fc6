package record

import (
	"fmt"
	"strings"
	"time"

	"example.org/ringout/internal/prop"
)

// Large says how the last check-out of the whole prop ended, in versions from longest
// to shortest, for large letters. Single tests are ignored, as in Last. Dates, and
// "pixel" and its number, are joined with no-break spaces (U+00A0).
func (h History) Large() []string {
	e, ok := h.Last()
	if !ok {
		return []string{"Not checked yet", "Not checked"}
	}
	return e.Large()
}

// LargeFor is Large for the prop as it is now: one that was changed since it passed has to be
// checked again.
func (h History) LargeFor(p *prop.Prop) []string {
	switch e, ok := h.Last(); {
	case !ok || e.Verdict != Pass:
	case e.Edited:
		return []string{"Record changed by hand", "Check it again", "Check again"}
	case !e.Fits(p):
		return []string{"Changed since it passed", "Check it again", "Check again"}
	}
	return h.Large()
}

// Large says how a check-out ended, in versions from longest to shortest: the remaining
// fault, or else the verdict and date. A note has none.
func (e Entry) Large() []string {
	day := unbrokenDate(e.At)
	switch open := e.open(); {
	case e.Kind != "check-out":
		return nil
	case e.Verdict == Fail && len(open) == 1:
		return append([]string{"Fail: " + strings.ReplaceAll(plain(open[0].Text), "ixel ", "ixel\u00a0")}, append(open[0].where(), "Fail, "+day)...)
	case e.Verdict == Fail && len(open) > 1:
		return []string{fmt.Sprintf("Fail: %d left to mend", len(open)), fmt.Sprintf("%d left to mend", len(open))}
	case e.Verdict == Pass, e.Verdict == Fail:
		return []string{string(e.Verdict) + ", " + day, string(e.Verdict)}
	}
	return []string{strings.TrimPrefix(e.Headline(), "check-out: "), "Not settled"}
}

// where is the place of a finding in a few words; nil unless it is one pixel.
func (f Finding) where() []string {
	if f.Pixel < 1 {
		return nil
	}
	return []string{fmt.Sprintf("Fail: pixel\u00a0%d", f.Pixel)}
}

// Day is the date format.
const Day = "2 January 2006"

// unbrokenDate is a date with no-break spaces.
func unbrokenDate(t time.Time) string {
	return strings.ReplaceAll(t.Format(Day), " ", "\u00a0")
}
