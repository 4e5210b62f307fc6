//go:build unix

package cli

import (
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A shell runs in a terminal with the program on its path and its completions loaded.
type shell struct {
	name string
	args []string
	load string // the line that loads the completions
}

var shells = []shell{
	{"bash", []string{"--norc", "--noprofile", "-i"}, "bind 'set enable-bracketed-paste off'; bind 'set page-completions off'; bind 'set completion-query-items 0'; source <(ringout completion bash)"},
	{"zsh", []string{"-f", "-i"}, "autoload -U compinit; compinit -u -d $PWD/dump; LISTMAX=9999; source <(ringout completion zsh); compdef _ringout ringout"},
	{"fish", []string{"--no-config", "-i"}, "ringout completion fish | source"},
}

// completes types a line and the tab key twice and waits for words on the
// terminal.
func (s shell) completes(t *testing.T, dir, line string, want ...string) {
	t.Helper()
	c := exec.Command(s.name, s.args...)
	c.Dir = dir
	c.Env = append(os.Environ(), "TERM=dumb", "PS1=ready> ", "PATH="+filepath.Dir(program(t))+":"+os.Getenv("PATH"), "HOME="+dir, "INPUTRC=/dev/null")
	if s.name == "fish" {
		c.Env = append(c.Env, "TERM=xterm")
	}
	tty, err := pty.StartWithSize(c, &pty.Winsize{Cols: 200, Rows: 60})
	require.NoError(t, err)
	defer c.Wait()
	defer c.Process.Kill()
	defer tty.Close()
	var text drawnText
	go io.Copy(&text, tty)
	io.WriteString(tty, s.load+"; echo load''ed\n")
	text.await("loaded\r\n")
	text.clear()
	io.WriteString(tty, line+"\t")
	time.Sleep(100 * time.Millisecond)
	io.WriteString(tty, "\t")
	for _, w := range want {
		text.await(w)
		assert.Contains(t, text.String(), w, "%s: %s", s.name, line)
	}
}

func (d *drawnText) clear() {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.text.Reset()
}

// completed lists command lines and the completions expected at their end.
var completed = []struct {
	line string
	want []string
}{
	{"ringout send ", []string{"chase", "black", "single"}},
	{"ringout send even --chip ", []string{"WS2812B", "SK6812 RGBW"}},
	{"ringout send even --order ", []string{"GRB", "RGB"}},
	{"ringout send even --packing ", []string{"whole", "straddle"}},
	{"ringout send even --colour ", []string{"red", "blue"}},
	{"ringout send even --interface ", []string{"lo"}},
	{"ringout send even --file porthole.toml --part ", []string{"outer ring", "inner ring"}},
	{"ringout strip --fault open", []string{"open-joint"}},
	{"ringout strip --prop ", []string{"porthole", "pennant", "buoy-lamp"}},
	{"ringout sheet --paper ", []string{"a4", "letter"}},
	{"ringout check port", []string{"porthole.toml"}},
}

// Values of flags are offered by real shells; the usual run tries every fourth.
func TestShellsCompleteValues(t *testing.T) {
	t.Parallel() // it waits for other programs or works long, with files of its own
	dir := t.TempDir()
	file, err := os.ReadFile(porthole(t))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "porthole.toml"), file, 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "porthole.png"), nil, 0o644))
	for _, s := range shells {
		if _, err := exec.LookPath(s.name); err != nil {
			if os.Getenv("RINGOUT_TOOLS") == "1" {
				t.Errorf("%s is not here", s.name)
			}
			continue
		}
		t.Run(s.name, func(t *testing.T) {
			for n, l := range completed {
				if os.Getenv("RINGOUT_LONG") == "" && n%4 != 0 {
					continue
				}
				s.completes(t, dir, l.line, l.want...)
			}
		})
	}
}

// An unknown help topic or shell is a usage error.
func TestNoSuchHelpOrShell(t *testing.T) {
	for args, want := range map[string]string{
		"help nonsense":   `"nonsense" is neither a command nor a page`,
		"completion tcsh": `there are no completions for "tcsh": give one of bash, fish, powershell, zsh`,
	} {
		code, out, errs := command(t, "", strings.Fields(args)...)
		assert.Equal(t, 2, code, args)
		assert.Contains(t, errs, want)
		assert.Empty(t, out)
	}
	code, out, _ := command(t, "", "completion")
	assert.Zero(t, code)
	assert.Contains(t, out, "bash")
}

// Lists in JSON are [] when they are empty, never null.
func TestNoNullInJSON(t *testing.T) {
	file := porthole(t)
	for _, args := range [][]string{{"record", file, "--json"}, {"plan", file, "--json"}, {"sheet", file, "--json"},
		{"listen", "--bind", "127.0.0.1", "--port", "47114", "--for", "50ms", "--json"}} {
		code, out, errs := command(t, "", args...)
		require.Zero(t, code, errs)
		assert.NotContains(t, out, "null", "%v", args)
	}
	_, out, _ := command(t, "", "record", file, "--json")
	assert.JSONEq(t, `{"entries": [], "troubles": []}`, out)
}
