package tui

import (
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/testkit/lettercheck"
	"example.org/ringout/tui/digits"
)

// blocks are the signs of large letters. Without colours drawings have none of them; the
// bars of a chart have eighths, or stand at a number of volts.
var (
	blocks = regexp.MustCompile("[▌▐▙▟▛▜█▀▄▖▗▘▝▚▞]")
	bars   = regexp.MustCompile("[▁▂▃▅▆▇]|V█")
)

// Large words are never lower in a larger window, on any page: who makes the window larger wants to read from
// further off. They are higher in the largest than in a small one, and from each size to the next wherever
// higher ones have room beside what else is on the page.
func TestLargeWordsGrowWithTheWindow(t *testing.T) {
	for _, s := range states {
		t.Run(s.name, func(t *testing.T) {
			var heights []int
			for _, size := range sizes {
				inBubble(t, func(t *testing.T) {
					w := walk(t, s, size[0], size[1], termenv.Ascii)
					defer w.Close()
					lines := strings.Split(ansi.Strip(w.view()), "\n")
					now := highest(lines)
					if n := len(heights); n > 0 {
						assert.GreaterOrEqual(t, now, heights[n-1], "%v after %v", size, heights)
						if n > 1 && now == heights[n-1] {
							assert.False(t, higherFits(lines, now), "%v after %v: higher letters have room", size, heights)
						}
					}
					heights = append(heights, now)
				})
			}
			assert.Greater(t, heights[len(heights)-1], heights[1], "%v", heights)
		})
	}
}

// higherFits reports whether the large words of a page, high rows each, have room to be a face higher: at
// their right and in the rows that are free below them, but for two that keep texts apart.
func higherFits(lines []string, high int) bool {
	const foot, apart = 2, 2
	count, last, from, until, wide := 0, 0, 0, 0, 0
	for i := 1; i+high < len(lines); i++ {
		first, after := extent(lines[i : i+high])
		if first < 0 || slices.ContainsFunc([]string{lines[i-1], lines[i+high]}, func(l string) bool { return blocks.MatchString(cells(l, first, after)) }) {
			continue
		}
		if n := (after - first) * (high/digits.Rows + 1) / thinnest(lines[i:i+high], first, after); count == 0 || n > wide {
			wide, from, until = n, first, freeUntil(lines[i:i+high], after)
		}
		count, last = count+1, i+high
	}
	rows := 0
	for _, l := range lines[last : len(lines)-foot] {
		if strings.TrimSpace(cells(l, from, until)) == "" {
			rows++
		}
	}
	return count > 0 && wide <= until-from && rows-apart >= count*digits.Rows
}

// extent is the first cell of large letters in lines and the one after the last; -1 where a line has none.
func extent(lines []string) (first, after int) {
	first = -1
	for _, l := range lines {
		at := blocks.FindAllStringIndex(l, -1)
		if at == nil || bars.MatchString(l) {
			return -1, -1
		}
		from, to := utf8.RuneCountInString(l[:at[0][0]]), utf8.RuneCountInString(l[:at[len(at)-1][1]])
		if first < 0 || from < first {
			first = from
		}
		after = max(after, to)
	}
	return first, after
}

// thinnest is the width of the thinnest stroke of letters, in halves of a cell.
func thinnest(lines []string, first, after int) int {
	least := 2 * (after - first)
	for _, l := range lines {
		run := 0
		for _, r := range cells(l, first, after) + " " {
			for _, filled := range []bool{strings.ContainsRune("▌▙▛█▀▄▖▘▞▜▟▚", r), strings.ContainsRune("▐▟▜█▀▄▗▝▞▛▙▚", r)} {
				if filled {
					run++
				} else if run > 0 {
					least, run = min(least, run), 0
				}
			}
		}
	}
	return max(1, least)
}

// freeUntil is the cell up to which nothing stands right of letters.
func freeUntil(lines []string, after int) int {
	most := utf8.RuneCountInString(lines[0]) - 2
	for _, l := range lines {
		rest := cells(l, after, most)
		if text := strings.TrimLeft(rest, " "); text != "" {
			most = after + utf8.RuneCountInString(rest) - utf8.RuneCountInString(text) - 2
		}
	}
	return most
}

// cells is a part of a line.
func cells(line string, from, to int) string {
	r := []rune(line)
	return string(r[min(from, len(r)):min(to, len(r))])
}

// Large words are whole on every page, in windows of many widths: every letter can be read. The
// bars of a chart, the disc of a bulb and keys with their small letters, arrows and the stroke of
// their 0 are none.
func TestLargeWordsAreWhole(t *testing.T) {
	reader := lettercheck.New(digits.Large)
	for _, s := range states {
		if strings.HasPrefix(s.name, "keys of") || s.prop == "buoylamp" || s.name == "check, first question, far" {
			continue
		}
		t.Run(s.name, func(t *testing.T) {
			inBubble(t, func(t *testing.T) {
				w := walk(t, s, 80, 24, termenv.Ascii)
				defer w.Close()
				for width := 50; width <= 240; width += 19 {
					height := 20 + width%3*14
					w.feed(tea.WindowSizeMsg{Width: width, Height: height})
					view := ansi.Strip(w.view())
					if bars.MatchString(view) {
						continue
					}
					texts, ok := reader.Page(view)
					assert.True(t, ok, "%dx%d: after %q", width, height, texts)
				}
			})
		})
	}
}
