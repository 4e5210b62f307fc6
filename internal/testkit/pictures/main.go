// Command pictures turns what a terminal shows into pictures: it reads captures
// with their escapes (ECMA-48 SGR) and writes one HTML page with a drawing (SVG)
// of each, as .ci/pictures calls it. It can show a capture as someone sees it
// whose colour vision lacks a kind of cone.
package main

import (
	"flag"
	"fmt"
	"html"
	"os"
	"path/filepath"
	"strings"
)

func main() {
	light := flag.Bool("light", false, "draw on a light background")
	see := flag.String("see", "", "protan, deutan or tritan: as someone sees it who lacks those cones")
	columns := flag.Int("columns", 1, "pictures side by side")
	names := flag.Bool("names", false, "write the name of each capture above it")
	flag.Parse()
	if err := page(os.Stdout, flag.Args(), *columns, *names, newPalette(*light, *see)); err != nil {
		fmt.Fprintln(os.Stderr, "pictures:", err)
		os.Exit(1)
	}
}

// page writes an HTML page of captures.
func page(out *os.File, files []string, columns int, names bool, p palette) error {
	fmt.Fprintf(out, `<!doctype html><meta charset="utf-8"><style>body{margin:0;background:%s;color:%s;font:14px monospace}
table{border-spacing:0}td{vertical-align:top;padding:0}svg{display:block}</style><table><tr>`, p.back, p.fore)
	for i, f := range files {
		if i > 0 && i%columns == 0 {
			fmt.Fprint(out, "</tr><tr>")
		}
		text, err := os.ReadFile(f)
		if err != nil {
			return err
		}
		fmt.Fprint(out, "<td>")
		if names {
			fmt.Fprintf(out, "<b>%s</b>", html.EscapeString(filepath.Base(f)))
		}
		fmt.Fprint(out, drawing(strings.TrimRight(string(text), "\n"), p), "</td>")
	}
	_, err := fmt.Fprintln(out, "</tr></table>")
	return err
}

// A cell's size in pixels: twice as high as wide, as terminals have it.
const (
	wide = 9
	high = 18
)

// drawing is a capture as SVG. Block characters are drawn as areas, so that no
// font leaves seams in them.
func drawing(text string, p palette) string {
	grid := cells(text)
	width := 0
	for _, row := range grid {
		width = max(width, len(row))
	}
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" font-family="DejaVu Sans Mono,monospace" font-size="15">`, width*wide, len(grid)*high)
	fmt.Fprintf(&b, `<rect width="100%%" height="100%%" fill="%s"/>`, p.back)
	for y, row := range grid {
		for x, c := range row {
			p.cell(&b, x*wide, y*high, c)
		}
	}
	b.WriteString("</svg>")
	return b.String()
}

// cell draws one cell.
func (p palette) cell(b *strings.Builder, x, y int, c cell) {
	fore, back := p.colours(c)
	if back != p.back {
		rect(b, x, y, wide, high, back)
	}
	if c.r == ' ' || c.r == 0 {
		return
	}
	if q, ok := quarters[c.r]; ok {
		for i, at := range [4][2]int{{0, 0}, {1, 0}, {0, 1}, {1, 1}} {
			if q>>i&1 == 1 { // halves of 9 are 5 and 4
				rect(b, x+at[0]*5, y+at[1]*high/2, 5-at[0], high/2, fore)
			}
		}
		return
	}
	if n := strings.IndexRune("▁▂▃▄▅▆▇", c.r); n >= 0 { // eighths from below
		h := high * (n/len("▁") + 1) / 8
		rect(b, x, y+high-h, wide, h, fore)
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
	fmt.Fprintf(b, `<text x="%d" y="%d" fill="%s"%s%s>%s</text>`, x, y+14, fore, weight, line, html.EscapeString(string(c.r)))
}

func rect(b *strings.Builder, x, y, w, h int, fill string) {
	fmt.Fprintf(b, `<rect x="%d" y="%d" width="%d" height="%d" fill="%s"/>`, x, y, w, h, fill)
}

// quarters are the block characters by quarter: upper left 1, upper right 2,
// lower left 4, lower right 8 (Unicode chart U+2580).
var quarters = func() map[rune]int {
	out := map[rune]int{}
	for i, r := range []rune(" ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█") {
		out[r] = i
	}
	return out
}()
