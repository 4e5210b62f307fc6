package check

import (
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// A legend names a drawing and its signs, in parts with two spaces between. When it does
// not fit, the last signs are left out.
type legend struct {
	text  string
	scale bool // name the number of pixels to a sign
	sheet *sheet
	drawn []string        // the lines of the drawing
	brief bool            // signs may be named in fewer words
	said  map[string]bool // signs that the drawing beside names: they come last; nil for none
}

// scale is the number of pixels to a sign, in words; empty for one.
func (s *sheet) scale() string {
	if s.c == nil {
		return ""
	}
	return s.c.Scale()
}

// signs are what else is named of a drawing, most needed first: what letters stand for where
// there are no colours, where data enters, and what a filled ground has not.
func (l legend) signs(lit bool) (out []string) {
	if l.sheet.c == nil {
		return nil
	}
	if lit {
		out = l.sheet.c.LetterSigns()
	}
	if way := l.sheet.c.Legend(); way != "" {
		out = append(out, way)
	}
	if l.sheet.c.HasHoles() {
		out = append(out, canvas.Hole+" left empty")
	}
	switch {
	case lit:
	case strings.Contains(ansi.Strip(strings.Join(l.drawn, "")), otherSign):
		out = append(out, otherSign+" others")
	}
	return out
}

// unsaid are the signs, first those that the drawing beside does not name.
func (l legend) unsaid(lit bool) (out []string) {
	var again []string
	for _, s := range l.signs(lit) {
		if l.said[s] {
			again = append(again, s)
		} else {
			out = append(out, s)
		}
	}
	return append(out, again...)
}

// lines are the legend in at most so many rows. The name of the drawing comes first, cut
// if it is too long.
func (l legend) lines(m scene, width, rows int) (out []string) {
	text := l.text
	if l.scale {
		text += l.sheet.scale()
	}
	parts := strings.Split(text, "  ")
	needed := len(parts)
	signs := l.unsaid(l.sheet.lit(m))
	if l.brief && rows == 1 {
		signs = l.briefSigns(signs, width-style.Width(text))
	}
	for i, part := range append(parts, signs...) {
		last, before := len(out)-1, strings.Join(out, "")
		switch {
		case last >= 0 && out[last] != "" && style.Width(out[last]+"  "+part) <= width:
			out[last] += "  " + part
		case last < 0 || len(out) < rows:
			out = append(out, part)
		case i < needed:
			out[last] += "  " + part
		}
		if l.said != nil && strings.Join(out, "") != before {
			l.said[inFull(part)] = true
		}
	}
	for i := range out {
		out[i] = m.keyLine(strings.TrimLeft(out[i], " "), l.sheet.lit(m))
	}
	return out
}

// briefSigns are signs in fewer words where a width has not all of them. Where it has not
// even these, where data enters comes first, unless a drawing beside has named it.
func (l legend) briefSigns(signs []string, width int) []string {
	wide := func() bool { return style.Width("  "+strings.Join(signs, "  ")) > width }
	at := slices.IndexFunc(signs, func(s string) bool { return strings.HasSuffix(s, dataIn) })
	if at < 0 || !wide() {
		return signs
	}
	said, way := l.said[signs[at]], strings.TrimSuffix(signs[at], dataIn)+" in"
	signs[at] = way
	if wide() && !said {
		signs = slices.Insert(slices.Delete(signs, at, at+1), 0, way)
	}
	return signs
}

const dataIn = " data in" // the end of the words of the sign where data enters

// inFull is a sign in all of its words.
func inFull(sign string) string {
	if way, brief := strings.CutSuffix(sign, " in"); brief && !strings.HasSuffix(sign, dataIn) {
		return way + dataIn
	}
	return sign
}

// line is the legend in one row.
func (l legend) line(m scene, width int) string { return l.lines(m, width, 1)[0] }

// lit reports whether the sheet shows light, and not signs.
func (s *sheet) lit(m scene) bool { return s == &m.draw.should || s == &m.draw.does }

// firstLegend is the first of texts that fits in so many rows, else the last.
func firstLegend(m scene, texts []string, s *sheet, drawn []string, width, rows int) []string {
	for _, t := range texts[:len(texts)-1] {
		out := legend{text: t, scale: true, sheet: s}.lines(m, width, rows)
		if !slices.ContainsFunc(out, func(l string) bool { return style.Width(l) > width }) {
			return legend{text: t, scale: true, sheet: s, drawn: drawn}.lines(m, width, rows)
		}
	}
	return legend{text: texts[len(texts)-1], scale: true, sheet: s, drawn: drawn, brief: true}.lines(m, width, rows)
}

// keyLine is the caption of a drawing, its signs as they are drawn: those of light on its
// ground.
func (m scene) keyLine(caption string, lit bool) string {
	look := map[string]uint8{"●": likely, "?": askedOf, "+": walkedTo, soundSign: sound}
	parts := strings.Split(caption, "  ")
	for i, part := range parts {
		sign, means, _ := strings.Cut(part, " ")
		rank, ok := look[sign]
		switch {
		case part == "":
		case sign == canvas.Asked && lit:
			parts[i] = canvas.AskedSign(m.style.Depth) + " " + m.style.Quiet.Render(means)
		case ok:
			parts[i] = m.signs()[rank] + " " + m.style.Quiet.Render(means)
		case strings.Contains("▶▲▼◀", sign):
			parts[i] = canvas.EntrySign(sign, lit, m.style.Depth) + " " + m.style.Quiet.Render(means)
		default:
			parts[i] = m.style.Quiet.Render(part)
		}
	}
	return strings.Join(parts, "  ")
}

// keyOf names the signs that a drawing has, in the words of its page.
func keyOf(rank []uint8, words ...string) string {
	var parts []string
	for i, sign := range []uint8{likely, maybe, askedOf} {
		if i < len(words) && slices.Contains(rank, sign) {
			parts = append(parts, words[i])
		}
	}
	return strings.Join(parts, "  ")
}

// otherSign is the sign of a pixel without a rank.
const otherSign = "•"
