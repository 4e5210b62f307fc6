package tui

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// workOnWires is what a text says that asks for an iron, a cutter or fingers at the wires.
var workOnWires = regexp.MustCompile(`(?i)\b(re-?solder|solder|cut (the )?plus|cut off|cut out|cut before|join plus|join the ground|make both|there again|thicker (or shorter )?wire|thicker lead|more feeds|another feed|a feed there|add %d more|fuse every feed|level shifter|in series)\b`)

// powerIsOff is how a text says so.
var powerIsOff = regexp.MustCompile(`(?i)\bpower (is )?off\b`)

// Every text that asks to cut, to solder, to join, to feed or to fuse says that the power goes
// off first, in that text; those that only speak of it stand in the list with a reason.
func TestWorkOnWiresBeginsWithThePowerOff(t *testing.T) {
	reasons := reasonsIn(t, "testdata/power-off.tsv")
	for _, folder := range append([]string{"../internal/checkout/dialog", "../internal/checkout/pictures", "../internal/cli"}, spoken...) {
		for _, s := range textsOf(t, folder) {
			at := workOnWires.FindStringIndex(s)
			if at == nil {
				continue
			}
			if off := powerIsOff.FindStringIndex(s); off != nil && off[0] < at[1] {
				continue
			}
			_, ok := reasons[s]
			assert.True(t, ok, "%s: say that the power goes off first, or give a reason in testdata/power-off.tsv:\n%q", folder, s)
			reasons[s] = true
		}
	}
	for s, used := range reasons {
		assert.True(t, used, "no text says this any more: %s", s)
	}
}

// reasonsIn are the texts of a list, each with its reason behind a tab.
func reasonsIn(t *testing.T, file string) map[string]bool {
	t.Helper()
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	out := map[string]bool{}
	for l := range strings.Lines(string(text)) {
		s, reason, ok := strings.Cut(strings.TrimSpace(l), "\t")
		require.True(t, ok && reason != "", l)
		out[s] = false
	}
	return out
}

// textsOf are the texts in the code of a folder, strings that are put together as one.
func textsOf(t *testing.T, folder string) (out []string) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(folder, "*.go"))
	require.NoError(t, err)
	require.NotEmpty(t, files, folder)
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		require.NoError(t, err)
		ast.Inspect(f, func(n ast.Node) bool {
			text, ok := joined(n)
			if ok {
				out = append(out, strings.ReplaceAll(text, "\n", " "))
			}
			return !ok
		})
	}
	return out
}
