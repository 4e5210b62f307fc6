package record

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/ringout/internal/prop"
)

var evening = time.Date(2026, 11, 25, 19, 30, 0, 0, time.UTC)

func entry(n int) Entry {
	return Entry{Kind: "check-out", At: evening.Add(time.Duration(n) * time.Minute), Prop: "Porthole",
		Ringout: "test", Verdict: Pass, Notes: fmt.Sprint("entry ", n)}
}

func newFile(t *testing.T, entries int) File {
	t.Helper()
	f := Beside(filepath.Join(t.TempDir(), "porthole.toml"))
	for i := range entries {
		require.NoError(t, f.Append(entry(i)))
	}
	return f
}

func troubles(h History) string {
	var b strings.Builder
	for _, e := range h.Troubles {
		fmt.Fprintln(&b, e)
	}
	return b.String()
}

func TestBesideThePropFile(t *testing.T) {
	assert.Equal(t, filepath.Join("props", "porthole.bench.jsonl"), Beside(filepath.Join("props", "porthole.toml")).Path)
}

func TestReadBackWhatWasAppended(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		dir, err := os.MkdirTemp("", "record")
		require.NoError(rt, err)
		defer os.RemoveAll(dir)
		f := Beside(filepath.Join(dir, "p.toml"))
		var want []Entry
		for i := range rapid.IntRange(1, 6).Draw(rt, "entries") {
			e := entry(i)
			e.Notes = rapid.String().Draw(rt, "notes")
			e.PropFile = rapid.StringMatching(`(?s).{0,80}`).Draw(rt, "prop file")
			e.Findings = []Finding{{Kind: "open-joint", Text: rapid.String().Draw(rt, "text"), Pixel: rapid.IntRange(1, 680).Draw(rt, "pixel")}}
			require.NoError(rt, f.Append(e))
			want = append(want, e)
		}
		h, err := f.Read("Porthole")
		require.NoError(rt, err)
		require.Empty(rt, h.Troubles)
		require.Len(rt, h.Entries, len(want))
		for i, got := range h.Entries {
			got.Schema, got.Prev, got.Sum = 0, "", ""
			assert.Equal(rt, want[i], got)
		}
	})
}

// A line whose verdict was changed by hand is shown, and vouches for nothing: on the sheet,
// in the season's page and in large letters it asks for another check-out.
func TestAnEditedVerdictVouchesForNothing(t *testing.T) {
	f := newFile(t, 0)
	require.NoError(t, f.Append(Entry{Kind: "check-out", At: evening, Prop: "Porthole", Verdict: Fail}))
	require.NoError(t, f.Append(Entry{Kind: "check-out", At: evening, Prop: "Porthole", Test: LoadTest, Verdict: Fail}))
	text, err := os.ReadFile(f.Path)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(f.Path, bytes.ReplaceAll(text, []byte(`"fail"`), []byte(`"pass"`)), 0o644))
	h, err := f.Read("Porthole")
	require.NoError(t, err)
	require.Len(t, h.Entries, 2)
	assert.Equal(t, []string{
		"load test of 25 November 2026: its line was changed after ringout wrote it, take it again",
		"the line of the last check-out was changed after ringout wrote it: check again",
	}, h.Due("", evening))
	s := StandingOf("porthole.toml", "Porthole", "", h, evening)
	assert.Equal(t, "passed, due again", s.Word())
	assert.False(t, s.Fresh(time.Hour, evening))
	assert.Equal(t, "Record changed by hand", h.LargeFor(prop.Porthole())[0])
	pg, err := NewPage(prop.Porthole(), h, evening, "test")
	require.NoError(t, err)
	head, lines := pg.verdict()
	const changed = ", by a line that was changed after ringout wrote it: check it again"
	assert.Equal(t, "Passed its check-out on 25 November 2026"+changed, head)
	assert.Contains(t, lines, "load test of 25 November 2026: pass"+changed)
}

func TestNoFileIsAnEmptyHistory(t *testing.T) {
	h, err := Beside(filepath.Join(t.TempDir(), "new.toml")).Read("")
	require.NoError(t, err)
	assert.Empty(t, h.Entries)
	assert.Empty(t, h.Troubles)
}

// A power cut can leave any beginning of the last line, or a line without its newline.
// All earlier entries and the next one must still be readable.
func TestTornLastLineCostsNothing(t *testing.T) {
	f := newFile(t, 3)
	whole, err := os.ReadFile(f.Path)
	require.NoError(t, err)
	start := bytes.LastIndexByte(whole[:len(whole)-1], '\n') + 1
	for cut := start + 1; cut < len(whole); cut++ {
		require.NoError(t, os.WriteFile(f.Path, whole[:cut], 0o644))
		h, err := f.Read("Porthole")
		require.NoError(t, err)
		want := 2
		if cut == len(whole)-1 {
			want = 3 // only the newline is missing
		}
		require.Len(t, h.Entries, want, "cut at %d", cut)
		require.Len(t, h.Troubles, 1, "the torn line is told")
		require.NoError(t, f.Append(entry(9)))
		h, err = f.Read("Porthole")
		require.NoError(t, err)
		require.Len(t, h.Entries, want+1, "cut at %d", cut)
		assert.Equal(t, "entry 9", h.Entries[want].Notes)
		after, err := os.ReadFile(f.Path)
		require.NoError(t, err)
		require.True(t, bytes.HasPrefix(after, whole[:cut]), "what stood there was not touched")
	}
}

// A record of which only the start of its first line was written takes the next entry.
func TestTornFirstLineCostsNothing(t *testing.T) {
	whole, err := os.ReadFile(newFile(t, 1).Path)
	require.NoError(t, err)
	for cut := range whole {
		f := newFile(t, 0)
		require.NoError(t, os.WriteFile(f.Path, whole[:cut], 0o644))
		require.NoError(t, f.Append(entry(9)))
		h, err := f.Read("Porthole")
		require.NoError(t, err)
		require.NotEmpty(t, h.Entries, "cut at %d", cut)
		require.Equal(t, "entry 9", h.Entries[len(h.Entries)-1].Notes)
		after, err := os.ReadFile(f.Path)
		require.NoError(t, err)
		require.True(t, bytes.HasPrefix(after, whole[:cut]), "cut at %d: what stood there was not touched", cut)
	}
}

func TestChangesByHandAreTold(t *testing.T) {
	for _, row := range []struct {
		name string
		edit func(lines []string) []string
		want string
		kept int
	}{
		{"a word changed", func(l []string) []string { l[1] = strings.Replace(l[1], "entry 1", "entry one", 1); return l }, "line 2: the line was changed", 3},
		{"a line removed", func(l []string) []string { return append(l[:1], l[2:]...) }, "line 2: lines before this one were removed", 2},
		{"a line copied", func(l []string) []string { return []string{l[0], l[1], l[0], l[2]} }, "line 3: lines before this one", 4},
		{"another prop", func(l []string) []string {
			return append(l, `{"schema":1,"kind":"check-out","at":"2026-11-25T21:00:00Z","prop":"Pennant"}`)
		}, `line 4: the entry is about the prop "Pennant", not "Porthole"`, 4},
		{"clock set back", func(l []string) []string {
			return append(l, `{"schema":1,"kind":"check-out","at":"2020-01-01T00:00:00Z","prop":"Porthole"}`)
		}, "line 4: the entry is dated 2020-01-01 00:00, before the one above it", 4},
		{"a later schema", func(l []string) []string { return append(l, `{"schema":99,"kind":"poem"}`) }, "line 4: the line was written by a later ringout", 3},
		{"not JSON", func(l []string) []string { return append(l[:2], "scribble", l[2]) }, "line 3: the line can't be read", 3},
		{"a later schema of another shape", func(l []string) []string { return append(l, `{"schema":99,"kind":7}`) }, "line 4: the line was written by a later ringout", 3},
		{"a space put in", func(l []string) []string { l[2] = strings.Replace(l[2], ",", ", ", 1); return l }, "line 3: the line was changed", 3},
		{"a field added behind the sum", func(l []string) []string { l[2] = strings.TrimSuffix(l[2], "}") + `,"x":1}`; return l }, "line 3: the line was changed", 3},
		{"an entry without a kind", func(l []string) []string { return append(l, `{"schema":1,"prop":"Porthole"}`) }, "line 4: the line is not an entry", 3},
		{"a kind without a version", func(l []string) []string { return append(l, `{"kind":"note","prop":"Porthole"}`) }, "line 4: the line is not an entry", 3},
		{"JSON of something else", func(l []string) []string { return append(l, `{"colour":"red"}`) }, "line 4: the line is not an entry", 3},
	} {
		t.Run(row.name, func(t *testing.T) {
			f := newFile(t, 3)
			text, err := os.ReadFile(f.Path)
			require.NoError(t, err)
			lines := row.edit(strings.Split(strings.TrimSuffix(string(text), "\n"), "\n"))
			edited := strings.Join(lines, "\n") + "\n"
			require.NoError(t, os.WriteFile(f.Path, []byte(edited), 0o644))

			h, err := f.Read("Porthole")
			require.NoError(t, err)
			assert.Len(t, h.Entries, row.kept)
			assert.Contains(t, troubles(h), row.want)
			after, err := os.ReadFile(f.Path)
			require.NoError(t, err)
			assert.Equal(t, edited, string(after), "told, never overwritten")
		})
	}
}

// Several ringouts set the time of their entries before they wait for the lock, so
// entries may be slightly out of order. Only a larger step counts as a clock set back.
func TestWaitingForATurnIsNoClockSetBack(t *testing.T) {
	for early, told := range map[time.Duration]bool{time.Millisecond: false, lockWait: false, lockWait + time.Second: true} {
		f := newFile(t, 1)
		e := entry(0)
		e.At = e.At.Add(-early)
		require.NoError(t, f.Append(e))
		h, err := f.Read("Porthole")
		require.NoError(t, err)
		require.Len(t, h.Entries, 2)
		assert.Equal(t, told, strings.Contains(troubles(h), "was the clock set back?"), "%v", early)
	}
}

func TestAnotherPropsRecordIsRefused(t *testing.T) {
	f := newFile(t, 1)
	before, err := os.ReadFile(f.Path)
	require.NoError(t, err)
	e := entry(1)
	e.Prop = "Pennant"
	require.ErrorContains(t, f.Append(e), `belongs to the prop "Porthole"`)
	after, err := os.ReadFile(f.Path)
	require.NoError(t, err)
	assert.Equal(t, before, after)
}

func TestTwoWritersAtOnce(t *testing.T) {
	f := newFile(t, 0)
	const writers, each = 8, 12
	var wg sync.WaitGroup
	for w := range writers {
		wg.Go(func() {
			for i := range each {
				e := entry(0)
				e.Notes = fmt.Sprintf("writer %d entry %d", w, i)
				assert.NoError(t, f.Append(e))
			}
		})
	}
	wg.Wait()
	h, err := f.Read("Porthole")
	require.NoError(t, err)
	assert.Empty(t, h.Troubles)
	seen := map[string]bool{}
	for _, e := range h.Entries {
		seen[e.Notes] = true
	}
	assert.Len(t, seen, writers*each)
}

func TestFolderThatIsNotThere(t *testing.T) {
	err := Beside(filepath.Join(t.TempDir(), "gone", "p.toml")).Append(entry(0))
	require.ErrorContains(t, err, "not recorded")
}

func FuzzParse(f *testing.F) {
	line, _, err := encode(entry(1), "")
	require.NoError(f, err)
	f.Add(line)
	f.Add([]byte("\n\n{}\nnull\n"))
	f.Add(append(line, line[:40]...))
	f.Fuzz(func(t *testing.T, data []byte) {
		h := parse(data, "p.bench.jsonl", "Porthole")
		lines := bytes.Count(data, []byte("\n")) + 1
		assert.LessOrEqual(t, len(h.Entries), lines)
		// An entry can be added to what was read, and both are read again.
		next, err := File{Path: "p"}.next(data, func() Entry { e := entry(2); e.Prop = last(h); return e }())
		require.NoError(t, err)
		again := parse(append(bytes.Clone(data), next...), "p.bench.jsonl", "")
		assert.Len(t, again.Entries, len(h.Entries)+1)
	})
}

// last is the name that the record's last entry carries.
func last(h History) string {
	if len(h.Entries) == 0 {
		return "Porthole"
	}
	return h.Entries[len(h.Entries)-1].Prop
}

// An entry that cannot be written is not recorded, and Append returns an error.
func TestWriteThatFails(t *testing.T) {
	f := newFile(t, 1)
	before, err := os.ReadFile(f.Path)
	require.NoError(t, err)
	file, err := os.Open(f.Path) // for reading only
	require.NoError(t, err)
	defer file.Close()
	require.Error(t, write(file, int64(len(before)), []byte("line\n")))
	after, err := os.ReadFile(f.Path)
	require.NoError(t, err)
	assert.Equal(t, before, after)
}

// A file of more than 256 MB is no record: it is refused without being read, and says so.
func TestAFileThatIsTooLong(t *testing.T) {
	f := newFile(t, 1)
	require.NoError(t, os.Truncate(f.Path, 256*1024*1024+1)) // a sparse file, which takes no disk space
	_, err := f.Read("Porthole")
	require.ErrorContains(t, err, "the bench record can't be read")
	assert.NotErrorIs(t, err, os.ErrNotExist)
}
