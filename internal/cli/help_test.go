package cli

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestHelpShowsPagesAndCommands(t *testing.T) {
	code, out, errs := command(t, "", "help", "prop-file")
	assert.Zero(t, code, errs)
	assert.Contains(t, out, "THE PROP FILE\n")
	assert.Contains(t, out, "\n  density\n      LEDs (not pixels)")

	code, out, _ = command(t, "", "help", "send")
	assert.Zero(t, code)
	assert.Contains(t, out, "ringout send PATTERN")

	code, out, _ = command(t, "", "help")
	assert.Zero(t, code)
	assert.Contains(t, out, "a page of reference: prop-file, commands, words, json-lines, limits")

	code, _, errs = command(t, "", "help", "prob-file")
	assert.Equal(t, 2, code)
	assert.Contains(t, errs, `"prob-file" is neither a command nor a page: give one of check,`)

	_, out, _ = command(t, "", "__complete", "help", "")
	assert.Contains(t, out, "prop-file\n")
	assert.Contains(t, out, "send\n")
}
