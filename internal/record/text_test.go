package record

import (
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
)

// A record edited by hand may hold anything. None of it reaches a terminal or a
// page as a command: escape (C0), CSI (C1), or a turn of the reading direction.
func TestHostileRecordIsPlainText(t *testing.T) {
	const bad = "x\x1b[2Jy\u009b31m\u202ez\tw\n\a"
	e := busy()
	e.Prop, e.Ringout, e.Order, e.Notes, e.PropFile, e.Verdict = bad, bad, bad, bad, bad, Fail
	e.Findings = []Finding{{Kind: bad, Text: bad, Run: bad, Remedy: []string{bad}, Bring: []string{bad}, Because: []string{bad}}}
	e.Runs = []Run{{bad, 3, 2, bad}, {"inner ring", 36, 35, bad}}
	e.Joints, e.Steps = []Joint{{bad, 1, 0}}, []Step{{bad, bad, bad}}
	other := e
	other.Order, other.PropFile, other.Verdict = bad+"2", bad+"\n"+bad, Verdict(bad)
	other.Test, other.Only = RunTest, bad
	h := History{Entries: []Entry{e, other, {Kind: "note", Notes: bad}}, Troubles: []*LineError{{bad, 1, bad}}}
	standing := StandingOf(bad, bad, "", h, evening)
	for name, text := range map[string]string{
		"history": h.Text("", evening), "entry": e.WholeText(), "test": other.WholeText(), "compared": CompareText(e, other),
		"sheet": page(t, prop.Porthole(), e, other).Markdown(), "season": Overview([]Standing{standing}, evening),
	} {
		assert.Contains(t, text, "[2Jy", "%s: the letters stay", name)
		for _, r := range text {
			assert.False(t, r != '\n' && unicode.IsControl(r) || r == 0x202e, "%s: %q in %q", name, r, text)
		}
	}
}

func TestPlain(t *testing.T) {
	for in, want := range map[string]string{
		"two\nlines\tand tab": "two lines and tab",
		"a\x1b[31mb\x00":      "a[31mb",
		"bad\xffbyte":         "bad\ufffdbyte",
		"лампа 灯 é 👩\u200d🔧":  "лампа 灯 é 👩\u200d🔧",
		"x\u202egnp":          "xgnp",
	} {
		assert.Equal(t, want, plain(in))
	}
}
