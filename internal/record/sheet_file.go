package record

import (
	"bytes"
	"path/filepath"
	"strings"
	"unicode"

	"example.org/ringout/internal/prop"
)

// SheetBeside is the default bench sheet file of a prop file: porthole.sheet.html
// beside porthole.toml.
func SheetBeside(propFile string) string {
	return strings.TrimSuffix(propFile, filepath.Ext(propFile)) + ".sheet.html"
}

// FileName makes a file name without extension from a prop's name: letters and digits
// of any script stay, everything else becomes a dash.
func FileName(prop string) string {
	stem := strings.Trim(strings.Map(letterOrDash, strings.ToLower(prop)), "-")
	for strings.Contains(stem, "--") {
		stem = strings.ReplaceAll(stem, "--", "-")
	}
	if stem == "" {
		return "prop"
	}
	return string([]rune(stem)[:min(60, len([]rune(stem)))])
}

func letterOrDash(r rune) rune {
	if unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.IsMark(r) {
		return r
	}
	return '-'
}

// WriteSheet writes the bench sheet of the pages to a file in one step.
func WriteSheet(path string, paper Paper, pages ...Page) error {
	var b bytes.Buffer
	if err := WriteHTML(&b, paper, pages...); err != nil {
		return err
	}
	return prop.WriteFile(path, b.Bytes())
}
