package canvas

import (
	"slices"
	"strings"

	"example.org/ringout/tui/style"
)

// lettersTogether are names with the general rules in the place of those of letters, so that none
// of these is left out.
func lettersTogether(names []Name) (out []Name) {
	for _, n := range names {
		rule := n
		switch {
		case !n.letter():
		case n.small():
			rule = smallRule(names)
		default:
			rule = initials
		}
		if !slices.Contains(out, rule) {
			out = append(out, rule)
		}
	}
	return out
}

// lettersListed are names with all letters in the place of the first of them, and one word.
func lettersListed(names []Name) (out []Name) {
	list, at := "", -1
	for _, n := range names {
		if !n.letter() {
			out = append(out, n)
			continue
		}
		if at < 0 {
			at, out = len(out), append(out, Name{})
		}
		list += n.Full[:1]
	}
	if at >= 0 {
		out[at] = Named(Swatch(list, "lit"))
	}
	return out
}

// letter reports whether a name explains one letter of light.
func (n Name) letter() bool {
	for h, hue := range hueNames {
		for _, of := range letters {
			if strings.HasPrefix(n.Full, of[h]+" ") && strings.HasSuffix(n.Full, " "+hue) {
				return true
			}
		}
	}
	return false
}

// small reports whether a name explains a small letter.
func (n Name) small() bool { return strings.ToLower(n.Full[:1]) == n.Full[:1] }

// smallRule is the general rule for the small letters among names.
func smallRule(names []Name) Name {
	var drawn [full]bool
	for _, n := range names {
		for at := faint; at < full && n.letter(); at++ {
			drawn[at] = drawn[at] || strings.Contains(n.Full, bandNames[at])
		}
	}
	words := bandWords(drawn[faint:], faint)
	return Name{"small letter = " + words, "small=" + words}
}

// letterNames explain the letters and signs now drawn on a terminal without colours, with
// colours those of dark pixels and of pixels outside a part.
func (c *Canvas) letterNames() (out []Name) {
	if !c.dotted() {
		return nil
	}
	var seen lightSigns
	for i := range c.rows {
		for j := range c.rows[i].spots {
			seen.add(c, &c.rows[i].spots[j])
		}
	}
	if c.depth == style.Letters {
		out = seen.letters()
	}
	if seen.dark {
		out = append(out, DarkName)
	}
	if seen.outside {
		out = append(out, Named(OutsideSign+" outside"))
	}
	return out
}

// lightSigns records which signs of light a drawing contains.
type lightSigns struct {
	dark, outside bool
	drawn         [8][full + 1]bool // letters, by hue and band
}

func (l *lightSigns) add(c *Canvas, s *spot) {
	if c.asks(s) || c.marks(s) {
		return
	}
	lit, out, hole := !s.now[0].Dark(), c.outsideOf(s), c.allHoles(s.up)
	l.outside = l.outside || out
	l.dark = l.dark || !lit && !out && !hole
	if lit {
		l.drawn[hue(mix(s.now[0]))][bandOf(shareOf(s.now[0], c.level))] = true
	}
}

// letters explain the letters in use.
func (l *lightSigns) letters() (out []Name) {
	var small []Name
	for h, bands := range l.drawn {
		if bands[full] {
			out = append(out, Named(letters[0][h]+" "+hueNames[h]))
		}
		if words := bandWords(bands[faint:full], faint); words != "" {
			name := Named(letters[1][h] + " " + words + " " + hueNames[h])
			if h == whiteHue { // of others the colour is the news
				name.Brief = letters[1][h] + " " + words
			}
			small = append(small, name)
		}
	}
	return append(out, small...)
}

// bandWords name those of these bands that are there, the first of which is from; empty for none.
func bandWords(bands []bool, from band) string {
	var in []string
	for at, is := range bands {
		if is {
			in = append(in, bandNames[int(from)+at])
		}
	}
	return strings.Join(in, "/")
}

// The general rules for letters, the second where dim light is drawn.
var (
	initials = Name{"letter = colour's initial", "letter=colour"}
	smallDim = Name{"small letter = dim", "small=dim"}
)
