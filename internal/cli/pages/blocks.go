package pages

import (
	"regexp"
	"strings"
	"sync"
)

// A kind of block.
type kind int

const (
	paragraph kind = iota
	heading        // level is its depth, 1 for the title
	item           // one item of a list
	code           // lines kept as they are
	table          // rows of cells; the first is the head
)

// A block is one piece of a page.
type block struct {
	kind  kind
	level int
	text  string     // of a paragraph, heading or item, on one line
	lines []string   // of code
	rows  [][]string // of a table
}

// read splits a page into blocks.
func read(markdown string) []block {
	var out []block
	lines := strings.Split(strings.TrimRight(markdown, "\n"), "\n")
	for i := 0; i < len(lines); {
		var b block
		b, i = next(lines, i)
		if b.text != "" || b.lines != nil || b.rows != nil {
			out = append(out, b)
		}
	}
	return out
}

// next returns the block that begins at line i, and the index of the line after it.
func next(lines []string, i int) (block, int) {
	switch l := lines[i]; {
	case l == "":
		return block{}, i + 1
	case strings.HasPrefix(l, "```"):
		return fenced(lines, i+1)
	case strings.HasPrefix(l, "#"):
		text := strings.TrimLeft(l, "#")
		return block{kind: heading, level: len(l) - len(text), text: strings.TrimSpace(text)}, i + 1
	case strings.HasPrefix(l, "|"):
		return tabled(lines, i)
	case strings.HasPrefix(l, "- "):
		text, end := joined(lines, i)
		return block{kind: item, text: strings.TrimPrefix(text, "- ")}, end
	}
	text, end := joined(lines, i)
	return block{text: text}, end
}

func fenced(lines []string, i int) (block, int) {
	b := block{kind: code, lines: []string{}}
	for ; i < len(lines) && !strings.HasPrefix(lines[i], "```"); i++ {
		b.lines = append(b.lines, lines[i])
	}
	return b, i + 1
}

func tabled(lines []string, i int) (block, int) {
	b := block{kind: table}
	for ; i < len(lines) && strings.HasPrefix(lines[i], "|"); i++ {
		cells := strings.Split(strings.Trim(lines[i], "|"), "|")
		for j := range cells {
			cells[j] = strings.TrimSpace(cells[j])
		}
		if strings.Trim(cells[0], "-") != "" || len(b.rows) != 1 { // skip the rule under the head
			b.rows = append(b.rows, cells)
		}
	}
	return b, i
}

// joined returns the lines up to the next block as one line.
func joined(lines []string, i int) (string, int) {
	text := lines[i]
	for i++; i < len(lines) && !begins(lines[i]); i++ {
		text += " " + strings.TrimSpace(lines[i])
	}
	return text, i
}

func begins(l string) bool {
	return l == "" || strings.HasPrefix(l, "- ") || strings.HasPrefix(l, "#") || strings.HasPrefix(l, "|") || strings.HasPrefix(l, "```")
}

// marks matches the markup of emphasis, code and links. Its groups are the texts to
// keep.
var marks = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile("\\[([^]]*)\\]\\([^)]*\\)|\\*\\*([^*]*)\\*\\*|`([^`]*)`")
})

// plain returns a text without its markup.
func plain(text string) string { return marks().ReplaceAllString(text, "$1$2$3") }
