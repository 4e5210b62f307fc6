package plan

import (
	"regexp"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
)

var aWord = regexp.MustCompile(`^[\pL\d.,;:()%"-]+$`)

// loneWords are the lines of one word that end a paragraph of several, where the word before had room beside
// it.
func loneWords(lines []string, width int) (out []string) {
	for i := 1; i < len(lines); i++ {
		last, before := ansi.Strip(lines[i]), ansi.Strip(lines[i-1])
		text := strings.TrimSpace(last)
		in := len(last) - len(strings.TrimLeft(last, " "))
		words := strings.Fields(before)
		next := ""
		if i+1 < len(lines) {
			next = ansi.Strip(lines[i+1])
		}
		ends := len(next)-len(strings.TrimLeft(next, " ")) != in || strings.TrimSpace(next) == ""
		if !aWord.MatchString(text) || !ends || len(words) < 4 || strings.ContainsAny(before, "─│→›") {
			continue
		}
		if in+len(words[len(words)-1])+1+ansi.StringWidth(text) <= width {
			out = append(out, before+" / "+text)
		}
	}
	return out
}

// No page of results ends a paragraph with a word alone, at any width, of any prop.
func TestNoWordIsAlone(t *testing.T) {
	for _, name := range []string{"porthole", "pennant", "buoylamp"} {
		b := open(t, prop.DemoFile(name), "p.toml", 120, 36, termenv.Ascii)
		for _, p := range pages {
			if p == page(drawingPage{}) {
				continue
			}
			for width := 30; width < 120; width++ {
				assert.Empty(t, loneWords(p.lines(b.m, b.m.plan, width, 40), width), "%s, %s in %d", name, p.name(), width)
			}
		}
	}
}
