// Package words has helpers for English sentences, such as plurals and lists,
// and one formatter for each kind of quantity.
package words

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// Capital is s with its first letter a capital, as at the start of a sentence.
func Capital(s string) string {
	_, n := utf8.DecodeRuneInString(s)
	return strings.ToUpper(s[:n]) + s[n:]
}

// Plural returns one if n is 1, else many.
func Plural[N ~int | ~uint16 | ~uint64](n N, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// Count is a number with its noun: "1 pixel", "3 pixels", "2 universes". The
// plural is the noun with an s; for others use Plural.
func Count[N ~int | ~uint16 | ~uint64](n N, noun string) string {
	return fmt.Sprintf("%d %s", n, Plural(n, noun, noun+"s"))
}

// Sentence is s with a capital first letter and a final full stop, unless s
// already ends like a sentence. An empty s stays empty.
func Sentence(s string) string {
	if s == "" || strings.ContainsAny(s[len(s)-1:], ".?!") {
		return Capital(s)
	}
	return Capital(s) + "."
}

// Aside inserts a text in brackets before the full stop: "It is dark (likely)."
func Aside(sentence, aside string) string {
	text, stop := strings.CutSuffix(sentence, ".")
	text += " (" + aside + ")"
	if stop {
		text += "."
	}
	return text
}

// And joins texts for a sentence: "a", "a and b", "a, b and c".
func And(all []string) string { return joined(all, " and ") }

// Or joins texts for a sentence: "a", "a or b", "a, b or c".
func Or(all []string) string { return joined(all, " or ") }

func joined(all []string, before string) string {
	last := len(all) - 1
	if last < 1 {
		return strings.Join(all, "")
	}
	return strings.Join(all[:last], ", ") + before + all[last]
}
