package record

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestAReasonOfSeveralFindingsStandsOnce(t *testing.T) {
	e := Entry{Kind: "check-out", Findings: []Finding{
		{Text: "dark from pixel 37 on", Because: []string{"blue stayed dark", "the first ring was lit"}},
		{Text: "pixel 97 lacks blue", Because: []string{"blue stayed dark", "red was lit"}}}}
	assert.Equal(t, []string{"dark from pixel 37 on", "  because: blue stayed dark", "  because: the first ring was lit",
		"pixel 97 lacks blue", "  because: red was lit"}, e.findingLines())
}

// Work on the wires begins with the power off, in records of versions that did not say so
// too; what is set in a file or a controller does not.
func TestOldRemediesBeginWithPowerOff(t *testing.T) {
	for remedy, want := range map[string]bool{
		"replace the pixel":                    true,
		"solder the joint before it again":     true,
		"Power off. Re-solder the data joint.": false, // says it itself
		"set the colour order in the file":     false,
		"stop the other source":                false,
	} {
		e := Entry{Kind: "check-out", Findings: []Finding{{Kind: "dark", Text: "dark from pixel 37 on", Remedy: []string{remedy}}}}
		assert.Equal(t, want, slices.Contains(e.findingLines(), "  Power off first."), remedy)
	}
}
