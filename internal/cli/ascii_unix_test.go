//go:build unix

package cli

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// In a locale without UTF-8 no byte over 127 reaches the terminal, on any page.
func TestScreensInASCII(t *testing.T) {
	file := filepath.Join(t.TempDir(), "prop.toml")
	require.NoError(t, os.WriteFile(file, []byte(prop.DemoFile("porthole")), 0o600))
	for _, c := range []struct {
		args  []string
		pages []string // keys, and what is seen after
	}{
		{[]string{"demo"}, []string{"", "Light a strip", "\r", "Should show", "\t", "Begin a check-out", "\t", "What receivers follow",
			"\t", "Bench record", "\t", "Light it", "\t", "Holds 4.50 V", "?", "Keys of Prop"}},
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
