package style

import (
	"regexp"
	"strings"
)

// keyMark is a key in a sentence, between backquotes, with the space after it.
var keyMark = regexp.MustCompile("`([^`]+)`( ?)")

// keyAside is a key in brackets.
var keyAside = regexp.MustCompile(" \\(`[^`]+`\\)")

// keysJoined is the word between two keys.
var keysJoined = regexp.MustCompile("` (and|or) `")

// More is a line that says in a quiet voice what is hidden, and the key that shows it; empty for none.
func (s Styles) More(says, key string) string {
	if key == "" {
		return s.Quiet.Render(says)
	}
	return s.Quiet.Render(says+": ") + s.Accent.Render(key)
}

// WrapKeys is Wrap of a sentence in look whose keys are between backquotes: these are drawn
// as keys, and none is the last word of a line, where one letter reads as a misprint.
func WrapKeys(text string, width int, look, key Text) []string {
	if strings.Contains(text, "`") { // most texts of a page that is drawn thirty times a second name no key
		text = Keyed(text, look, key)
	}
	lines := wrap(text, width)
	for i := range lines {
		lines[i] = look.Render(strings.TrimRight(lines[i], " "))
	}
	return lines
}

// WithoutKeys are the sentences of a text up to the part that offers a key, for a page whose keys do not act.
func WithoutKeys(text string) string {
	var out []string
	text = keyAside.ReplaceAllString(text, "")
	for _, s := range strings.SplitAfter(text, ". ") {
		before, _, keys := strings.Cut(s, "`")
		if keys {
			at := strings.LastIndexAny(before, ";:")
			if at < 0 {
				continue
			}
			s = before[:at]
			if strings.HasSuffix(strings.TrimSpace(text), ".") {
				s += "."
			}
		}
		out = append(out, strings.TrimSpace(s))
	}
	return strings.Join(out, " ")
}

// Keyed is a sentence in look, to be broken by Wrap, with its keys between backquotes drawn as keys, each
// joined to what follows it.
func Keyed(text string, look, key Text) string {
	text = keysJoined.ReplaceAllString(text, "`"+noBreak+"$1"+noBreak+"`")
	return keyMark.ReplaceAllStringFunc(text, func(s string) string {
		part := keyMark.FindStringSubmatch(s)
		out := look.after + key.Render(strings.ReplaceAll(part[1], " ", noBreak)) + look.before
		if part[2] != "" {
			out += noBreak
		}
		return out
	})
}
