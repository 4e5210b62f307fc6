package cli

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/cli/pages"
)

func TestEveryCommandHasItsManualPage(t *testing.T) {
	dir := t.TempDir()
	code, _, errs := command(t, "", "man", dir)
	require.Zero(t, code, errs)
	root := newRoot(new(identity))
	for _, c := range append(root.Commands(), root) {
		text, err := os.ReadFile(filepath.Join(dir, manName(c)+".1"))
		if c.Name() == "help" {
			continue
		}
		require.NoError(t, err)
		page := string(text)
		for _, part := range []string{`.TH "RINGOUT" "1"`, ".SH NAME\n", ".SH SYNOPSIS\n", ".SH DESCRIPTION\n", ".SH EXAMPLES\n", ".SH SEE ALSO\n"} {
			assert.Contains(t, page, part, c.Name())
		}
		everyName(c, func(flag string) { assert.Contains(t, page, pages.Roff("--"+flag), c.Name()) })
	}
}

func everyName(c *cobra.Command, f func(string)) {
	for _, l := range strings.Split(c.LocalFlags().FlagUsages(), "\n") {
		if _, after, ok := strings.Cut(l, "--"); ok {
			f(strings.Fields(after)[0])
		}
	}
}

// groff reads every page without a warning and shows the lines as they are.
func TestManualPagesInGroff(t *testing.T) {
	t.Parallel() // it waits for other programs or works long, with files of its own
	groff, err := exec.LookPath("groff")
	if err != nil {
		if os.Getenv("RINGOUT_TOOLS") == "1" {
			t.Fatal("groff is needed")
		}
		t.Skip("groff is not here")
	}
	dir := t.TempDir()
	code, _, errs := command(t, "", "man", dir)
	require.Zero(t, code, errs)
	files, err := filepath.Glob(filepath.Join(dir, "*.[157]"))
	require.NoError(t, err)
	require.Greater(t, len(files), 14)
	for _, p := range files {
		var warnings strings.Builder
		c := exec.Command(groff, "-man", "-Tascii", "-ww", "-rLL=100n", p)
		c.Stderr = &warnings
		out, err := c.Output()
		require.NoError(t, err)
		assert.Empty(t, warnings.String(), p)
		if strings.HasSuffix(p, "ringout-send.1") {
			assert.Contains(t, string(out), "ringout send chase --to 10.0.0.5 --universe 1 --pixels 144 --order GRB --for 5s")
		}
		if strings.HasSuffix(p, "ringout-prop-file.5") {
			assert.Contains(t, strings.Join(strings.Fields(string(out)), " "), `"whole": a pixel stays in one universe`) // lines are filled with spaces
		}
	}
}
