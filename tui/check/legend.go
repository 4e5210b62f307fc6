package check

import (
	"cmp"
	"regexp"
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// A legend is what a drawing is, what its page says of the signs in it, and what the drawing
// says of the others.
type legend struct {
	title canvas.Name // with the scale after it; none where the signs say it
	said  []canvas.Name
	sheet *sheet
	drawn []string // the lines of the drawing

	before []canvas.Name // what a legend beside it has said: these come last
	brief  bool          // the way of the data is in its short form, as beside it
}

// names are all that the legend says, most needed first.
func (l legend) names(lit bool) []canvas.Name {
	c := l.sheet.c
	if c == nil {
		return append([]canvas.Name{l.title}, l.said...)
	}
	out := []canvas.Name{l.title.With(c.Scale())}
	if l.title.Full == "" {
		out[0] = c.Scale()
	}
	out = append(out, l.said...)
	if lit {
		return append(out, c.LightNames()...)
	}
	out = append(out, c.SignNames()...)
	switch dots := strings.Count(ansi.Strip(strings.Join(l.drawn, "")), otherSign); {
	case dots > 0 && len(l.said) == 0:
		if dots > 1 {
			return slices.Insert(out, 1, canvas.Named(otherSign+" all pixels"))
		}
	case dots > 0 && l.said[0] != anywhere:
		out = append(out, canvas.Named(otherSign+" others"))
	}
	return out
}

// lines are the legend in as many rows at most, and whether all of it has room there.
func (l legend) lines(m scene, width, rows int) ([]string, bool) {
	out, all := canvas.Legend(width, rows, l.ordered(m)...)
	return l.drawnLines(m, out), all
}

// linesIn are the legend in just so many rows, where it has as many names.
func (l legend) linesIn(m scene, width, rows int) ([]string, bool) {
	names := l.ordered(m)
	out, all := canvas.LegendIn(width, rows, names[0], names[1:]...)
	return l.drawnLines(m, out), all
}

// ordered are the names, with what a legend beside it has said last.
func (l legend) ordered(m scene) []canvas.Name {
	names := l.names(l.sheet.lit(m))
	if l.brief {
		names = slices.Clone(names)
		names[slices.Index(names, l.way())] = canvas.Named(l.way().Brief)
	}
	slices.SortStableFunc(names[1:], func(a, b canvas.Name) int { return cmp.Compare(l.again(a), l.again(b)) })
	return names
}

// drawnLines are lines with their signs as they are drawn.
func (l legend) drawnLines(m scene, lines []string) []string {
	for i := range lines {
		lines[i] = m.keyLine(lines[i], l.sheet)
	}
	return lines
}

// way explains the way of the data in the drawing.
func (l legend) way() canvas.Name {
	if l.sheet.c == nil {
		return canvas.Name{}
	}
	return l.sheet.c.Way()
}

// legends are the lines of legends side by side, each in just so many rows. Where one has no room for all, it names first
// what those before it do not; the way of the data has one form in all.
func (m scene) legends(all []legend, each, rows int) (out [][]string) {
	for _, brief := range []bool{false, true} {
		var named []canvas.Name
		out = nil
		for _, l := range all {
			l.brief = brief && l.way().Full != ""
			said, whole := l.linesIn(m, each, rows)
			if !whole {
				l.before = named
				said, _ = l.linesIn(m, each, rows)
				named = append(named, l.saidIn(said)...)
			}
			out = append(out, said)
		}
		if full, short := m.wayIn(all, out); !full || !short {
			break
		}
	}
	return out
}

// wayIn reports whether the way of the data is named in full in one of these legends, and in short.
func (m scene) wayIn(all []legend, lines [][]string) (full, short bool) {
	for i, l := range all {
		text, way := ansi.Strip(strings.Join(lines[i], "  ")), l.way()
		full = full || way.Full != "" && strings.Contains(text, way.Full)
		short = short || way.Brief != way.Full && strings.Contains(text, way.Brief)
	}
	return full, short
}

// saidIn are the names that lines of this legend have room for.
func (l legend) saidIn(lines []string) (out []canvas.Name) {
	all := ansi.Strip(strings.Join(lines, "  ")) + "  "
	for _, n := range l.names(true) {
		if strings.Contains(all, n.Full+"  ") || strings.Contains(all, n.Brief+"  ") {
			out = append(out, n)
		}
	}
	return out
}

// again is 1 where a legend beside has said a name, else 0.
func (l legend) again(n canvas.Name) int {
	if slices.Contains(l.before, n) {
		return 1
	}
	return 0
}

// lit reports whether the sheet shows light, and not signs.
func (s *sheet) lit(m scene) bool {
	return s == &m.draw.should || s == &m.draw.does || s == &m.draw.shown
}

// A legendRoom is what the rows of the legends of drawings of light hang on.
type legendRoom struct {
	of                  *prop.Prop
	width, room, height int
}

// legendRows is how many rows the legend of a drawing of light so wide has where its own room
// may be less, whatever it shows, so that drawings keep their place: as many as it takes, if
// the drawing loses nothing by it. gap is how many empty rows stand below it, besides those that the
// drawing leaves.
func (m scene) legendRows(width, room, height int) (rows, gap int) {
	at := m.draw.room.Get(legendRoom{m.sub, width, room, height}, func() legendPlace {
		return legendPlace{m.newLegendRows(width, room, height), m.gapBelow(width, height)}
	})
	return at.rows, at.gap
}

// A legendPlace is the rows of a legend, and how many empty ones stand below it.
type legendPlace struct{ rows, gap int }

// gapBelow is 1 for a drawing in rows on a small page, below a legend of one row, unless a mark would
// cover more pixels then.
func (m scene) gapBelow(width, height int) int {
	if m.sub.Bulb() || m.shaped || hasRoom(m.size.Width, m.size.Height) || height < 1+1+len(m.sub.Runs) {
		return 0
	}
	now, then := m.laidOut(nil, width, height-1, false), m.laidOut(nil, width, height-1-1, false)
	if !now.Rows() || !then.Rows() || then.Per() > now.Per() {
		return 0
	}
	return 1
}

// newLegendRows is legendRows, worked out.
func (m scene) newLegendRows(width, room, height int) int {
	if m.sub.Bulb() || !hasRoom(m.size.Width, m.size.Height) { // small pages have one place for all drawings
		return 1
	}
	below := func(rows int) *canvas.Canvas { return m.laidOut(nil, width, height-rows, false) }
	names := func(title canvas.Name, c *canvas.Canvas) []canvas.Name {
		names := []canvas.Name{title.With(c.Scale()), canvas.Named(canvas.Asked + " here")}
		return canvas.InShort(append(names, c.MostNames(false)...))
	}
	rows := 1
	if _, fits := canvas.Legend(room, 1, names(canvas.SimulatedTitle, below(1))...); !m.shaped || !fits { // a row more lets rings be larger
		rows = canvas.LegendRows(min(2, max(1, height-2)), below, func(c *canvas.Canvas, _ int) (int, []canvas.Name) {
			return room, names(canvas.ExpectedTitle, c)
		})
	}
	if m.shaped && m.moreLegend(width, height, rows) {
		return mostLegend + 1 - rows
	}
	return rows
}

// moreLegend reports whether the other number of rows of a legend suits a drawing as it lies better: it
// has room only then, or its letters can have their names in full and it is as large.
func (m scene) moreLegend(width, height, rows int) bool {
	now, then := m.asItLies(width, height-rows), m.asItLies(width, height-(mostLegend+1-rows))
	if now == nil || then == nil {
		return then != nil
	}
	from, to := now.Used()
	first, after := then.Used()
	return rows < mostLegend && m.style.Depth == style.Letters && to-from == after-first
}

// keyLine is the caption of a drawing, its signs as they are drawn: those of light on its
// ground.
func (m scene) keyLine(caption string, of *sheet) string {
	lit := of.lit(m)
	look := map[string]uint8{badPixel: likely, darkSign: unlit, litSign: ruledOut, maybeSign: maybe, "?": askedOf, "+": walkedTo, soundSign: sound, chosenSign: sound, firstBadSign: firstBad}
	parts := strings.Split(caption, "  ")
	for i, part := range parts {
		sign, means, _ := strings.Cut(part, " ")
		rank, ok := look[sign]
		switch {
		case part == "":
		case part == canvas.DarkName.Full && lit:
			parts[i] = canvas.DarkMark(m.style.Depth) + " " + m.style.Quiet.Render(means)
		case sign == canvas.Asked && lit:
			parts[i] = canvas.AskedSign(m.style.Depth) + " " + m.style.Quiet.Render(means)
		case ok && int(rank) < len(of.used):
			parts[i] = of.used[rank] + " " + m.style.Quiet.Render(means)
		case numberedPartIs.MatchString(part):
			parts[i] = m.numberedPart(part, of.used)
		case strings.Contains("▶▲▼◀", sign):
			parts[i] = canvas.EntrySign(sign, lit, m.style.Depth) + " " + m.style.Quiet.Render(means)
		default:
			parts[i] = m.style.Quiet.Render(part)
		}
	}
	return strings.Join(parts, "  ")
}

// numberedPartIs is the part of a legend that names joints by their numbers.
var numberedPartIs = regexp.MustCompile(`^([1-9] )+at the joints?$`)

// numberedPart are these numbers as the drawing has them, and what they are.
func (m scene) numberedPart(part string, used []string) string {
	words := strings.Fields(part)
	for i, w := range words {
		at := slices.IndexFunc(used, func(sign string) bool { return ansi.Strip(sign) == w })
		if at >= int(numbered) {
			words[i] = used[at]
		} else {
			words[i] = m.style.Quiet.Render(w)
		}
	}
	return strings.Join(words, " ")
}

// keyOf names the signs that a drawing has, in the words of its page.
func keyOf(rank []uint8, words ...canvas.Name) (out []canvas.Name) {
	for i, sign := range []uint8{likely, maybe, askedOf} {
		if i < len(words) && slices.Contains(rank, sign) {
			out = append(out, words[i])
		}
	}
	return out
}

// openKey names the signs of where a fault may be.
func openKey(rank []uint8) []canvas.Name {
	if out := keyOf(rank, canvas.Named(badPixel+" likely"), mayBeHere); len(out) > 0 {
		return out
	}
	return []canvas.Name{anywhere}
}

// mayBeHere is what places are called that nothing rules out, anywhere what is said where no
// place is marked.
var (
	mayBeHere = canvas.Name{Full: maybeSign + " may be here", Brief: maybeSign + " maybe"}
	anywhere  = canvas.Name{Full: otherSign + " place not known", Brief: otherSign + " not known"}
)

// otherSign is the sign of a pixel without a rank.
const otherSign = canvas.PlanSign
