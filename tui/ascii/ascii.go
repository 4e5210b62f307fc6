// Package ascii writes screens for terminals whose locale has no UTF-8: every
// sign becomes ASCII of the same width in cells. Only what goes to a terminal
// is translated; files and JSON are not.
package ascii

import (
	"io"
	"os"
	"runtime"
	"strings"
	"sync"
	"unicode/utf8"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/tui/style"
)

// Wanted reports whether the locale of an environment (os.Getenv) names C,
// POSIX or a codeset that is not UTF-8. The first variable that is set counts
// (POSIX.1-2017, base definitions, 8.2). A locale that is not set, or that
// names no codeset, is taken for UTF-8 (common practice); Windows has none.
func Wanted(getenv func(string) string) bool {
	return runtime.GOOS != "windows" && wanted(getenv)
}

func wanted(getenv func(string) string) bool {
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		locale, _, _ := strings.Cut(getenv(name), "@")
		if locale == "" {
			continue
		}
		if locale == "C" || locale == "POSIX" {
			return true
		}
		_, codeset, named := strings.Cut(locale, ".")
		return named && !strings.EqualFold(strings.ReplaceAll(codeset, "-", ""), "utf8")
	}
	return false
}

// signs are the ASCII characters for the signs that a screen draws, each one cell wide.
// Blocks of half a cell become high or low characters, so that large figures can be read.
// R means ohms in resistor codes (IEC 60062).
var signs = sync.OnceValue(func() map[rune]byte {
	m := map[rune]byte{}
	for to, from := range map[byte]string{
		'-': "─━‐‑‒–—―−╌┄•·‧", '|': "│┃║▏▕▎¦", '+': "┌┐└┘├┤┬┴┼╭╮╯╰╋", '=': "═", '~': "≈±", 'R': "Ω",
		'#': "█■▉▊▓▒▇▆▅◼", '"': "▀“”„‟″", 'm': "▄", '_': "▂▁▃", '[': "▌▍▋", ']': "▐",
		'\'': "▘▝‘’‚‛′´ʹʻʼʽˈ", ',': "▖▗", '/': "▞↗↙", '\\': "▚↘↖",
		'L': "▙", 'J': "▟", 'P': "▛", '7': "▜",
		'>': "→▶▸►›»≥", '<': "←◀◂◄‹«≤", 'v': "↓▼▾", '^': "↑▲▴",
		'*': "●◆★✓", 'x': "×", 'o': "○◦°☆", '&': "◇", '.': "…░", ':': "▪", ' ': "\u00a0\u2007\u2009\u202f",
		'u': "µμüùúû", 'O': "ÖÓÒÔØ", 'w': "ω", 'a': "äáàâåã", 'e': "éèêë", 'i': "íìîï", 's': "ß",
		'n': "ñ", 'c': "çćč", 'A': "ÄÁÀÂÅÃ", 'E': "ÉÈÊË€", 'U': "ÜÚÙÛ", 'N': "Ñ", 'C': "Ç", '2': "²", '!': "≠", '3': "³",
	} {
		for _, r := range from {
			m[r] = to
		}
	}
	for r := rune(0x2801); r <= 0x28ff; r++ { // dots
		m[r] = ':'
	}
	for _, r := range "óòôöõø" {
		m[r] = 'o'
	}
	return m
})

// A Writer translates what is written through it. Escape sequences are
// ASCII and pass as they are. It may be used by several goroutines.
type Writer struct {
	to   io.Writer
	mu   sync.Mutex
	rest []byte // octets of a rune that is not complete yet
}

// NewWriter translates for a terminal.
func NewWriter(to io.Writer) *Writer { return &Writer{to: to} }

// Write implements io.Writer. With an error it returns the number of octets of p that were
// written for sure.
func (w *Writer) Write(p []byte) (int, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if _, err := w.to.Write(w.translate(p)); err != nil {
		return 0, err
	}
	return len(p), nil
}

// WriteString is Write of a text.
func (w *Writer) WriteString(s string) (int, error) { return w.Write([]byte(s)) }

// translate is p in ASCII, without the beginning of a rune at its end.
func (w *Writer) translate(p []byte) []byte {
	p = append(w.rest, p...)
	w.rest = nil
	out := make([]byte, 0, len(p))
	for i := 0; i < len(p); {
		if p[i] < utf8.RuneSelf {
			out = append(out, p[i])
			i++
			continue
		}
		n := foreign(p[i:])
		run := p[i : i+n]
		if i+n == len(p) {
			whole := len(run) - begun(run)
			w.rest = append(w.rest, run[whole:]...)
			run = run[:whole]
		}
		out = plain(out, run)
		i += n
	}
	return out
}

// foreign is the number of octets at the beginning of p that are not ASCII.
func foreign(p []byte) int {
	n := 0
	for n < len(p) && p[n] >= utf8.RuneSelf {
		n++
	}
	return n
}

// begun is the number of octets at the end of run that belong to an incomplete rune.
func begun(run []byte) int {
	for n := 1; n < utf8.UTFMax && n <= len(run); n++ {
		if tail := run[len(run)-n:]; utf8.RuneStart(tail[0]) {
			if utf8.FullRune(tail) {
				return 0
			}
			return n
		}
	}
	return 0
}

// plain appends a run in ASCII: the sign of each known character, ? in every cell of
// others, nothing for characters without width.
func plain(out, run []byte) []byte {
	for len(run) > 0 {
		r, n := utf8.DecodeRune(run)
		if r == utf8.RuneError && n == 1 {
			out, run = append(out, '?'), run[1:]
			continue
		}
		c, width := ansi.FirstGraphemeCluster(run, ansi.GraphemeWidth)
		run = run[len(c):]
		to, known := signs()[r]
		if !known {
			to = '?'
		}
		for range width {
			out = append(out, to)
		}
	}
	return out
}

// A File is a terminal that is written to in ASCII. It has the methods by which
// Bubble Tea knows a terminal.
type File struct {
	*Writer
	file *os.File
}

// A Terminal is what Bubble Tea takes for one.
type Terminal interface {
	io.ReadWriteCloser
	Fd() uintptr
}

// Output is a terminal's file for a screen, with translation to ASCII if the
// environment's locale needs it.
func Output(f *os.File, getenv func(string) string) Terminal {
	if !Wanted(getenv) {
		return f
	}
	return File{NewWriter(f), f}
}

// Styles are the styles of a terminal's renderer; with NO_COLOR they keep bold and the
// like. With ASCII, letters show the light of pixels, since blocks would all look the
// same.
func Styles(r *lipgloss.Renderer, getenv func(string) string) style.Styles {
	s := style.On(r, style.GroundOf(getenv))
	if s.Depth == style.Letters && getenv("TERM") != "dumb" {
		s = style.NoColour()
	}
	if Wanted(getenv) {
		s.Depth = style.Letters
	}
	return s
}

// Read reads from the terminal.
func (f File) Read(p []byte) (int, error) { return f.file.Read(p) }

// Close closes the terminal.
func (f File) Close() error { return f.file.Close() }

// Fd is the file's number.
func (f File) Fd() uintptr { return f.file.Fd() }
