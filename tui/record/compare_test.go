package record

import (
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/record"
)

func TestCompareAnyTwo(t *testing.T) {
	d, path := newDesk(t, sample, 120, 60, termenv.Ascii)
	require.NoError(t, record.Beside(path).Append(record.Entry{Kind: "check-out", At: evening, Prop: "Porthole", Verdict: record.Pass}))
	d.press("r", "c")
	assert.Contains(t, d.page(), "Entries 3 and 4", "without marks the last two")
	d.press("esc", "down", " ", "end", " ")
	assert.Contains(t, d.page(), "Two are marked: c compares them.")
	d.press("c")
	page := d.page()
	assert.Contains(t, page, "Entries 1 and 3  20 November 2025 and 23 November 2026")
	assert.Contains(t, d.flat(), "Changed since 20 November 2025 WORSE verdict: pass to fail")
	assert.Regexp(t, `joint middle ring to outer ring +0.05 ± 0.02 Ω +0.38 ± 0.04 Ω`, page)
	d.press("esc", "home", " ", "c")
	assert.Contains(t, d.page(), "Entries 1 and 4", "a third mark takes the place of the oldest: entry 1 stays")
	d.press("esc", "up", " ", "down", "down", " ")
	assert.Contains(t, d.page(), "A note has nothing to compare")
}

func TestCompareNeedsTwo(t *testing.T) {
	d, _ := newDesk(t, "", 80, 21, termenv.Ascii)
	assert.Contains(t, d.flat(), "Nothing is recorded of this prop yet.")
	assert.Contains(t, d.flat(), "Due: a first check-out")
	d.press("c")
	assert.Contains(t, d.page(), "Two check-outs are needed to compare.")
}
