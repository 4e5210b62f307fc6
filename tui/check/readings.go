package check

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/checkout/joints"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/underway"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/style"
)

// readingsOf are the readings of a load test with the planned ones, the last the one to
// take now; nil for other tests and for a plan that can't be solved.
func readingsOf(t *underway.Trial) []joints.PlannedReading {
	l, ok := t.Test.(single.LoadTest)
	if !ok {
		return nil
	}
	all, _ := l.Compare()
	return all
}

// readingRows are the readings as a table of so many columns, where it has room there: its head, and a row each.
func readingRows(all []joints.PlannedReading, width int) (head string, rows []string) {
	row, pixel := "%5s  %5s  %7s  %7s", "pixel"
	if width < ansi.StringWidth(fmt.Sprintf(row, "", "", "", "")) { // as wide as the narrowest column of answers
		row, pixel = "%4s  %5s  %7s  %7s", "at"
	}
	for _, r := range all {
		read := "to read"
		if r.Taken {
			read = words.Volts(r.Volts)
		}
		rows = append(rows, fmt.Sprintf(row, fmt.Sprint(r.Pixel+1), words.WholePercent(r.Level), read, words.Volts(r.Planned)))
	}
	return fmt.Sprintf(row, pixel, "level", "read", "planned"), rows
}

// readingSide is the end of the table, as many rows as fit.
func readingSide(st style.Styles, all []joints.PlannedReading, width, rows int) []string {
	head, body := readingRows(all, width)
	if len(all) == 0 || rows < 2 || ansi.StringWidth(head) > width {
		return nil
	}
	body = body[max(0, len(body)-rows+1):]
	if last := len(body) - 1; !all[len(all)-1].Taken {
		body[last] = st.Strong.Render(body[last])
	}
	return append([]string{st.Quiet.Render(head)}, body...)
}

// readings lists all of them below a head.
func (t *lineWriter) readings(all []joints.PlannedReading) {
	all = slices.DeleteFunc(slices.Clone(all), func(r joints.PlannedReading) bool { return !r.Taken })
	if len(all) == 0 {
		return
	}
	t.head("The readings, beside the plan")
	head, rows := readingRows(all, t.width)
	in := strings.Repeat(" ", edge)
	t.lines = append(t.lines, in+t.style.Quiet.Render(head))
	for _, r := range rows {
		t.begins()
		t.lines = append(t.lines, in+r)
	}
}
