package ascii

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The order of the variables: POSIX.1-2017, base definitions, 8.2.
func TestWanted(t *testing.T) {
	for _, c := range []struct {
		all, ctype, lang string
		want             bool
	}{
		{"", "", "", false},
		{"", "", "C", true},
		{"", "", "POSIX", true},
		{"", "", "C.UTF-8", false},
		{"", "", "en_GB.utf8", false},
		{"", "", "de_DE.ISO-8859-1", true},
		{"", "", "de_DE.ISO-8859-15@euro", true},
		{"", "", "de_DE.UTF-8@euro", false},
		{"", "", "de_DE@euro", false},
		{"", "", "de_DE", false},
		{"", "UTF-8", "C", false}, // as some terminals of macOS set it
		{"", "C", "en_GB.UTF-8", true},
		{"C.UTF-8", "C", "C", false},
		{"C", "en_GB.UTF-8", "en_GB.UTF-8", true},
	} {
		env := map[string]string{"LC_ALL": c.all, "LC_CTYPE": c.ctype, "LANG": c.lang}
		assert.Equal(t, c.want, wanted(func(k string) string { return env[k] }), "%+v", c)
	}
}

func translated(t *testing.T, parts ...string) string {
	var b bytes.Buffer
	w := NewWriter(&b)
	for _, p := range parts {
		n, err := w.WriteString(p)
		require.NoError(t, err)
		require.Equal(t, len(p), n)
	}
	return b.String()
}

func TestTranslation(t *testing.T) {
	for in, want := range map[string]string{
		"plain ~":                     "plain ~",
		"┌─┐│└┘":                      "+-+|++",
		"█▀▄ ■ ●○◦":                   "#\"m # *oo",
		"→ ← ↑ ↓ ▶ ▼ ◀ ▲ ›":           "> < ^ v > v < ^ >",
		"5 V ± 5 %, 330 Ω, 60°":       "5 V ~ 5 %, 330 R, 60o",
		"cut…, 3–5, “it’s”":           "cut., 3-5, \"it's\"",
		"Grüße":                       "Gruse",
		"灯塔":                          "????",
		"👩‍🔧|":                        "??|", // one character of two cells
		"e\u0301!":                    "e!",
		"\x1b[1;31m●\x1b[0m\r\n":      "\x1b[1;31m*\x1b[0m\r\n",
		"\x1b[?25l\x1b]0;…\x07\x1b[K": "\x1b[?25l\x1b]0;.\x07\x1b[K",
		"\xff\xc3(":                   "??(",
	} {
		assert.Equal(t, want, translated(t, in), "%q", in)
	}
}

func TestSplitRune(t *testing.T) {
	text := "a●灯\x1b[31m…é!"
	for i := range len(text) + 1 {
		for j := i; j <= len(text); j++ {
			assert.Equal(t, "a*??\x1b[31m.e!", translated(t, text[:i], text[i:j], text[j:]), "split at %d and %d", i, j)
		}
	}
}

// Every line of every golden page keeps its width, and what a page draws for
// itself has a sign of its own: ? stands for letters of other scripts alone.
func TestPages(t *testing.T) {
	pages := 0
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.Contains(path, "testdata") {
			return err
		}
		b, err := os.ReadFile(path)
		if err != nil || !strings.ContainsAny(string(b), "─·█") {
			return err
		}
		pages++
		for _, line := range strings.Split(string(b), "\n") {
			got := translated(t, line)
			assertASCII(t, got)
			assert.Equal(t, ansi.StringWidth(line), ansi.StringWidth(got), "%s: %s", path, line)
			if !strings.ContainsAny(line, "灯塔漢а") {
				assert.Equal(t, strings.Count(line, "?"), strings.Count(got, "?"), "%s: %s", path, line)
			}
		}
		return nil
	})
	require.NoError(t, err)
	assert.Greater(t, pages, 50)
}

func assertASCII(t testing.TB, text string) {
	for _, b := range []byte(text) {
		if b > 127 {
			t.Errorf("byte %#x in %q", b, text)
			return
		}
	}
}

func FuzzWriter(f *testing.F) {
	f.Add("a●灯\x1b[31m…é!", 3)
	f.Add("\xf0\x9f", 1)
	f.Fuzz(func(t *testing.T, text string, at int) {
		at = max(0, min(at, len(text)))
		assertASCII(t, translated(t, text[:at], text[at:]))
		plain := strings.Map(func(r rune) rune {
			if r > 127 {
				return -1
			}
			return r
		}, text)
		assert.Equal(t, plain, translated(t, plain), "ASCII passes as it is")
	})
}
