package tui

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/tui/bench"
	"example.org/ringout/tui/screen"
)

var word = regexp.MustCompile(`[\p{L}\d%]+`)

// A hint's words stand in the page of keys too, at the same key: nothing has one name
// at the foot and another in the help.
func TestHintsAreTheSameInHelp(t *testing.T) {
	seen := map[string]bool{}
	for _, s := range states {
		if strings.Contains(s.keys, "?") || strings.HasSuffix(s.keys, " q") || strings.HasSuffix(s.keys, " f") || s.keys == "" {
			continue
		}
		t.Run(s.name, func(t *testing.T) {
			inBubble(t, func(t *testing.T) {
				w := walk(t, s, 240, 60, termenv.TrueColor)
				defer w.Close()
				lines := strings.Split(w.view(), "\n")
				short := hintsOf(lines[len(lines)-1])
				help, _ := w.m.Update(keyOf("f1"))
				page := strings.Split(help.View(), "\n")
				all := hintsOf(page[1 : len(page)-1]...)
				for _, h := range short {
					long := ""
					for _, o := range all {
						if slices.ContainsFunc(o.pressed(), func(k string) bool { return slices.Contains(h.pressed(), k) }) {
							long += " " + o.does
						}
					}
					if seen[h.keys+h.does] || !assert.NotEmpty(t, long, "%s: %s %s is not on the page of keys", s.name, h.keys, h.does) {
						continue
					}
					seen[h.keys+h.does] = true
					for _, v := range word.FindAllString(strings.ToLower(h.does), -1) {
						assert.Contains(t, word.FindAllString(strings.ToLower(long), -1), v, "%s: hint %q is %q in the help, key %s", s.name, h.does, long, h.keys)
					}
				}
			})
		})
	}
}

// What the README says of a key begins with the words that the help has for it.
func TestHintsAreTheSameInTheREADME(t *testing.T) {
	text, err := os.ReadFile("../README.md")
	require.NoError(t, err)
	k := screen.Bench(names()...)
	said := map[string]string{"enter": bench.FrontGo.Help().Desc}
	for _, b := range k.FullHelp()[0] {
		said[b.Keys()[0]] = b.Help().Desc
	}
	rows := regexp.MustCompile("(?m)^\\| `([^`]+)` \\| (.*) \\|$").FindAllStringSubmatch(string(text), -1)
	n := 0
	for _, m := range rows {
		if want, ok := said[m[1]]; ok {
			n++
			assert.True(t, strings.HasPrefix(m[2], want), "README: %s %q; the help says %q", m[1], m[2], want)
		}
	}
	assert.GreaterOrEqual(t, n, 5, "enter, tab, f, ? and q at least")
}
