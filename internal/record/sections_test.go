package record

import (
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
