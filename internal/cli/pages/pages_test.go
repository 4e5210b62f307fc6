package pages

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Every file here is a page, and every page is linked from the README.
func TestEveryPageIsListedAndLinked(t *testing.T) {
	files, err := filepath.Glob("*.md")
	require.NoError(t, err)
	require.Len(t, files, len(All()))
	readme, err := os.ReadFile("../../../README.md")
	require.NoError(t, err)
	for _, p := range All() {
		assert.NotEmpty(t, p.Markdown())
		assert.Contains(t, string(readme), "(internal/cli/pages/"+p.Name+".md)")
		found, ok := Find(strings.ToUpper(p.Name) + ".MD")
		assert.True(t, ok)
		assert.Equal(t, p, found)
	}
	_, ok := Find("porthole")
	assert.False(t, ok)
}

// The README stays short, and the files that it shows exist.
func TestReadmeIsShortAndItsFilesAreThere(t *testing.T) {
	text, err := os.ReadFile("../../../README.md")
	require.NoError(t, err)
	assert.LessOrEqual(t, len(text), 9000)
	for _, link := range regexp.MustCompile(`\]\(([^)]+)\)`).FindAllStringSubmatch(string(text), -1) {
		assert.FileExists(t, filepath.Join("../../..", link[1]))
	}
}

// No word of a page is lost in the terminal or in the manual, and no line is
// wider than asked for but one of an example.
func TestPagesKeepTheirWords(t *testing.T) {
	words := regexp.MustCompile(`[A-Za-z0-9]+`)
	for _, p := range All() {
		for _, width := range []int{40, 80, 120} {
			text := p.Text(width)
			for _, l := range strings.Split(text, "\n") {
				if !strings.HasPrefix(l, "    ") && !strings.Contains(l, "/") {
					assert.LessOrEqual(t, ansi.StringWidth(l), width, l)
				}
			}
			assert.NotContains(t, text, "**")
			assert.NotContains(t, text, "](")
		}
		text, man := strings.ToLower(p.Text(200)), strings.ToLower(p.Man("1"))
		for _, b := range read(p.Markdown()) {
			for _, w := range words.FindAllString(plain(b.text)+strings.Join(b.lines, " "), -1) {
				assert.Contains(t, text, strings.ToLower(w))
				assert.Contains(t, man, strings.ToLower(w))
			}
			if b.kind == table {
				for _, r := range b.rows[1:] {
					for _, w := range words.FindAllString(plain(strings.Join(r, " ")), -1) {
						assert.Contains(t, text, strings.ToLower(w))
						assert.Contains(t, man, strings.ToLower(w))
					}
				}
			}
		}
	}
}

func TestReadingBlocks(t *testing.T) {
	got := read("# A\n\none **two**\nthree\n- x\n  y\n- `z`\n\n| k | what | unless given |\n|---|---|---|\n| `a` | b | c |\n| `d` | e | needed |\n\n```sh\nls  -l\n\n```\n")
	assert.Equal(t, []block{
		{kind: heading, level: 1, text: "A"}, {text: "one **two** three"}, {kind: item, text: "x y"}, {kind: item, text: "`z`"},
		{kind: table, rows: [][]string{{"k", "what", "unless given"}, {"`a`", "b", "c"}, {"`d`", "e", "needed"}}},
		{kind: code, lines: []string{"ls  -l", ""}},
	}, got)
	assert.Equal(t, "b. Unless given: c.", cellsText(got[4].rows[0], got[4].rows[1]))
	assert.Equal(t, "e. Needed.", cellsText(got[4].rows[0], got[4].rows[2]))
	assert.Equal(t, "see the file now", plain("see [the file](x/y.md) **now**"))
}

// Any text can be read, and reading ends.
func TestReadingAnyText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lines := rapid.SliceOf(rapid.SampledFrom([]string{"", "a", "# b", "- c", "| d |", "|", "|--|", "```", "#", "-", "x|y"})).Draw(t, "lines")
		read(strings.Join(lines, "\n"))
	})
}

// No part of a text is interpreted as a roff command (man(7), groff_char(7)).
func TestManualPageIsSafe(t *testing.T) {
	for in, want := range map[string]string{
		"plain": "plain", ".SH X": `\&.SH X`, "'br": `\&'br`, `a\b`: `a\eb`, "--to 10.0.0.5": `\-\-to 10.0.0.5`, "": "",
	} {
		assert.Equal(t, want, Roff(in))
	}
}
