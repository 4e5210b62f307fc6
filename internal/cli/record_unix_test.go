//go:build unix

package cli

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
)

func porthole(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "porthole.toml")
	require.NoError(t, os.WriteFile(path, []byte(prop.DemoFile("porthole")), 0o644))
	return path
}

// The program is killed at a random moment of each recording. Every entry that it
// reported as recorded is there, in order, and no earlier one is lost.
func TestKilledWhileRecording(t *testing.T) {
	t.Parallel() // it waits for other programs or works long, with files of its own
	times := 60
	if os.Getenv("RINGOUT_LONG") != "" {
		times = 500
	}
	path, bin := porthole(t), program(t)
	rng := rand.New(rand.NewPCG(7, 7))
	began := time.Now()
	require.NoError(t, exec.Command(bin, "record", path, "--note", "first").Run())
	usual := time.Since(began)
	said, killed := []string{"first"}, 0
	for i := range times {
		note := fmt.Sprint("note ", i)
		c := exec.Command(bin, "record", path, "--note", note)
		var out strings.Builder
		c.Stdout = &out
		require.NoError(t, c.Start())
		time.Sleep(time.Duration(rng.Float64() * 1.3 * float64(usual)))
		c.Process.Kill()
		if c.Wait() != nil {
			killed++
		}
		if strings.Contains(out.String(), "Recorded") {
			said = append(said, note)
		}
	}
	h, err := record.Beside(path).Read("Porthole")
	require.NoError(t, err)
	at := 0
	for _, e := range h.Entries {
		if at < len(said) && e.Notes == said[at] {
			at++
		}
	}
	assert.Equal(t, len(said), at, "every entry that was said to be recorded is there, in order")
	assert.GreaterOrEqual(t, len(h.Entries), len(said))
	t.Logf("%d of %d killed, %d said recorded, %d entries, %d torn lines", killed, times, len(said), len(h.Entries), len(h.Troubles))
	assert.Positive(t, killed, "no kill came in time: the test shows nothing")
}

// Several ringouts write to one record at once: each waits for the lock, no entry is
// lost and the chain is intact.
func TestManyProgramsOnOneRecord(t *testing.T) {
	path, bin := porthole(t), program(t)
	const programs, each = 5, 6
	var wg sync.WaitGroup
	for n := range programs {
		wg.Go(func() {
			for i := range each {
				out, err := exec.Command(bin, "record", path, "--note", fmt.Sprintf("program %d note %d", n, i)).CombinedOutput()
				assert.NoError(t, err, string(out))
			}
		})
	}
	wg.Wait()
	h, err := record.Beside(path).Read("Porthole")
	require.NoError(t, err)
	next := map[string]int{}
	for _, e := range h.Entries {
		var n, i int
		_, err := fmt.Sscanf(e.Notes, "program %d note %d", &n, &i)
		require.NoError(t, err)
		assert.Equal(t, next[fmt.Sprint(n)], i, "in the order in which program %d said it", n)
		next[fmt.Sprint(n)]++
	}
	assert.Len(t, h.Entries, programs*each)
	assert.Empty(t, h.Troubles)
}

// A disk that is full in the middle of a line: the limit on the file's size
// stops the write half-way, as a full disk does.
func TestFullDiskIsSaidAndNothingIsLost(t *testing.T) {
	path := porthole(t)
	file := record.Beside(path)
	for i := range 3 {
		require.NoError(t, file.Append(record.Entry{Kind: "note", At: time.Unix(int64(i), 0).UTC(), Prop: "Porthole", Notes: strings.Repeat("x", 150)}))
	}
	before, err := os.ReadFile(file.Path)
	require.NoError(t, err)
	require.Less(t, len(before), 1024)
	require.Greater(t, len(before)+300, 1024, "the next line crosses 1 KiB")
	c := exec.Command("bash", "-c", `ulimit -f 1; exec "$@"`, "bash", program(t), "record", path, "--note", strings.Repeat("y", 300))
	out, err := c.CombinedOutput()
	require.Error(t, err)
	assert.Contains(t, string(out), "not recorded: ")
	assert.NotContains(t, string(out), "Recorded in")
	after, err := os.ReadFile(file.Path)
	require.NoError(t, err)
	assert.Equal(t, string(before), string(after))
}

func TestReadOnlyFolderIsSaid(t *testing.T) {
	path := porthole(t)
	dir := filepath.Dir(path)
	if os.Geteuid() == 0 {
		// Root writes everywhere but where there is no folder: a file stands in
		// the record's way instead.
		require.NoError(t, os.Mkdir(record.Beside(path).Path, 0o755))
	} else {
		require.NoError(t, os.Chmod(dir, 0o555))
		defer os.Chmod(dir, 0o755)
	}
	code, _, errs := command(t, "", "record", path, "--note", "x")
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, "not recorded: ")
}

func TestSheetCommand(t *testing.T) {
	path := porthole(t)
	code, out, errs := command(t, "", "sheet", path)
	require.Zero(t, code, errs)
	assert.Contains(t, out, "porthole.sheet.html")
	html, err := os.ReadFile(strings.TrimSuffix(path, ".toml") + ".sheet.html")
	require.NoError(t, err)
	assert.Contains(t, string(html), "Not checked out yet")
	code, out, errs = command(t, "", "sheet", path, "--labels")
	require.Zero(t, code, errs)
	assert.Equal(t, "Porthole · inner ring · 36 px · U1 S1-108 · data in >", strings.SplitN(out, "\n", 2)[0])
	code, _, errs = command(t, "", "sheet", path, "--paper", "napkin")
	assert.Equal(t, 2, code)
	assert.Contains(t, errs, `--paper "napkin" is not known: give a4 or letter`)
	code, _, errs = command(t, "", "sheet", path, "--out", filepath.Join(path, "below", "x.html"))
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, "the sheet can't be written")
}

// Every failure is reported in one sentence that says what to do.
func TestRecordSaysWhatIsWrong(t *testing.T) {
	path := porthole(t)
	stem := strings.TrimSuffix(path, ".toml")
	file := record.Beside(path)
	require.NoError(t, file.Append(record.Entry{Kind: "check-out", At: time.Unix(0, 0).UTC(), Prop: "Porthole", Verdict: record.Fail}))
	require.NoError(t, file.Append(record.Entry{Kind: "note", At: time.Unix(1, 0).UTC(), Prop: "Porthole", Notes: "n"}))
	for _, row := range []struct {
		args []string
		code int
		want string
	}{
		{[]string{"--note", "  "}, 2, "the note is empty"},
		{[]string{"--note", "x", "--compare"}, 2, "give one of --note, --entry and --compare"},
		{[]string{"--note", "x", "--json"}, 2, "leave out --json"},
		{[]string{"1", "2"}, 2, "after --compare the numbers of two entries"},
		{[]string{"--compare"}, 1, "the record has 1 check-out"},
		{[]string{"--compare", "1", "2"}, 1, "entry 2 is a note"},
		{[]string{"--compare", "1", "1"}, 1, "given twice"},
		{[]string{"--compare", "1", "9"}, 1, "there is no entry 9: give 1 to 2"},
		{[]string{"--compare", "one", "2"}, 1, `"one" is not the number of an entry`},
		{[]string{"--entry", "7"}, 1, "there is no entry 7"},
	} {
		code, out, errs := command(t, "", append([]string{"record", path}, row.args...)...)
		assert.Equal(t, row.code, code, row.args)
		assert.Contains(t, errs, row.want)
		assert.Empty(t, out)
	}
	code, _, errs := command(t, "", "record", stem+".bench.jsonl")
	assert.Equal(t, 2, code)
	assert.Contains(t, errs, "name the prop file beside it, such as "+stem+".toml")
	code, _, errs = command(t, "", "sheet", path, "--csv", "--labels")
	assert.Equal(t, 2, code)
	assert.Contains(t, errs, "give one of --markdown, --csv, --json and --labels")
}

func TestRecordShowsAndCompares(t *testing.T) {
	path := porthole(t)
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "records", "version2.bench.jsonl"))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(record.Beside(path).Path, text, 0o644))
	_, one, _ := command(t, "", "record", path, "--compare", "3", "1")
	_, two, _ := command(t, "", "record", path, "--compare")
	assert.Equal(t, two, one, "the earlier one comes first, in whatever order they were given")
	assert.Contains(t, one, "! joint middle ring to outer ring: 0.05 to 0.38 Ω since 20 November 2025\n")
	assert.Contains(t, one, "  at pixel 144, level 100 %        4.61 V          4.32 V\n")
	_, out, _ := command(t, "", "record", path, "--entry", "0")
	assert.Contains(t, out, "2026-11-23 20:00  check-out: fail, 2 answers, 1 left to mend\n")
	assert.Contains(t, out, "  1. Which pixels light? first and last of every ring\n")
}
