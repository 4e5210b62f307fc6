package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// What stands large is of the whole prop: a load test that passed after a check-out
// that failed does not make it good.
func TestLargeIsOfTheWholeProp(t *testing.T) {
	at := time.Date(2026, 6, 3, 20, 0, 0, 0, time.UTC)
	failed := Entry{Kind: "check-out", At: at, Verdict: Fail}
	load := Entry{Kind: "check-out", At: at.AddDate(0, 0, 1), Verdict: Pass, Test: LoadTest}
	note := Entry{Kind: "note", At: at.AddDate(0, 0, 2), Notes: "tubes cut"}
	left := Entry{Kind: "check-out", At: at.AddDate(0, 0, 3), Verdict: Stopped}

	assert.Equal(t, "No check-out yet", History{}.Large()[0])
	assert.Equal(t, "No check-out yet", History{Entries: []Entry{load, note}}.Large()[0])
	assert.Equal(t, []string{"fail, 3 June", "fail"}, History{Entries: []Entry{failed, load, note}}.Large())
	assert.Equal(t, "stopped", History{Entries: []Entry{failed, left}}.Large()[0])
}
