package outsider

import (
	"bufio"
	"encoding/hex"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A row is a line of testdata/conformance/rows.jsonl; its README says how each
// field is meant.
type row struct {
	ID, About string
	Runs      []int
	Probe     Probe
	Empty     []Rows
	Light     rowScene
	Moments   []rowScene
	Sees      string
}

// A rowScene has pairs of a colour and a number of pixels for each run.
type rowScene [][][2]any

func (s rowScene) scene(t *testing.T) Scene {
	t.Helper()
	out := make(Scene, len(s))
	for run, pairs := range s {
		for _, pair := range pairs {
			b, err := hex.DecodeString(pair[0].(string))
			require.NoError(t, err)
			b = append(b, 0, 0)
			for range int(pair[1].(float64)) {
				out[run] = append(out[run], Light{b[0], b[1], b[2], b[3], b[4]})
			}
		}
	}
	return out
}

// kindsOfPage are all kinds of questions on the page: the first column of its
// table of what they mean.
func kindsOfPage(t *testing.T) (out []string) {
	t.Helper()
	page, err := os.ReadFile("../../cli/pages/json-lines.md")
	require.NoError(t, err)
	_, table, ok := strings.Cut(string(page), "## What the questions mean")
	require.True(t, ok)
	table, _, _ = strings.Cut(table, "\n## ")
	for line := range strings.Lines(table) {
		if cell, ok := strings.CutPrefix(line, "| `"); ok {
			kind, _, _ := strings.Cut(cell, "`")
			out = append(out, kind)
		}
	}
	require.GreaterOrEqual(t, len(out), 12)
	return out
}

// TestConformanceRows: what is answered by the page is what the rows have, and
// every kind of the page has rows.
func TestConformanceRows(t *testing.T) {
	f, err := os.Open("../../../testdata/conformance/rows.jsonl")
	require.NoError(t, err)
	defer func() { require.NoError(t, f.Close()) }()
	met, kinds := map[string]int{}, kindsOfPage(t)
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		var r row
		require.NoError(t, json.Unmarshal(lines.Bytes(), &r))
		var moments []Scene
		for _, m := range r.Moments {
			moments = append(moments, m.scene(t))
		}
		plan := Plan{Runs: r.Runs, Empty: r.Empty}
		require.Equal(t, r.Sees, Answer(r.Probe, plan, r.Light.scene(t), moments...), "%s: %s", r.ID, r.About)
		require.Contains(t, kinds, r.Probe.Kind, "a kind of question that is not on the page")
		met[r.Probe.Kind]++
	}
	require.NoError(t, lines.Err())
	for _, k := range kinds {
		require.Positive(t, met[k], "no row of kind %s", k)
	}
}
