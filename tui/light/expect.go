package light

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// expect describes the light of a correct strip now: the pattern's own words, and the
// pixels that stay dark because parts are empty.
func (m Model) expect() string {
	if m.prop == nil {
		return "" // nothing lights
	}
	if m.unlit() {
		return m.unlitWords()
	}
	pattern := m.pattern()
	s, at := m.settings(), m.moment()
	if pattern.ID == patterns.Chase.ID && !m.auto {
		pattern = patterns.Single // it does not walk now
	}
	text := pattern.Expect(s, at)
	if first, _, more := strings.Cut(text, ". "); more && m.compact() && pattern.ID == patterns.Ruler.ID {
		_, text, _ = strings.Cut(first+".", ": ") // the large words have the last mark, the settings another way
		text = words.Capital(text)
	}
	if m.prop.Bulb() {
		text = strings.Replace(text, "The only pixel", "The bulb", 1)
	}
	if m.sub != nil && m.number() > 0 && !m.countsInside() { // one number on the page, that of the drawing
		text = strings.Replace(text, fmt.Sprintf("%d of %d", m.number()-m.first, m.sub.Pixels()), fmt.Sprintf("%d of %d", m.number(), m.prop.Pixels()), 1)
	}
	return butFor(m.lit(), pattern.Frame(nil, s, at), text)
}

// unlit reports whether all pixels are sent dark: by the key, or by the pattern.
func (m Model) unlit() bool { return m.dark || m.pattern().ID == patterns.Black.ID }

// unlitWords are what to expect then. A dark prop has power all the same.
func (m Model) unlitWords() string {
	text := "Every pixel is dark. The supply is still on: power off before you work on the prop."
	if m.pattern().ID == patterns.Black.ID {
		return text + " Another pattern lights it."
	}
	return fmt.Sprintf("%s `l` lights it again, at %s.", text, words.Percent(m.level))
}

// butFor adds to the words of a frame the pixels that empty parts keep dark.
func butFor(p *prop.Prop, frame patterns.Frame, text string) string {
	on, _ := p.Lights()
	var dark []int
	lit := 0
	for i, c := range frame {
		if c.Dark() {
			continue
		}
		lit++
		if !on[i] {
			dark = append(dark, i)
		}
	}
	if len(dark) == 0 {
		return text
	}
	names := emptyParts(p, dark)
	which, parts := stretches(dark), words.Plural(len(names), "part", "parts")+" "+words.And(names)
	if len(dark) < lit {
		stay, left := "stay", "is"
		if len(dark) == 1 {
			stay = "stays"
		}
		if len(names) > 1 {
			left = "are"
		}
		return fmt.Sprintf("%s But %s %s dark: %s %s left empty.", text, which, stay, parts, left)
	}
	are := "are"
	if len(dark) == 1 {
		are = "is"
	}
	return fmt.Sprintf("%s %s in %s, left empty: nothing lights.", words.Capital(which), are, parts)
}

// manyStretches is the number of stretches from which they are not listed.
const manyStretches = 4

// stretches writes pixels as "pixel 5" or "pixels 5 and 40 to 42".
func stretches(pixels []int) string {
	var all []string
	for i := 0; i < len(pixels); {
		j := i
		for j+1 < len(pixels) && pixels[j+1] == pixels[j]+1 {
			j++
		}
		switch {
		case j <= i+1:
			for _, x := range pixels[i : j+1] {
				all = append(all, fmt.Sprint(x+1))
			}
		default:
			all = append(all, fmt.Sprintf("%d to %d", pixels[i]+1, pixels[j]+1))
		}
		i = j + 1
	}
	switch {
	case len(pixels) == 1:
		return "pixel " + all[0]
	case len(all) > manyStretches:
		return fmt.Sprintf("%d of these pixels", len(pixels))
	}
	return "pixels " + words.And(all)
}

// emptyParts are the empty parts that hold any of the pixels, by name.
func emptyParts(p *prop.Prop, pixels []int) (names []string) {
	for _, t := range p.Parts {
		if t.Empty && slices.ContainsFunc(pixels, func(i int) bool { return i >= t.First && i <= t.Last }) {
			names = append(names, fmt.Sprintf("%q", style.Clean(t.Name)))
		}
	}
	return names
}
