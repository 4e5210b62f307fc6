// Package pages holds the pages of reference that ringout carries with it: the
// prop file, the commands, the words and the limits. They are written in the
// part of Markdown that blocks.go reads: headings, paragraphs, lists, tables and
// code blocks, so that one text serves the repository, the terminal and the
// manual.
//
// To add a page: 1. write NAME.md here; 2. add a row to All; 3. link it from
// README.md.
package pages

import (
	"embed"
	"strings"
)

//go:embed *.md
var texts embed.FS

// A Page is one page of reference.
type Page struct {
	Name    string // as in "ringout help NAME"
	Short   string // what it is about, one line
	Section int    // of the manual: 5 for file formats, 7 for the rest (man(7))
}

// All is every page, in the order to read them.
func All() []Page {
	return []Page{
		{"prop-file", "The prop file: every key, with an example", 5},
		{"commands", "The commands, once through", 7},
		{"words", "The words that ringout uses", 7},
		{"json-lines", "A check-out in JSON lines, for a program of yours", 7},
		{"limits", "Limits worth knowing", 7},
	}
}

// Find is the page of that name.
func Find(name string) (Page, bool) {
	for _, p := range All() {
		if p.Name == strings.TrimSuffix(strings.ToLower(name), ".md") {
			return p, true
		}
	}
	return Page{}, false
}

// Markdown is the page as it is written.
func (p Page) Markdown() string {
	text, err := texts.ReadFile(p.Name + ".md")
	if err != nil {
		panic("pages: " + p.Name + ".md is listed and not there") // a test reads every page
	}
	return string(text)
}
