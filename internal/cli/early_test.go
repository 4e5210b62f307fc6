package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
)

// onWire writes a demo's prop file that points at a simulated prop.
func onWire(t *testing.T, name string, p *prop.Prop) (file string) {
	t.Helper()
	_, p = startNode(t, p)
	file = filepath.Join(t.TempDir(), name+".toml")
	text := strings.Replace(prop.DemoFile(name), `host     = "127.0.0.1"`, fmt.Sprintf("host     = \"127.0.0.1\"\nport     = %d", p.Address.Port), 1)
	require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
	return file
}

func lastOf(t *testing.T, file, name string) record.Entry {
	t.Helper()
	h, err := record.Beside(file).Read(name)
	require.NoError(t, err)
	require.NotEmpty(t, h.Entries)
	return h.Entries[len(h.Entries)-1]
}

// If the input ends early, as by Ctrl-D or a broken connection, no reading is lost. A
// test ended with x does not pass for what was not checked.
func TestTestsThatEndEarly(t *testing.T) {
	file := onWire(t, "porthole", prop.Porthole())
	code, _, errs := command(t, "", "check", file, "--load")
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, "nothing was answered, so nothing is recorded\n")
	assert.NoFileExists(t, record.Beside(file).Path)
	code, _, errs = command(t, "4.9\n", "check", file, "--load")
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, "what was answered is kept in")
	assert.NoFileExists(t, record.Beside(file).Path)
	code, _, errs = command(t, "x\n", "check", file, "--load")
	require.Zero(t, code, errs)
	assert.Contains(t, errs, "taken up after 1 answer")
	e := lastOf(t, file, prop.Porthole().Name)
	require.Len(t, e.Volts, 1)
	assert.InDelta(t, 4.9, e.Volts[0].Volts, 1e-9)
	assert.Equal(t, record.Stopped, e.Verdict)

	file = onWire(t, "buoylamp", prop.BuoyLamp())
	code, _, errs = command(t, "r\nx\n", "check", file, "--bulb")
	require.Zero(t, code, errs)
	assert.Equal(t, record.Stopped, lastOf(t, file, prop.BuoyLamp().Name).Verdict, "one channel of four is no pass")
}

func TestNothingAnsweredIsNotRecorded(t *testing.T) {
	file := onWire(t, "porthole", prop.Porthole())
	for _, in := range []string{"", "x\n", "hello\n"} {
		code, _, errs := command(t, in, "check", file, "--plain")
		assert.Contains(t, errs, "nothing was answered, so nothing is recorded", "%d", code)
		assert.NoFileExists(t, record.Beside(file).Path)
	}
}

// Unfinished answers of a prop that has changed since are set aside, not overwritten.
func TestAChangedPropKeepsTheOldAnswers(t *testing.T) {
	file := onWire(t, "porthole", prop.Porthole())
	code, _, errs := command(t, "0\n", "check", file, "--plain")
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, "what was answered is kept in")
	kept, err := os.ReadFile(record.UnfinishedBeside(file))
	require.NoError(t, err)
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(file, []byte(strings.Replace(string(text), "pixels   = 36", "pixels   = 34", 1)), 0o644))

	_, _, errs = command(t, "0\n", "check", file, "--plain")
	assert.Contains(t, errs, `"Porthole" has changed since its unfinished check-out of`)
	assert.NotContains(t, errs, "Taking up")
	old, err := filepath.Glob(strings.TrimSuffix(file, ".toml") + ".check-*.json")
	require.NoError(t, err)
	require.Len(t, old, 1)
	got, err := os.ReadFile(old[0])
	require.NoError(t, err)
	assert.Equal(t, string(kept), string(got))
	assert.Contains(t, errs, old[0])
}
