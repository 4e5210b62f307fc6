package record

import "strings"

// Large says how the last check-out of the whole prop ended, in ever fewer words, to be
// written large. Single tests are passed over, as Last does.
func (h History) Large() []string {
	e, ok := h.Last()
	if !ok {
		return []string{"No check-out yet", "Not checked"}
	}
	day := e.At.Format("2 January")
	switch e.Verdict {
	case Pass, Fail:
		return []string{string(e.Verdict) + ", " + day, string(e.Verdict)}
	}
	return []string{strings.TrimPrefix(e.Headline(), "check-out: "), "Not settled"}
}
