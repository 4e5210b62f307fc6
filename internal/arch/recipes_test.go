package arch

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var (
	fileName = regexp.MustCompile(`[a-z0-9_./-]*[a-z0-9_]\.(go|md|tsv|jsonl)\b`)
	testName = regexp.MustCompile(`\bTest[A-Z]\w*`)
	testFunc = regexp.MustCompile(`(?m)^func (Test[A-Z]\w*)\(`)
	comment  = regexp.MustCompile(`(?m)(^[ \t]*//.*\n)+`)
)

// TestRecipesNameWhatIsThere: files and tests that DEVELOPERS.md names exist, and those
// that the recipes in the code name, the comments with "To add" in them. A test may be
// named by its first letters, as -run takes it.
func TestRecipesNameWhatIsThere(t *testing.T) {
	var files, tests []string
	texts := map[string]string{}
	err := filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && strings.HasPrefix(d.Name(), ".") && name != root:
			return filepath.SkipDir
		case d.IsDir():
			return nil
		}
		files = append(files, filepath.ToSlash(name))
		if filepath.Ext(name) != ".go" {
			return nil
		}
		src, err := os.ReadFile(name)
		for _, f := range testFunc.FindAllStringSubmatch(string(src), -1) {
			tests = append(tests, f[1])
		}
		for _, c := range comment.FindAllString(string(src), -1) {
			if strings.Contains(c, "To add") && !strings.Contains(name, "arch") {
				texts[name] += c
			}
		}
		return err
	})
	require.NoError(t, err)
	require.Greater(t, len(texts), 5, "the recipes")
	guide, err := os.ReadFile(root + "/DEVELOPERS.md")
	require.NoError(t, err)
	texts["DEVELOPERS.md"] = string(guide)
	for where, text := range texts {
		for _, n := range fileName.FindAllString(text, -1) {
			there := slices.ContainsFunc(files, func(f string) bool { return strings.HasSuffix(f, "/"+n) })
			assert.True(t, there, "%s names the file %s: there is none", where, n)
		}
		for _, n := range testName.FindAllString(text, -1) {
			there := slices.ContainsFunc(tests, func(f string) bool { return strings.HasPrefix(f, n) })
			assert.True(t, there, "%s names the test %s: there is none", where, n)
		}
	}
}
