package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
)

// The large text is about the whole prop: a load test that passes after a failed check-out
// does not make it good.
func TestLargeIsOfTheWholeProp(t *testing.T) {
	at := time.Date(2026, 6, 3, 20, 0, 0, 0, time.UTC)
	failed := Entry{Kind: "check-out", At: at, Verdict: Fail}
	load := Entry{Kind: "check-out", At: at.AddDate(0, 0, 1), Verdict: Pass, Test: LoadTest}
	note := Entry{Kind: "note", At: at.AddDate(0, 0, 2), Notes: "tubes cut"}
	left := Entry{Kind: "check-out", At: at.AddDate(0, 0, 3), Verdict: Stopped}

	assert.Equal(t, "Not checked yet", History{}.Large()[0])
	assert.Equal(t, "Not checked yet", History{Entries: []Entry{load, note}}.Large()[0])
	assert.Equal(t, []string{"fail, 3\u00a0June\u00a02026", "fail"}, History{Entries: []Entry{failed, load, note}}.Large())
	assert.Equal(t, "stopped", History{Entries: []Entry{failed, left}}.Large()[0])
}

// The longest text names the open fault, shorter ones its pixel or the verdict. Of several
// faults the texts give the number. A note has no large text.
func TestLargeSaysWhatIsLeft(t *testing.T) {
	at := time.Date(2026, 11, 23, 20, 0, 0, 0, time.UTC)
	blue := Finding{Kind: "lost-colour", Text: "pixel 97 has lost its blue", Pixel: 97}
	e := Entry{Kind: "check-out", At: at, Verdict: Fail, Findings: []Finding{{Kind: "good", Text: "all else is sound"}, blue}}
	assert.Equal(t, []string{"Fail: pixel\u00a097 has lost its blue", "Fail: pixel\u00a097", "Fail, 23\u00a0November\u00a02026"}, e.Large())
	e.Findings = append(e.Findings, Finding{Kind: "open-joint", Text: "dark from 37"})
	assert.Equal(t, []string{"Fail: 2 left to mend", "2 left to mend"}, e.Large())
	e.Findings[1].Fixed, e.Findings[2].Fixed = true, true
	assert.Equal(t, []string{"fail, 23\u00a0November\u00a02026", "fail"}, e.Large())
	assert.Empty(t, Entry{Kind: "note", Notes: "tubes cut"}.Large())
}

// A prop that was changed since it passed is not called passed; one that failed still has its fault.
func TestLargeWordsOfAChangedProp(t *testing.T) {
	p := prop.Porthole()
	text := prop.DemoFile("porthole")
	h := History{Entries: []Entry{{Kind: "check-out", At: evening, Verdict: Pass, PropFile: text}}}
	assert.Equal(t, h.Large(), h.LargeFor(p))
	p.Address.Universe++
	assert.Equal(t, "Changed since it passed", h.LargeFor(p)[0])
	h.Entries[0].Verdict = Fail
	assert.Equal(t, h.Large(), h.LargeFor(p))
	assert.Equal(t, History{}.Large(), History{}.LargeFor(p))
}
