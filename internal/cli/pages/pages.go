// Package pages embeds the reference pages: the prop file, the commands, the words
// and the limits. They use only the Markdown that blocks.go reads (headings,
// paragraphs, lists, tables, code blocks), so that one text serves the repository,
// the terminal and the manual.
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

// All returns every page in reading order.
func All() []Page {
	return []Page{
		{"prop-file", "The prop file: every key, with an example", 5},
		{"commands", "The commands, once through", 7},
		{"words", "The words that ringout uses", 7},
		{"json-lines", "A check-out in JSON lines, for a program of yours", 7},
		{"limits", "Limits worth knowing", 7},
	}
}

// Find returns the page with a name; false if there is none.
func Find(name string) (Page, bool) {
	for _, p := range All() {
		if p.Name == strings.TrimSuffix(strings.ToLower(name), ".md") {
			return p, true
		}
	}
	return Page{}, false
}

// Markdown returns the source of the page.
func (p Page) Markdown() string {
	text, err := texts.ReadFile(p.Name + ".md")
	if err != nil {
		panic("pages: " + p.Name + ".md is listed and not there") // cannot happen: a test reads every page
	}
	return string(text)
}
