//go:build unix

package cli

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// Commands write ASCII on a terminal. JSON, and output to a pipe, are unchanged.
func TestCommandsInASCII(t *testing.T) {
	file := filepath.Join(t.TempDir(), "prop.toml")
	text := strings.Replace(prop.DemoFile("porthole"), "inner ring", "grüner Ring", -1)
	require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
	foreign := regexp.MustCompile(`[^\x00-\x7f]`)
	run := func(locale string, args ...string) string {
		cmd := exec.Command(program(t), args...)
		cmd.Env = append(os.Environ(), "LC_ALL="+locale)
		term := startCommand(t, cmd)
		term.left()
		return term.drawn()
	}
	assert.Regexp(t, foreign, run("C.UTF-8", "plan", file))
	got := run("C", "plan", file)
	assert.NotRegexp(t, foreign, got)
	assert.Contains(t, got, "####", "the chart")
	assert.True(t, strings.Contains(run("C", "plan", file, "--json"), "grüner Ring"), "JSON")

	cmd := exec.Command(program(t), "plan", file)
	cmd.Env = append(os.Environ(), "LC_ALL=C")
	piped, err := cmd.Output()
	require.NotEmpty(t, piped, "%v", err)
	assert.True(t, strings.Contains(string(piped), "grüner Ring"), "pipe")
}

// In a locale without UTF-8 no byte over 127 reaches the terminal, on any page.
func TestScreensInASCII(t *testing.T) {
	file := filepath.Join(t.TempDir(), "prop.toml")
	require.NoError(t, os.WriteFile(file, []byte(prop.DemoFile("porthole")), 0o600))
	for _, c := range []struct {
		args  []string
		pages []string // keys, each with the text expected after it
	}{
		{[]string{"demo"}, []string{"", "Light a strip", "\r", "Expected", "\t", "Begin a check-out", "\t", "What you send",
			"\t", "Bench record", "\t", "Light it", "\t", "Lowest", "?", "Keys of Prop"}},
		{[]string{"strip", file, "--listen", "127.0.0.1:0"}, []string{"", "Porthole"}},
	} {
		cmd := exec.Command(program(t), c.args...)
		cmd.Env = append(os.Environ(), "LC_ALL=C", "XDG_CONFIG_HOME="+t.TempDir())
		term := startCommand(t, cmd)
		for i := 0; i+1 < len(c.pages); i += 2 {
			term.press(c.pages[i])
			term.see(c.pages[i+1])
		}
		term.press("q")
		term.left()
		assert.NotRegexp(t, `[^\x00-\x7f]`, term.drawn(), "%v", c.args)
	}
}
