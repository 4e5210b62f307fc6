package cli

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
)

// A bulb's check in plain lines is slot by slot, and its check-out in the record. Left at once it is no
// failure, as with a strip.
func TestABulbInPlainLinesIsAskedSlotBySlot(t *testing.T) {
	file := onWire(t, "buoylamp", prop.BuoyLamp())
	code, _, errs := command(t, "x\n", "check", file, "--plain")
	require.Zero(t, code, errs)
	assert.Contains(t, errs, "nothing was answered, so nothing is recorded\n")
	assert.NoFileExists(t, record.Beside(file).Path)

	code, out, errs := command(t, "r\ng\nb\nw\n1\n1\n1\n1\n", "check", file, "--plain")
	require.Zero(t, code, errs)
	assert.Contains(t, out, "Check of the bulb of Buoy lamp.")
	assert.Contains(t, out, "Slot 4 of 4 is lit, all others are dark.")
	assert.Contains(t, out, "The bulb is as planned.")
	assert.Equal(t, record.Pass, lastOf(t, file, prop.BuoyLamp().Name).Verdict)
}

// A bulb has no runs: that is refused before anything is lit, asked or written.
func TestABulbRefusesWhatItHasNot(t *testing.T) {
	file := onWire(t, "buoylamp", prop.BuoyLamp())
	before, err := os.ReadDir(filepath.Dir(file))
	require.NoError(t, err)
	for _, row := range []struct {
		args []string
		want string
	}{
		{[]string{file, "--run", "bulb"}, "is a bulb, which has no runs or parts to check alone: leave --run and --part out\n"},
		{[]string{file, "--plain", "--part", "bulb"}, "leave --run and --part out\n"},
	} {
		code, out, errs := command(t, `{"answer":1}`+"\n", append([]string{"check"}, row.args...)...)
		assert.Equal(t, 2, code, row.args)
		assert.Empty(t, out, row.args)
		assert.Contains(t, errs, row.want, row.args)
	}
	after, err := os.ReadDir(filepath.Dir(file))
	require.NoError(t, err)
	assert.Equal(t, len(before), len(after), "no record, no answers kept")
}

// A bulb of three slots, which has no check slot by slot, has the check-out.
func TestABulbOfThreeSlotsHasTheCheckOut(t *testing.T) {
	file := onWire(t, "buoylamp", prop.BuoyLamp())
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	text = regexp.MustCompile(`(?m)^chip = .*$`).ReplaceAll(text, []byte("chip = \"bulb RGBW\"\norder = \"RGB\""))
	require.NoError(t, os.WriteFile(file, text, 0o644))
	code, out, errs := command(t, "x\n", "check", file, "--plain")
	require.Zero(t, code, errs)
	assert.Contains(t, out, "Check-out of Buoy lamp: 1 pixel")
}
