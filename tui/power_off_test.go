package tui

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// workOnWires is what a text says that asks for an iron, a cutter or fingers at the wires.
var workOnWires = regexp.MustCompile(`(?i)\b(re-?solder|solder|cut (the )?plus|cut off|cut out|cut before|join plus|join the ground|make both|there again|thicker (or shorter )?wire|thicker lead|more feeds|another feed|a feed there|add %d more|fuse every feed|level shifter|in series)\b`)

// powerIsOff is how a text says so.
var powerIsOff = regexp.MustCompile(`(?i)\bpower (is )?off\b`)

// Every text that asks to cut, to solder, to join, to feed or to fuse says that the power goes
// off first, in that text; those that only speak of it stand in the list with a reason.
func TestWorkOnWiresBeginsWithThePowerOff(t *testing.T) {
	reasons := reasonsIn(t, "testdata/power-off.tsv")
	for _, folder := range append([]string{"../internal/checkout/dialog", "../internal/checkout/pictures", "../internal/cli"}, spoken...) {
		for _, s := range textsOf(t, folder, false) {
			s = strings.ReplaceAll(s, "\n", " ")
			at := workOnWires.FindStringIndex(s)
			if at == nil {
				continue
			}
			if off := powerIsOff.FindStringIndex(s); off != nil && off[0] < at[1] {
				continue
			}
			_, ok := reasons[s]
			assert.True(t, ok, "%s: say that the power goes off first, or give a reason in testdata/power-off.tsv:\n%q", folder, s)
			reasons[s] = true
		}
	}
	for s, used := range reasons {
		assert.True(t, used, "no text says this any more: %s", s)
	}
}
