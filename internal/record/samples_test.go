package record

import (
	"bytes"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

var samples = filepath.Join("..", "..", "testdata", "records")

// Both versions of the format hold the same entries and are read without a word
// of trouble. The sums of version 2 were made with Python's hashlib.
func TestBothVersionsAreRead(t *testing.T) {
	var all [][]Entry
	for _, name := range []string{"version1", "version2"} {
		h, err := File{filepath.Join(samples, name+".bench.jsonl")}.Read("Porthole")
		require.NoError(t, err)
		require.Empty(t, h.Troubles, name)
		require.Len(t, h.Entries, 3, name)
		for i := range h.Entries {
			h.Entries[i].Schema, h.Entries[i].Prev, h.Entries[i].Sum = 0, "", ""
		}
		all = append(all, h.Entries)
	}
	assert.Equal(t, all[0], all[1])
	e := all[1][2]
	assert.Equal(t, Fail, e.Verdict)
	assert.Equal(t, "pixel 97 has lost its blue", e.open()[0].Text)
	assert.Equal(t, 0.38, e.Joints[1].Ohms)
	assert.Equal(t, "2026-11-23T20:00:00+01:00", e.At.Format("2006-01-02T15:04:05Z07:00"))
	assert.Contains(t, all[1][1].Notes, "灯")
}

// A record of version 1 is continued in version 2 and read as one.
func TestVersion1GoesOn(t *testing.T) {
	old, err := os.ReadFile(filepath.Join(samples, "version1.bench.jsonl"))
	require.NoError(t, err)
	f := Beside(filepath.Join(t.TempDir(), "porthole.toml"))
	require.NoError(t, os.WriteFile(f.Path, old, 0o644))
	require.NoError(t, f.Append(entry(1e6)))
	h, err := f.Read("Porthole")
	require.NoError(t, err)
	assert.Empty(t, h.Troubles)
	assert.Len(t, h.Entries, 4)
	now, err := os.ReadFile(f.Path)
	require.NoError(t, err)
	line, _, _ := bytes.Cut(old, []byte("\n"))
	late := bytes.ReplaceAll(line, []byte("2025-"), []byte("2099-"))
	require.NotEqual(t, line, late)
	require.NoError(t, os.WriteFile(f.Path, slices.Concat(now, late, []byte("\n")), 0o644))
	h, err = f.Read("Porthole")
	require.NoError(t, err)
	assert.Empty(t, h.Troubles, "a line of version 1 has no chain, wherever it is")
	assert.Len(t, h.Entries, 5)
}

// The sum is computed here as README.md describes it, without this package's code.
func TestSumIsAsDocumented(t *testing.T) {
	f := newFile(t, 3)
	text, err := os.ReadFile(f.Path)
	require.NoError(t, err)
	last := regexp.MustCompile(`,"sum":"([0-9a-f]{16})"}$`)
	before := ""
	for _, line := range strings.Split(strings.TrimSuffix(string(text), "\n"), "\n") {
		m := last.FindStringSubmatch(line)
		require.NotNil(t, m, line)
		digest := sha256.Sum256([]byte(last.ReplaceAllString(line, "}")))
		assert.Equal(t, hex.EncodeToString(digest[:])[:16], m[1])
		if before != "" {
			assert.Contains(t, line, `"prev":"`+before+`"`)
		}
		before = m[1]
	}
}

// README.md names every field that an entry can have, and no other.
func TestSchemaIsDocumented(t *testing.T) {
	readme, err := os.ReadFile(filepath.Join(samples, "README.md"))
	require.NoError(t, err)
	full := busy()
	full.Test, full.Only = "run", "inner ring"
	full.Schema, full.Prop, full.Ringout, full.PropFile, full.Prev, full.Sum = 2, "p", "r", "f", "p", "s"
	full.Steps = []Step{{"a", "b", "c"}}
	full.Findings = []Finding{{"k", "t", "r", 1, 1, "blue", 0.5, []string{"r"}, []string{"b"}, true, []string{"b"}, "certain, 99 %"}}
	full.Runs, full.Joints = full.Runs[:1], full.Joints[:1]
	line, err := json.Marshal(full)
	require.NoError(t, err)
	for _, key := range regexp.MustCompile(`"([a-z_]+)":`).FindAllStringSubmatch(string(line), -1) {
		assert.Contains(t, string(readme), "`"+key[1]+"`")
	}
}

// awkward returns rows whose names would break a table without escaping. Control
// characters cannot occur: the prop file's reader refuses them.
func awkward(t *testing.T) []prop.Row {
	t.Helper()
	p := prop.Porthole()
	p.Name = `Lantern, "the big one"`
	p.Runs[0].Name, p.Runs[1].Name, p.Runs[2].Name = `a "b", c;d|e`, "лампа 灯 قنديل é", " =1+2, 'x' "
	rows, err := prop.RowsFor(p)
	require.NoError(t, err)
	return rows
}

func columns(rows []prop.Row) (out [][]string) {
	for _, r := range rows {
		out = append(out, []string{r.Prop, r.Run, r.Host})
	}
	return out
}

// Source of the form: RFC 4180.
func TestCSVIsReadBack(t *testing.T) {
	rows := awkward(t)
	var b bytes.Buffer
	require.NoError(t, prop.WriteCSV(&b, rows))
	assert.Equal(t, len(rows)+1, strings.Count(b.String(), "\r\n"), "2.1: each record on a line of its own, CRLF")
	assert.Contains(t, b.String(), `"Lantern, ""the big one""",`, "2.6 and 2.7: quoted, and quotes doubled")
	all, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	for i, want := range columns(rows) {
		assert.Equal(t, want, all[i+1][:3])
	}
}

func TestCSVIsReadBackByPython(t *testing.T) {
	python := tool(t, "python3")
	rows := awkward(t)
	rows[0].Run = "two\r\nlines" // not from a prop file, but RFC 4180 2.6 has them
	var b bytes.Buffer
	require.NoError(t, prop.WriteCSV(&b, rows))
	c := exec.Command(python, "-c", `import csv, io, json, sys
text = io.TextIOWrapper(sys.stdin.buffer, encoding="utf-8", newline="")
print(json.dumps([row[:3] for row in csv.reader(text, strict=True)][1:]))`)
	c.Stdin = &b
	out, err := c.Output()
	require.NoError(t, err)
	var got [][]string
	require.NoError(t, json.Unmarshal(out, &got))
	assert.Equal(t, columns(rows), got)
}

func TestControlCharactersAreRefused(t *testing.T) {
	text := strings.Replace(prop.DemoFile("porthole"), `"inner ring"`, `"in\u0007ner"`, 1)
	_, _, err := prop.Parse([]byte(text), "p.toml")
	require.ErrorContains(t, err, "control character")
}
