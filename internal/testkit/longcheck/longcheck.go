// Package longcheck finds sentences that are too long to be read at a glance.
package longcheck

import (
	"regexp"
	"strings"
)

// Most is how many words a sentence on a screen may have before it needs a reason.
const Most = 15

// A colon or a semicolon ends a sentence: one stops there to breathe.
var end = regexp.MustCompile(`[.?!:;] |[.?!]$|\n`)

// quoted is a name, one word however many it has.
var quoted = regexp.MustCompile(`"[^"]*"|'[^' ][^']*' `)

// Sentences are those of a text with more than Most words; markup and drawings have none.
func Sentences(text string) (out []string) {
	for _, s := range end.Split(text, -1) {
		if len(strings.Fields(quoted.ReplaceAllString(s, "X "))) > Most && !strings.ContainsAny(s, "<|") {
			out = append(out, strings.TrimSpace(s))
		}
	}
	return out
}
