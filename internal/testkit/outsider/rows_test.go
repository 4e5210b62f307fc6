package outsider

import (
	"bufio"
	"encoding/hex"
	"encoding/json"
	"os"
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

// kinds are all kinds of questions on the page.
var kinds = []string{
	"even", "last-lit", "before-odd", "odd-colour", "last-mark", "place", "first-run", "confirm",
	"sequence", "steady", "stays-lit", "fade",
}

// TestConformanceRows: what is answered by the page is what the rows have, and
// every kind of the page has rows.
func TestConformanceRows(t *testing.T) {
	f, err := os.Open("../../../testdata/conformance/rows.jsonl")
	require.NoError(t, err)
	defer func() { require.NoError(t, f.Close()) }()
	met := map[string]int{}
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
		require.Contains(t, kinds, r.Probe.Kind, "a kind of question that this builder does not list")
		met[r.Probe.Kind]++
	}
	require.NoError(t, lines.Err())
	for _, k := range kinds {
		require.Positive(t, met[k], "no row of kind %s", k)
	}
}
