package protocol

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/testkit/wirecheck"
)

// testdata/e131-rules.tsv lists the clauses that ringout follows, rule by
// rule, and the tests that show it. Every test named there exists. What binds
// a source is also looked at on captured traffic: it names the rule of
// wirecheck that does, and a test in a file that runs wirecheck.
func TestRuleTable(t *testing.T) {
	table, err := os.ReadFile("../testdata/e131-rules.tsv")
	require.NoError(t, err)
	lines := strings.Split(strings.TrimSpace(string(table)), "\n")
	require.Equal(t, "clause\trole\trule\twire\ttests", lines[0])
	known := map[string]bool{}
	for _, r := range wirecheck.Rules {
		known[r.Name] = true
	}
	used := map[string]bool{}
	for _, line := range lines[1:] {
		cols := strings.Split(line, "\t")
		require.Len(t, cols, 5, line)
		require.Contains(t, []string{"source", "receiver"}, cols[1], line)
		onWire := false
		for _, test := range strings.Fields(cols[4]) {
			file := fileOfTest(t, test)
			onWire = onWire || strings.Contains(file, "wirecheck.Check(")
		}
		if cols[1] == "source" {
			require.True(t, known[cols[3]], "%s: wirecheck has no rule %q", line, cols[3])
			require.True(t, onWire, "%s: no test of captured traffic", line)
			used[cols[3]] = true
		}
	}
	require.Equal(t, known, used, "every rule of wirecheck stands in the table")
}

// fileOfTest reads the file that holds a test, given as folder:TestName.
func fileOfTest(t *testing.T, test string) string {
	t.Helper()
	folder, name, _ := strings.Cut(test, ":")
	files, err := filepath.Glob("../" + folder + "/*_test.go")
	require.NoError(t, err)
	for _, f := range files {
		text, err := os.ReadFile(f)
		require.NoError(t, err)
		if strings.Contains(string(text), "\nfunc "+name+"(t *testing.T) {") {
			return string(text)
		}
	}
	t.Fatalf("no test %s in %s", name, folder)
	return ""
}

// The times and counts of the standard (ANSI E1.31-2018 6.2.6, 6.6.2, 6.7.1, 7.7, 8.1, appendix A).
func TestTimesAndCountsOfTheStandard(t *testing.T) {
	require.Equal(t, 2500*time.Millisecond, LossTimeout, "E131_NETWORK_DATA_LOSS_TIMEOUT")
	require.Equal(t, 10*time.Second, DiscoveryInterval, "E131_UNIVERSE_DISCOVERY_INTERVAL")
	require.Equal(t, []time.Duration{800 * time.Millisecond, time.Second}, []time.Duration{KeepAliveMin, KeepAliveMax}, "6.6.2")
	require.Equal(t, 3, Repeats, "three terminated packets (6.2.6), three of unchanged data (6.6.2)")
	require.Equal(t, []int{512, 512, 200, 63}, []int{MaxSlots, PageSize, MaxPriority, MaxNameText})
	require.Equal(t, []Universe{1, 63999, 64214}, []Universe{FirstUniverse, LastUniverse, DiscoveryGroup})
	require.Equal(t, MinDataSize+MaxSlots, MaxDataSize, "a slot is an octet")
	require.Equal(t, MinDiscovery+2*PageSize, MaxDiscovery, "a universe is two")
}
