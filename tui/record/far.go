package record

import (
	"strings"

	"example.org/ringout/internal/record"
	"example.org/ringout/tui/screen"
)

// Far is how the last check-out ended.
func (m Model) Far() screen.Far {
	for i := len(m.history.Entries) - 1; i >= 0 && m.path != ""; i-- {
		e := m.history.Entries[i]
		if e.Kind != "check-out" {
			continue
		}
		day := e.At.Format("2 January")
		switch e.Verdict {
		case record.Pass, record.Fail:
			return screen.Far{Texts: []string{string(e.Verdict) + ", " + day, string(e.Verdict)}}
		}
		return screen.Far{Texts: []string{strings.TrimPrefix(e.Headline(), "check-out: "), "not settled"}}
	}
	return screen.Far{Texts: []string{"no check-out yet", "none yet"}}
}
