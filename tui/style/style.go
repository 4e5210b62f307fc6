// Package style is how the bench looks: a calm page with one accent, brass,
// used for where you are and what you can turn. Every other text has the
// terminal's own colours, so it reads on dark and on light ones.
//
// A renderer without colour (NO_COLOR, a dumb terminal, a pipe) gives plain
// text: nothing on a page is told by colour alone.
package style

import (
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
)

// Styles are the few kinds of text on a page.
type Styles struct {
	Accent lipgloss.Style // where you are, what you can turn
	Strong lipgloss.Style // headings, figures
	Quiet  lipgloss.Style // what can be looked past
	Good   lipgloss.Style
	Warn   lipgloss.Style // needs a look; always with a word that says so
	Depth  Depth
}

// A Depth is how many colours the terminal has.
type Depth uint8

// The colour depths.
const (
	Letters Depth = iota // none: letters stand for colours
	Sixteen
	Cube256
	True
)

// New makes the styles of a renderer.
func New(r *lipgloss.Renderer) Styles {
	s := r.NewStyle
	return Styles{
		Accent: s().Bold(true).Foreground(brass),
		Strong: s().Bold(true),
		Quiet:  s().Faint(true),
		Good:   s().Foreground(leaf),
		Warn:   s().Bold(true).Foreground(rust),
		Depth:  DepthOf(r.ColorProfile()),
	}
}

// The colours hold 4.5:1 against black and 3:1 against white (WCAG 2.1 1.4.3,
// large or bold text), so that one set serves both kinds of terminal.
var (
	brass = lipgloss.CompleteColor{TrueColor: "#b07d2b", ANSI256: "136", ANSI: "3"}
	leaf  = lipgloss.CompleteColor{TrueColor: "#4f8f4f", ANSI256: "65", ANSI: "2"}
	rust  = lipgloss.CompleteColor{TrueColor: "#d0532f", ANSI256: "166", ANSI: "1"}
)

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

// Cell cuts or fills one line to exactly width cells.
func Cell(line string, width int) string {
	w := ansi.StringWidth(line)
	if w > width {
		line = ansi.Truncate(line, width, "…")
		w = ansi.StringWidth(line)
	}
	return line + strings.Repeat(" ", max(0, width-w))
}

// Wrap breaks text at spaces into lines of at most width cells.
func Wrap(text string, width int) []string {
	return strings.Split(ansi.Wordwrap(text, max(1, width), " "), "\n")
}
