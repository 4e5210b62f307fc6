package tui

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/testkit/longcheck"
)

// spoken are the folders whose texts stand on screens.
var spoken = []string{"bench", "check", "light", "plan", "record", "screen", "setup", "simulated", "traffic", "../internal/checkout", "../internal/checkout/single", "../internal/checkout/joints", "../internal/checkout/bulb", "../internal/strip",
	"../internal/plan", "../internal/route", "../internal/power", "../internal/shopping", "../internal/underway", "../internal/traffic/advice", "../internal/eyes/steps", "../internal/proving", "../internal/record", "../patterns", "../internal/prop", "../internal/show", "../internal/eyes", "../internal/eyes/camera", "../internal/checkout/pictures", "../protocol", "../protocol/link", "../protocol/port", "canvas", "entry", "digits", "portrait", ".", "../internal/words", "../internal/filelock", "../internal/traffic", "../internal/strip/node", "../internal/settings"}

// longSentences are the sentences of too many words in the texts of a folder.
func longSentences(t *testing.T, folder string) (out []string) {
	t.Helper()
	const inParts = true // a value between may hold texts of its own
	for _, text := range textsOf(t, folder, inParts) {
		out = append(out, longcheck.Sentences(text)...)
	}
	return out
}

// textsOf are the texts in the code of a folder, strings that are put together as one, and with
// inParts those within them too.
func textsOf(t *testing.T, folder string, inParts bool) (out []string) {
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
				out = append(out, text)
			}
			return !ok || inParts
		})
	}
	return out
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

// joined is the text of a string or of strings put together, with a word for each value
// between them.
func joined(n ast.Node) (string, bool) {
	switch e := n.(type) {
	case *ast.BasicLit:
		if e.Kind != token.STRING {
			return "", false
		}
		text, err := strconv.Unquote(e.Value)
		return text, err == nil
	case *ast.ParenExpr:
		return joined(e.X)
	case *ast.BinaryExpr:
		x, isX := joined(e.X)
		y, isY := joined(e.Y)
		if e.Op != token.ADD || !isX && !isY {
			return "", false
		}
		if !isX {
			x = "%s"
		}
		if !isY {
			y = "%s"
		}
		return x + y, true
	}
	return "", false
}

// Every sentence of more than fifteen words on a screen stands in the list with the
// reason why it stays, and the list has no others.
func TestLongSentencesHaveAReason(t *testing.T) {
	reasons := reasonsIn(t, "testdata/long-sentences.tsv")
	for _, folder := range spoken {
		for _, s := range longSentences(t, folder) {
			_, ok := reasons[s]
			assert.True(t, ok, "%s: shorten it, or give its reason in testdata/long-sentences.tsv:\n%s", folder, s)
			reasons[s] = true
		}
	}
	for s, used := range reasons {
		assert.True(t, used, "no screen says this any more: %s", s)
	}
}

// No sentence that is drawn is longer either, with names and figures in it. The line of the
// status is no sentence, and a drawing has none.
func TestDrawnSentencesAreShort(t *testing.T) {
	column := regexp.MustCompile(`  +|│`)
	for _, s := range states {
		inBubble(t, func(t *testing.T) {
			w := walk(t, s, 240, 70, termenv.Ascii)
			defer w.Close()
			for _, text := range column.Split(strings.ReplaceAll(ansi.Strip(w.view()), "\n", "  "), -1) {
				if !strings.ContainsAny(text, "·■•○›") {
					assert.Empty(t, longcheck.Sentences(text), s.name)
				}
			}
		})
	}
}
