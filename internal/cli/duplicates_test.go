package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// A file named twice, by the same or different paths, is one prop.
func TestAFileNamedTwiceIsListedOnce(t *testing.T) {
	t.Chdir(t.TempDir())
	code, _, errs := command(t, "", "new", "porthole", "--defaults")
	require.Zero(t, code, errs)
	text, err := os.ReadFile("porthole.toml")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile("pennant.toml", []byte(strings.Replace(string(text), `name = "porthole"`, `name = "pennant"`, 1)), 0o644))
	whole, err := filepath.Abs("porthole.toml")
	require.NoError(t, err)
	const says = " was named twice and is listed once\n"
	for _, twice := range []string{"porthole.toml", "./porthole.toml", whole} {
		for _, row := range []struct {
			args []string
			line string // of one prop
		}{
			{[]string{"sheet", "--labels"}, "px"},
			{[]string{"sheet", "--csv"}, "porthole,"},
			{[]string{"sheet", "--markdown", "--out", "-"}, "# porthole"},
			{[]string{"plan", "--csv"}, "porthole,"},
		} {
			code, alone, errs := command(t, "", append(row.args, "porthole.toml")...)
			require.Zero(t, code, errs)
			require.NotContains(t, errs, says)
			code, both, errs := command(t, "", append(row.args, "porthole.toml", twice)...)
			require.Zero(t, code, errs)
			assert.Contains(t, errs, "ringout: "+twice+says)
			assert.Equal(t, strings.Count(alone, row.line), strings.Count(both, row.line), "%v", row.args)
			assert.NotZero(t, strings.Count(alone, row.line))
		}
		code, out, errs := command(t, "", "plan", "porthole.toml", twice)
		require.Zero(t, code, errs)
		assert.NotContains(t, out, "collision", "not with itself")
	}
	code, out, errs := command(t, "", "sheet", "--csv", "porthole.toml", "pennant.toml")
	require.Zero(t, code, errs)
	assert.NotContains(t, errs, says)
	assert.Contains(t, out, "pennant,")
	code, _, errs = command(t, "", "plan", "gone.toml", "gone.toml")
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, "there is no file gone.toml")
}

// If props share slots of one host, the exit code is 1 in every format, and the table
// is still printed.
func TestCollisionsEndWithCodeOne(t *testing.T) {
	t.Chdir(t.TempDir())
	text := prop.DemoFile("porthole")
	require.NoError(t, os.WriteFile("porthole.toml", []byte(text), 0o644))
	require.NoError(t, os.WriteFile("copy.toml", []byte(strings.Replace(text, `name = "Porthole"`, `name = "Copy"`, 1)), 0o644))
	for flag, want := range map[string]string{"--level=100": "collision: ", "--csv": "Copy U1 S1-108", "--json": "\"first_slot\": 1,"} {
		code, out, errs := command(t, "", "plan", "porthole.toml", "copy.toml", flag)
		assert.Equal(t, 1, code, flag)
		assert.Contains(t, out, want, flag)
		assert.Contains(t, errs, "props collide", flag)
	}
	said := `"Porthole" and "Copy" both use universe 1 slots 1 to 432 at 127.0.0.1: move one of them`
	for _, form := range []string{"--csv", "--json", "--labels", "--markdown"} {
		code, _, errs := command(t, "", "sheet", "porthole.toml", "copy.toml", form, "--out", "-")
		assert.Zero(t, code, form)
		assert.Contains(t, errs, said, form)
	}
	_, out, _ := command(t, "", "sheet", "porthole.toml", "copy.toml", "--markdown", "--out", "-")
	assert.Contains(t, out, said[:30])
}
