package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

func copyMoorings(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("../../testdata/props/moorings.toml")
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "moorings.toml")
	require.NoError(t, os.WriteFile(path, text, 0o644))
	return path
}

func read(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(text)
}

// A plan writes nothing unless asked to, and keeps an existing route.
func TestPlanOfASign(t *testing.T) {
	t.Parallel() // it waits for other programs or works long, with files of its own
	path := copyMoorings(t)
	before := read(t, path)
	code, out, errs := command(t, "", "plan", path)
	require.Zero(t, code, errs)
	assert.Contains(t, out, "The same from the back, mirrored")
	assert.Contains(t, errs, "the route of "+path+" is not in the file yet")
	assert.Equal(t, before, read(t, path))

	code, _, errs = command(t, "", "plan", path, "--route", "--pages")
	require.Zero(t, code, errs)
	after := read(t, path)
	assert.True(t, strings.HasPrefix(after, strings.TrimRight(before, "\n")))
	pages := strings.TrimSuffix(path, ".toml") + ".route.html"
	assert.Contains(t, read(t, pages), "from the back, mirrored")
	p, d, err := prop.Load(path)
	require.NoError(t, err)
	assert.Empty(t, d.Doubts())
	_, ok := prop.RouteOf(p)
	assert.True(t, ok)

	code, out, errs = command(t, "", "plan", path, "--json")
	require.Zero(t, code, errs)
	assert.Empty(t, errs)
	var got struct {
		Props []struct {
			Route struct {
				Holes  []any
				InFile bool `json:"in_file"`
				Proven bool
			}
		}
	}
	require.NoError(t, json.Unmarshal([]byte(out), &got))
	assert.Len(t, got.Props[0].Route.Holes, 52)
	assert.True(t, got.Props[0].Route.InFile && got.Props[0].Route.Proven)

	code, _, errs = command(t, "", "plan", path, "--route")
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, "the file has a route already, and it stays: add --replace")
	assert.Equal(t, after, read(t, path))
	code, _, errs = command(t, "", "plan", path, "--route", "--replace")
	require.Zero(t, code, errs)
	assert.Equal(t, after, read(t, path))
}

// The pages do not overwrite a file that ringout did not write.
func TestPagesSpareOtherFiles(t *testing.T) {
	t.Parallel() // it waits for other programs or works long, with files of its own
	path := copyMoorings(t)
	other := filepath.Join(filepath.Dir(path), "diary.html")
	require.NoError(t, os.WriteFile(other, []byte("dear diary"), 0o644))
	code, _, errs := command(t, "", "plan", path, "--pages="+other)
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, "holds something else, so it stays")
	assert.Equal(t, "dear diary", read(t, other))
	for range 2 { // our own are written again
		code, _, errs = command(t, "", "plan", path, "--pages")
		require.Zero(t, code, errs)
	}
}

// All problems are reported at once, and nothing is written.
func TestBadSignsWriteNothing(t *testing.T) {
	t.Parallel() // it waits for other programs or works long, with files of its own
	path := copyMoorings(t)
	bad := strings.NewReplacer("pixels  = 100", "pixels  = 54", `amps  = "10 A"`, `amps  = "10"`).Replace(read(t, path))
	require.NoError(t, os.WriteFile(path, []byte(bad), 0o644))
	good := copyMoorings(t)
	was := read(t, good)
	code, _, errs := command(t, "", "plan", path, good, "--route", "--pages")
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, `line 11: supply, amps: "10" has no unit`)
	assert.Contains(t, errs, "line 21: sign, pixels: the string has 54 pixels, and every route takes 56: 52 holes and 4 tucked away dark")
	assert.NotContains(t, errs, "no route through the holes yet")
	assert.Equal(t, bad, read(t, path))
	assert.Equal(t, was, read(t, good))
	all, err := filepath.Glob(filepath.Join(filepath.Dir(good), "*"))
	require.NoError(t, err)
	assert.Equal(t, []string{good}, all)

	for _, args := range [][]string{{"--replace"}, {"--pages=x.html", good}, {"--paper", "a3"}} {
		code, _, _ := command(t, "", append([]string{"plan", good}, append(args, path)...)...)
		assert.NotZero(t, code, "%v", args)
	}
	code, _, errs = command(t, "", "plan", "../../testdata/props/porthole.toml", "--route")
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, "has no [sign]")
}

// Other commands say what to do about a sign without a route.
func TestASignWithoutARouteElsewhere(t *testing.T) {
	code, _, errs := command(t, "", "sheet", copyMoorings(t))
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, "line 17: sign: the string has no route through the holes yet: run \"ringout plan ")
}

// One file with a problem does not keep a season from its sheets, in any form: it is named, with what to
// do, and the exit code says that it is missing.
func TestSheetsWithoutTheFileThatHasAProblem(t *testing.T) {
	sign := copyMoorings(t)
	t.Chdir(t.TempDir())
	for _, name := range []string{"porthole", "pennant"} {
		require.NoError(t, os.WriteFile(name+".toml", []byte(prop.DemoFile(name)), 0o644))
	}
	for _, form := range [][]string{nil, {"--markdown"}, {"--csv"}, {"--json"}, {"--labels"}} {
		args := append([]string{"sheet", "--out", "season", "pennant.toml", sign, "porthole.toml"}, form...)
		code, out, errs := command(t, "", args...)
		assert.Equal(t, 1, code, "%v", form)
		assert.Contains(t, out, "Wrote season")
		assert.Contains(t, errs, "the string has no route through the holes yet", "%v", form)
		assert.Contains(t, errs, "1 of 3 prop files is not in what was written", "%v", form)
		text := read(t, "season")
		assert.Contains(t, text, "Porthole")
		assert.Contains(t, text, "Pennant")
		if len(form) == 0 || form[0] == "--markdown" {
			assert.Contains(t, strings.ReplaceAll(text, "\\", ""), "Not in these sheets: moorings.toml. Correct what is wrong there")
		}
		assert.NotContains(t, text, "Moorings")
		require.NoError(t, os.Remove("season"))
	}
	code, _, errs := command(t, "", "sheet", "--out", "season", sign, "lost.toml")
	assert.Equal(t, 1, code)
	assert.Contains(t, errs, "lost.toml")
	assert.NoFileExists(t, "season", "nothing could be made")
}
