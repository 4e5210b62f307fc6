// Package style is the styles of the bench: one accent colour, brass, for the position on a
// page and for settings that can be changed. Other text has the terminal's own colours, so
// that it can be read on dark and on light backgrounds.
//
// A renderer without colour (a dumb terminal, a pipe) gives plain text: nothing is shown by
// colour alone. For NO_COLOR see NoColour.
package style

import (
	"regexp"
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
)

// Styles are the few kinds of text on a page.
type Styles struct {
	Accent Text // the position on a page, and settings that can be changed
	Strong Text // headings, figures
	Quiet  Text // less important text
	Good   Text
	Doubt  Text // between good and a problem; always with a word or a sign that says so
	Warn   Text // a problem; always with a word that says so
	Depth  Depth
	panel  *Styles
}

// OnPanel are the styles of texts on the ground of drawings, which is dark on every terminal.
func (s Styles) OnPanel() Styles {
	if s.panel == nil {
		return s
	}
	return *s.panel
}

// A Depth is how many colours the terminal has.
type Depth uint8

// The colour depths.
const (
	Letters Depth = iota // none: letters replace colours
	Sixteen
	Cube256
	True
)

// A Text is the style of one kind of text: the escapes of a lipgloss.Style, made once, since
// views use them hundreds of times. It is small because screens hold several and are copied.
// The zero Text is plain.
type Text struct{ before, filled, after string }

func textOf(s lipgloss.Style) Text {
	before, _, _ := strings.Cut(s.Render("x"), "x")
	filled, after, _ := strings.Cut(s.Reverse(true).Render("x"), "x")
	return Text{before, filled, after}
}

// underlined is the accent without colours. A line belongs under words alone: under a sign, an indent
// or the blanks between columns it reads as a bar.
const underlined = "\x1b[1;4m"

// wordsOf matches words with single spaces between them.
var wordsOf = regexp.MustCompile(`[^\s▸…]+( [^\s▸…]+)*`)

// Filled is the style with cells filled with its colour, so that a single sign is seen from
// two metres.
func (t Text) Filled() Text { return Text{t.filled, t.filled, t.after} }

// Render is a text in the style, line by line; several pieces get a space between them.
func (t Text) Render(pieces ...string) string {
	text := strings.Join(pieces, " ")
	if text == "" || t.before == "" {
		return text
	}
	if t.before == underlined {
		return wordsOf.ReplaceAllString(text, t.before+"$0"+t.after)
	}
	return t.before + strings.ReplaceAll(text, "\n", t.after+"\n"+t.before) + t.after
}

// On makes the styles of a renderer for a ground.
func On(r *lipgloss.Renderer, g Ground) Styles {
	s, ink := r.NewStyle, inksOn[g]
	out := Styles{
		Accent: textOf(s().Bold(true).Foreground(ink.brass)),
		Strong: textOf(s().Bold(true)),
		Quiet:  textOf(s().Foreground(ink.slate)),
		Good:   textOf(s().Foreground(ink.leaf)),
		Doubt:  textOf(s().Foreground(ink.brass)),
		Warn:   textOf(s().Bold(true).Foreground(ink.rust)),
		Depth:  DepthOf(r.ColorProfile()),
	}
	if g != DarkGround && out.Depth != Letters {
		dark := On(r, DarkGround)
		out.panel = &dark
	}
	if out.Depth == Sixteen {
		out.Accent = NoColour().Accent // each of the sixteen is a colour that pixels have
		// Black on red is not read from two metres.
		out.Warn.filled = textOf(s().Bold(true).Foreground(lipgloss.ANSIColor(15)).Background(lipgloss.ANSIColor(1))).before
		if g == DarkGround {
			out.Doubt = textOf(s().Foreground(lipgloss.ANSIColor(3))) // yellow, too pale on a light ground
		}
	}
	return out
}

// Typed is the style of a text while it is typed: filled, so that it stands out from the
// values around it on every ground.
func (s Styles) Typed() Text { return s.Accent.Filled() }

// AccentSign is the accent for a title, and for a sign in a drawing and its legend: without the
// underline, which is that of keys in a title, and would run through a row of signs: their shapes
// differ without colours too.
func (s Styles) AccentSign() Text {
	if s.Depth == Sixteen || s.Depth == Letters {
		return s.Strong
	}
	return s.Accent
}

// ForLarge are the styles of large words; with bad they warn. Not without colours: a warning
// is reversed there, which makes holes of large letters.
func (s Styles) ForLarge(bad bool) Styles {
	if bad && s.Depth != Letters {
		s.Strong = s.Warn
	}
	return s
}

// ForVerdict is ForLarge with good for words that say that all is well.
func (s Styles) ForVerdict(bad, good bool) Styles {
	if good && !bad && s.Depth != Letters {
		s.Strong = s.Good
	}
	return s.ForLarge(bad)
}

// NoColour are the styles of a terminal that must have no colour (NO_COLOR): bold,
// underlined and reverse are none (SGR 1, 4 and 7, ECMA-48 8.3.117), and say what
// colour says elsewhere. A dumb terminal has not even these: On is plain there.
func NoColour() Styles {
	bare := func(sgr string) Text { return Text{"\x1b[" + sgr + "m", "\x1b[" + sgr + ";7m", "\x1b[0m"} }
	return Styles{Accent: bare("1;4"), Strong: bare("1"), Warn: bare("1;7"), Depth: Letters}
}

// DepthOf is the depth of a terminal's colour profile.
func DepthOf(p termenv.Profile) Depth {
	switch p {
	case termenv.TrueColor:
		return True
	case termenv.ANSI256:
		return Cube256
	case termenv.ANSI:
		return Sixteen
	}
	return Letters
}

// Fit cuts or fills text to exactly width x height cells.
func Fit(text string, width, height int) string {
	return strings.Join(FitLines(text, width, height), "\n")
}

// FitLines is Fit as a slice of lines.
func FitLines(text string, width, height int) []string {
	lines := strings.Split(text, "\n")
	out := make([]string, height)
	for i := range out {
		line := ""
		if i < len(lines) {
			line = lines[i]
		}
		out[i] = Cell(line, width)
	}
	return out
}

// FirstFit is the first of texts that fits a width, else the last; each text is shorter than
// the one before.
func FirstFit(width int, texts ...string) string {
	for _, t := range texts[:len(texts)-1] {
		if Width(t) <= width {
			return t
		}
	}
	return texts[len(texts)-1]
}

// Inset puts one empty cell before and after every line, for pages that keep one column for
// their own signs and must have the left edge of all others.
func Inset(text string) string {
	return " " + strings.ReplaceAll(text, "\n", " \n ") + " "
}

// Indent puts empty cells before every line.
func Indent(lines []string, cells int) []string {
	out := make([]string, len(lines))
	for i, l := range lines {
		out[i] = strings.Repeat(" ", cells) + l
	}
	return out
}

// Cell cuts or fills one line to exactly width cells.
func Cell(line string, width int) string {
	w := Width(line)
	if w > width {
		line = ansi.Truncate(line, width, "…")
		w = Width(line)
	}
	return line + strings.Repeat(" ", max(0, width-w))
}

// Beside puts right at the right of lines, from a column on. Lines with something beside
// them are cut there.
func Beside(lines, right []string, column int) []string {
	out := make([]string, max(len(lines), len(right)))
	copy(out, lines)
	for i, r := range right {
		out[i] = Cell(out[i], column) + r
	}
	return out
}
