// Command pictures converts terminal captures with escape sequences (ECMA-48 SGR)
// to an HTML page with an SVG drawing of each; .ci/pictures runs it. With -sheet
// it splits the page into sheets, so that a browser prints many captures at once.
// It can simulate colour vision without one kind of cone.
package main

import (
	"bufio"
	"flag"
	"fmt"
	"html"
	"io"
	"os"
	"path/filepath"
	"strings"
)

func main() {
	light := flag.Bool("light", false, "draw on a light background")
	see := flag.String("see", "", "protan, deutan or tritan: as someone sees it who lacks those cones")
	sheet := flag.Int("sheet", 0, "captures on a sheet of paper; 0 for one page without an end")
	width := flag.Int("width", 0, "of a sheet, in pixels")
	height := flag.Int("height", 0, "of a sheet, in pixels")
	names := flag.Bool("names", false, "write the name of each capture above it")
	flag.Parse()
	p := paper{names: *names, each: *sheet, width: *width, height: *height, palette: newPalette(*light, *see)}
	out := bufio.NewWriter(os.Stdout)
	err := p.write(out, flag.Args())
	if err == nil {
		err = out.Flush()
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "pictures:", err)
		os.Exit(1)
	}
}

// A paper is the layout of captures on a page, in CSS pixels.
type paper struct {
	names         bool
	each          int // captures on a sheet; 0 for all
	width, height int // of a sheet
	palette       palette
}

// write writes the captures in files as an HTML page.
func (p paper) write(out io.Writer, files []string) error {
	fmt.Fprintf(out, `<!doctype html><meta charset="utf-8"><style>body{margin:0;background:%s;color:%s;font:14px monospace}
svg{display:block}figure{display:inline-block;margin:0 8px 0 0;vertical-align:top}`, p.palette.back, p.palette.fore)
	if p.each > 0 {
		fmt.Fprintf(out, "@page{size:%dpx %dpx;margin:0}section{height:%dpx;overflow:hidden;break-after:page}", p.width, p.height, p.height-1)
	}
	fmt.Fprint(out, "</style><section>")
	for i, f := range files {
		if p.each > 0 && i > 0 && i%p.each == 0 {
			fmt.Fprint(out, "</section><section>")
		}
		text, err := os.ReadFile(f)
		if err != nil {
			return err
		}
		fmt.Fprint(out, "<figure>")
		if p.names {
			fmt.Fprintf(out, "<b>%s</b>", html.EscapeString(filepath.Base(f)))
		}
		fmt.Fprint(out, drawing(strings.TrimRight(string(text), "\n"), p.palette), "</figure>")
	}
	_, err := fmt.Fprintln(out, "</section>")
	return err
}

// A cell's size in pixels: twice as high as wide, as terminals have it.
const (
	wide = 9
	high = 18
)

// drawing returns a capture as SVG. Block characters are drawn as rectangles, since
// fonts leave gaps between them.
func drawing(text string, p palette) string {
	grid := cells(text)
	width := 0
	for _, row := range grid {
		width = max(width, len(row))
	}
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" font-family="DejaVu Sans Mono,monospace" font-size="14.95">`, width*wide, len(grid)*high)
	fmt.Fprintf(&b, `<rect width="100%%" height="100%%" fill="%s"/>`, p.back)
	for y, row := range grid {
		for x := 0; x < len(row); {
			n := together(row[x:])
			p.cells(&b, x*wide, y*high, row[x:x+n])
			x += n
		}
	}
	b.WriteString("</svg>")
	return b.String()
}

// together is the number of cells at the start of a row that can be drawn as one
// text: same attributes, and characters exactly one cell wide in the font (0.602 of
// its size).
func together(row []cell) int {
	ascii := func(c cell) bool { return c.r >= ' ' && c.r < 0x7f }
	n := 1
	for n < len(row) && ascii(row[0]) && ascii(row[n]) && row[n].like(row[0]) {
		n++
	}
	return n
}

// like reports whether two cells have the same attributes.
func (c cell) like(d cell) bool {
	c.r = d.r
	return c == d
}

// cells draws cells with the same attributes; several only if all are text.
func (p palette) cells(b *strings.Builder, x, y int, row []cell) {
	c := row[0]
	fore, back := p.colours(c)
	if back != p.back {
		rect(b, x, y, wide*len(row), high, back)
	}
	if len(row) == 1 && p.block(b, x, y, c.r, fore) {
		return
	}
	text := make([]rune, len(row))
	for i := range row {
		text[i] = row[i].r
	}
	if strings.TrimSpace(string(text)) == "" {
		return
	}
	weight := ""
	if c.bold {
		weight = ` font-weight="bold"`
	}
	line := ""
	if c.under {
		line = ` text-decoration="underline"`
	}
	fmt.Fprintf(b, `<text x="%d" y="%d" fill="%s"%s%s xml:space="preserve">%s</text>`, x, y+14, fore, weight, line, html.EscapeString(string(text)))
}

// block draws a block character as rectangles; false for other characters.
func (p palette) block(b *strings.Builder, x, y int, r rune, fore string) bool {
	if r == ' ' || r == 0 {
		return true
	}
	if q, ok := quarters[r]; ok {
		for i, at := range [4][2]int{{0, 0}, {1, 0}, {0, 1}, {1, 1}} {
			if q>>i&1 == 1 { // halves of 9 are 5 and 4
				rect(b, x+at[0]*5, y+at[1]*high/2, 5-at[0], high/2, fore)
			}
		}
		return true
	}
	if n := strings.IndexRune("▁▂▃▄▅▆▇", r); n >= 0 { // eighths from below
		h := high * (n/len("▁") + 1) / 8
		rect(b, x, y+high-h, wide, h, fore)
		return true
	}
	if n := strings.IndexRune("▉▊▋▌▍▎▏", r); n >= 0 { // eighths from the left
		rect(b, x, y, wide*(7-n/len("▉"))/8, high, fore)
		return true
	}
	return false
}

func rect(b *strings.Builder, x, y, w, h int, fill string) {
	fmt.Fprintf(b, `<rect x="%d" y="%d" width="%d" height="%d" fill="%s"/>`, x, y, w, h, fill)
}

// quarters maps block characters to their filled quarters: upper left 1, upper
// right 2, lower left 4, lower right 8 (Unicode chart U+2580).
var quarters = func() map[rune]int {
	out := map[rune]int{}
	for i, r := range []rune(" ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█") {
		out[r] = i
	}
	return out
}()
