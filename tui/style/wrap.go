package style

import (
	"regexp"
	"strings"
)

// Wrap breaks text at spaces into lines of at most width cells. A figure stays with its unit or what it
// counts, a number with its word, and the last line is not a stub if possible, see withoutStub. A style
// that a line breaks goes on in the next one.
func Wrap(text string, width int) []string {
	lines := wrap(text, width)
	if len(lines) > 1 && strings.Contains(text, "\x1b") {
		carryStyle(lines)
	}
	return lines
}

// escapes matches the escapes of styles (SGR, ECMA-48 8.3.117).
var escapes = regexp.MustCompile("\x1b\\[[0-9;:]*m")

// carryStyle ends what is styled with each line and begins it again with the next one.
func carryStyle(lines []string) {
	open := ""
	for i, l := range lines {
		lines[i] = open + l
		for _, sgr := range escapes.FindAllString(l, -1) {
			if open += sgr; sgr == "\x1b[0m" || sgr == "\x1b[m" {
				open = ""
			}
		}
		if open != "" {
			lines[i] += "\x1b[0m"
		}
	}
}

// wrap is Wrap of a text whose styles no line breaks.
func wrap(text string, width int) []string {
	width = max(1, width)
	if mayHaveUnit(text) {
		text = units.ReplaceAllString(text, "$1"+noBreak+"$2")
	}
	if mayHavePlace(text) {
		text = places.ReplaceAllString(text, "$1$3"+noBreak+"$2$4")
	}
	if strings.Contains(text, ": ") {
		text = ofFeed.ReplaceAllString(text, "$1"+noBreak+"$2"+noBreak+"$3")
	}
	if strings.Contains(text, " \"") {
		text = named.ReplaceAllString(text, "$1"+noBreak+"\"")
	}
	if mayHaveSpan(text) {
		text = spans.ReplaceAllString(text, "$1"+noBreak+"$2"+noBreak+"$3")
	}
	if strings.Contains(text, " of the prop") {
		text = ofTheProp.ReplaceAllString(text, "$1"+strings.ReplaceAll(" of the prop", " ", noBreak))
	}
	joined := strings.Contains(text, "-")
	if joined {
		text = hyphens.ReplaceAllString(text, "$1"+noBreakHyphen+"$2")
		for _, space := range []string{" ", noBreak} {
			text = strings.ReplaceAll(text, space+"--", space+noBreakHyphen+noBreakHyphen) // of a flag
		}
	}
	lines := withoutStub(text, width)
	for i := range lines {
		lines[i] = strings.ReplaceAll(lines[i], noBreak, " ")
		if joined {
			lines[i] = strings.ReplaceAll(lines[i], noBreakHyphen, "-")
		}
	}
	return lines
}

// noBreak is a space at which no line is broken (U+00A0).
const noBreak = "\u00a0"

// noBreakHyphen is a hyphen at which no line is broken (U+2011).
const noBreakHyphen = "\u2011"

// hyphens are in words such as check-out; in longer ones a line may break.
var hyphens = regexp.MustCompile(`(\b\pL{2,9})-(\pL{2,6}\b)`)

// units match figures with the units of prop files and plans, and with what they count.
var units = regexp.MustCompile(`(\d) ((?:[kmµ]?[AVW]|ohms?|mm2?|cm|m|in|ft|AWG|%|deg|s|ms|wires|supplies|feeds|wide|pixels?|slots?|packets|instead)\b|%)`)

// places match a number with its word: without it, it reads as another's. Some pairs of words are
// a term, or say the opposite when they are torn.
var places = regexp.MustCompile(`\b([Uu]niverse|[Ss]lots?|[Pp]ixels?|[Jj]oints?|[Ll]ook|[Rr]eading|[Ll]evel|[Pp]riority) (\d)|\b([Pp]ower|no) (off|plus)\b`)

// ofFeed match a number of a feed with its amps.
var ofFeed = regexp.MustCompile(`\b([Ff]eed) (\d+:) (\d)`)

// named match a name after the number or the word that it belongs to.
var named = regexp.MustCompile(`(\b[Rr]un|\b[Jj]oint|\d) "`)

// spans match "37 to 84" and "2 of 6".
var spans = regexp.MustCompile(`(\d) (to|of) (\d)`)

// mayHavePlace is a quick test for places: a number after a word, or one of the terms.
func mayHavePlace(text string) bool {
	for i := 1; i+1 < len(text); i++ {
		if text[i] == ' ' && isDigit(text[i+1]) && strings.IndexByte("estlkgy", text[i-1]) >= 0 {
			return true
		}
	}
	return strings.Contains(text, "ower off") || strings.Contains(text, "no plus")
}

// mayHaveSpan is a quick test for spans.
func mayHaveSpan(text string) bool {
	for i := 1; i+4 < len(text); i++ {
		if text[i] == ' ' && isDigit(text[i-1]) && text[i+3] == ' ' && isDigit(text[i+4]) {
			return true
		}
	}
	return false
}

func isDigit(b byte) bool { return '0' <= b && b <= '9' }

// ofTheProp matches a number of pixels with the words that say of what.
var ofTheProp = regexp.MustCompile(`(\d) of the prop\b`)

// mayHaveUnit is a quick test that is false for most lines. The search for units takes more
// than half of the time, and a page of light is wrapped thirty times a second.
func mayHaveUnit(text string) bool {
	for i := 1; i+1 < len(text); i++ {
		if text[i] == ' ' && isDigit(text[i-1]) && strings.IndexByte("kmAVWcifdswp%\xc2", text[i+1]) >= 0 ||
			strings.HasPrefix(text[i:], " ohm") {
			return true
		}
	}
	return false
}
