package record

import (
	"fmt"
	"strings"
	"time"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/words"
)

// Text is the history for a terminal: entries numbered from 1, oldest first, then what
// is due and problems with the file.
func (h History) Text(propFile string, now time.Time) string {
	var b strings.Builder
	if len(h.Entries) == 0 {
		b.WriteString("Nothing is recorded yet.\n")
	}
	for i, e := range h.Entries {
		fmt.Fprintf(&b, "%3d  %s  %s\n", i+1, e.At.Format("2006-01-02 15:04"), e.Headline())
		for _, l := range e.lines() {
			fmt.Fprintf(&b, "       %s\n", l)
		}
	}
	for _, d := range h.Due(propFile, now) {
		fmt.Fprintf(&b, "due: %s\n", plain(d))
	}
	for _, t := range h.Troubles {
		fmt.Fprintf(&b, "warning: %s\n", plain(t.Error()))
	}
	return b.String()
}

// Headline is the entry in one line.
func (e Entry) Headline() string {
	if e.Kind != "check-out" {
		return "note: " + plain(e.Notes)
	}
	s := fmt.Sprintf("%s: %s", e.kind(), plain(string(e.Verdict)))
	if len(e.Steps) > 0 {
		s += ", " + words.Count(len(e.Steps), "answer")
	}
	open, unsure := e.open(), 0
	for _, f := range open {
		if sure, _ := checkout.Certainty(f.Sure, false); f.Sure > 0 && !sure.Firm() {
			unsure++
		}
	}
	switch {
	case len(open) == 0:
	case e.Verdict == Stopped && unsure == len(open): // nothing was found that could be mended
		s += fmt.Sprintf(", %d not ruled out", unsure)
	default:
		s += fmt.Sprintf(", %d left to mend", len(open))
	}
	return s
}

// lines are the results of a check-out.
func (e Entry) lines() []string {
	var out []string
	if e.Kind != "check-out" {
		return nil
	}
	for _, f := range e.Findings {
		text := plain(f.Text)
		if f.Fixed {
			text += " (mended)"
		}
		out = append(out, text)
	}
	for _, r := range e.Runs {
		if r.Found > 0 && r.Found != r.Planned {
			out = append(out, plain(r.Name)+": "+r.count())
		}
	}
	if e.Order != "" {
		out = append(out, "colour order "+plain(e.Order))
	}
	for _, j := range e.jointLines() {
		out = append(out, "joint "+j)
	}
	out = append(out, e.voltLines()...)
	out = append(out, e.Camera.lines()...)
	for _, b := range e.Built {
		out = append(out, "as built: "+plain(b))
	}
	if e.Notes != "" {
		out = append(out, "note: "+plain(e.Notes))
	}
	return out
}

// Pick finds an entry by its number in Text; 0 or less counts from the end: 0 is the
// last, -1 the one before.
func (h History) Pick(n int) (Entry, error) {
	i := n - 1
	if n <= 0 {
		i = len(h.Entries) - 1 + n
	}
	if i < 0 || i >= len(h.Entries) {
		if len(h.Entries) == 0 {
			return Entry{}, fmt.Errorf("there is no entry %d: the record is empty", n)
		}
		return Entry{}, fmt.Errorf("there is no entry %d: give 1 to %d", n, len(h.Entries))
	}
	return h.Entries[i], nil
}
