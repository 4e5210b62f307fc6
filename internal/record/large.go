package record

import (
	"fmt"
	"strings"
	"time"

	"example.org/ringout/internal/words"
)

// Large says how the last check-out of the whole prop ended, in ever fewer words, to be
// written large. Single tests are passed over, as Last does. A date, and a pixel and its
// number, have spaces in them at which no line is broken (U+00A0).
func (h History) Large() []string {
	e, ok := h.Last()
	if !ok {
		return []string{"Not checked yet", "Not checked"}
	}
	return e.Large()
}

// Large says how a check-out ended, in ever fewer words: what is left to mend, else the
// verdict and its day. A note has none.
func (e Entry) Large() []string {
	day := whole(e.At)
	switch open := e.open(); {
	case e.Kind != "check-out":
		return nil
	case e.Verdict == Fail && len(open) == 1:
		return append([]string{strings.ReplaceAll(words.Capital(plain(open[0].Text)), "ixel ", "ixel\u00a0")}, append(open[0].where(), "Fail, "+day)...)
	case e.Verdict == Fail && len(open) > 1:
		return []string{fmt.Sprintf("Fail: %d left to mend", len(open)), fmt.Sprintf("%d left to mend", len(open))}
	case e.Verdict == Pass, e.Verdict == Fail:
		return []string{string(e.Verdict) + ", " + day, string(e.Verdict)}
	}
	return []string{strings.TrimPrefix(e.Headline(), "check-out: "), "Not settled"}
}

// where is where a finding is, in a few words; nil where that is not one pixel.
func (f Finding) where() []string {
	if f.Pixel < 1 {
		return nil
	}
	return []string{fmt.Sprintf("Fail: pixel\u00a0%d", f.Pixel)}
}

// Day is how dates are written.
const Day = "2 January 2006"

// whole is a date that is not broken.
func whole(t time.Time) string {
	return strings.ReplaceAll(t.Format(Day), " ", "\u00a0")
}
