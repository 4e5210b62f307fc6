//go:build unix

package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/testkit/striptest"
)

// renamed opens the bench on a file and gives the prop another name, which is
// not saved.
func renamed(t *testing.T, file string) *terminal {
	t.Helper()
	term := start(t, file)
	term.see("Fuse")
	term.press("\r")
	term.press("8")
	term.press("\x1b[Z") // shift+tab: the Prop screen
	term.see("Porthole")
	term.press("\x1b[H\r") // home, then edit: the name
	term.press("\x15Lantern\r")
	term.see("Lantern")
	return term
}

// After a signal the strip is dark, the prop file unchanged, and the unsaved changes are
// offered at the next start.
func TestSignalsKeepWhatIsNotSaved(t *testing.T) {
	for name, road := range map[string]func(*terminal){
		"SIGTERM":         func(r *terminal) { r.cmd.Process.Signal(syscall.SIGTERM) },
		"SIGHUP":          func(r *terminal) { r.cmd.Process.Signal(syscall.SIGHUP) },
		"closed terminal": func(r *terminal) { r.tty.Close() },
	} {
		t.Run(name, func(t *testing.T) {
			n, p := startNode(t, prop.Porthole())
			file := filepath.Join(t.TempDir(), "prop.toml")
			text := strings.Replace(prop.DemoFile("porthole"), `host     = "127.0.0.1"`, fmt.Sprintf("host     = \"127.0.0.1\"\nport = %d", p.Address.Port), 1)
			require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
			term := renamed(t, file)
			term.press("\t") // back to Light: the changed prop is dark until then
			striptest.Wait(t, n, "all pixels", func(l strip.Look) bool { return l.Light.Lit() == 144 })
			road(term)
			term.left()
			striptest.WaitEnded(t, n)
			striptest.WaitDark(t, n)
			if name != "closed terminal" {
				assert.Contains(t, term.drawn(), "ringout: the changes of prop.toml that were not saved are kept in "+file+".unsaved: ringout "+file+" offers them again")
			}
			now, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.Equal(t, text, string(now), "the file itself is not touched")
			kept, err := os.ReadFile(file + ".unsaved")
			require.NoError(t, err)
			want := strings.Replace(text, `name = "Porthole"`, `name = "Lantern"`, 1)
			assert.Equal(t, want, string(kept))

			term = start(t, file)
			term.see("t takes them up")
			term.press("\r\x1b[Z")
			term.see("drops them")
			term.press("t")
			term.see(" saves them") // its key has a colour of its own
			term.press("s")
			term.see("Written to prop.toml.")
			term.press("q")
			require.NoError(t, term.left())
			now, err = os.ReadFile(file)
			require.NoError(t, err)
			assert.Equal(t, want, string(now))
			assert.NoFileExists(t, file+".unsaved")
		})
	}
}

// Ctrl-C asks once. A second one discards the changes and keeps nothing.
func TestControlCAsksForWhatIsNotSaved(t *testing.T) {
	n, p := startNode(t, prop.Porthole())
	file := filepath.Join(t.TempDir(), "prop.toml")
	text := strings.Replace(prop.DemoFile("porthole"), `host     = "127.0.0.1"`, fmt.Sprintf("host     = \"127.0.0.1\"\nport = %d", p.Address.Port), 1)
	require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
	term := renamed(t, file)
	term.press("\x03")
	term.see("prop.toml has unsaved changes")
	select {
	case <-term.done:
		t.Fatal("it asks first")
	case <-time.After(100 * time.Millisecond):
	}
	term.press("\x03")
	require.NoError(t, term.left())
	striptest.WaitEnded(t, n)
	assert.NoFileExists(t, file+".unsaved")
}

// Changes to a demo prop are kept too; ringout without a file offers them.
func TestSignalsKeepWhatWasMadeOfADemo(t *testing.T) {
	config := t.TempDir()
	t.Setenv("RINGOUT_CONFIG", config)
	term := start(t, "demo", "--prop", "pennant")
	term.see("Fuse")
	term.press("\r\x1b[Z")
	term.see("Lowest")
	term.press("\x1b[H\r\x15Lantern\r")
	term.see("Lantern")
	term.cmd.Process.Signal(syscall.SIGTERM)
	require.NoError(t, term.left())
	file := filepath.Join(config, "strip.toml.unsaved")
	assert.Contains(t, term.drawn(), "the changes of the prop that were not saved are kept in "+file+": ringout offers them again")
	p, _, err := prop.Load(file)
	require.NoError(t, err)
	assert.Equal(t, "Lantern", p.Name)

	term = start(t, "demo", "--prop", "pennant")
	term.see("Fuse")
	term.press("\x03")
	require.NoError(t, term.left())
	assert.NotContains(t, term.drawn(), "wait", "a demo begins as it always does")

	term = start(t)
	term.see("t takes them up")
	term.press("\r\x09") // to the Prop screen
	term.see("No prop yet")
	term.press("t")
	term.see("Lantern")
	term.press("\x03\x03")
	require.NoError(t, term.left())
	assert.FileExists(t, file, "until it is saved")
}
