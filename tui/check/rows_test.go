package check

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/testkit/rowcheck"
	"example.org/ringout/tui/style"
)

// rowPages are the pages whose rows are judged: all visits, and some that no visit reaches.
func rowPages() map[string]func(t *testing.T) *evening {
	pages := map[string]func(t *testing.T) *evening{
		"bulb, start": func(t *testing.T) *evening { return begin(t, Options{}, prop.BuoyLamp(), "") },
		"bulb, slots": func(t *testing.T) *evening {
			e := begin(t, Options{}, prop.BuoyLamp(), "")
			e.press("1")
			return e
		},
		"pennant": func(t *testing.T) *evening {
			e := begin(t, Options{}, prop.Pennant(), "")
			e.press("1")
			return e
		},
		"camera lost": func(t *testing.T) *evening {
			e := visits["start"].open(t, termenv.Ascii)
			e.m = e.m.lost(errors.New("the pictures of the phone ended: start it again"))
			return e
		},
	}
	for name, v := range visits {
		pages[name] = func(t *testing.T) *evening { return v.open(t, termenv.Ascii) }
	}
	return pages
}

// One empty row is between things wherever there is room, never two, and nothing is hidden
// below while rows are free.
func TestRowsOfPages(t *testing.T) {
	for name, open := range rowPages() {
		t.Run(name, func(t *testing.T) {
			e := open(t)
			for _, size := range sizes {
				e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
				view := ansi.Strip(e.m.View(size[0], rowsOf(size)))
				assert.False(t, style.Blank(strings.SplitN(view, "\n", 2)[0]), "%v: an empty row at the top:\n%s", size, view)
				rows := strings.Split(view, "\n")
				for _, fault := range slices.Concat(rowcheck.Faults(slices.Clone(rows), 1), rowcheck.Glued(rows, 0), rowcheck.Alone(rows)) {
					assert.Fail(t, fmt.Sprint(size, ": ", fault), view)
				}
				causes, _, _ := strings.Cut(view, "How sure it is")
				assert.LessOrEqual(t, strings.Count(causes, " 2. "), 1, "%v: one number twice:\n%s", size, view)
			}
		})
	}
}

// Of every kind of fault that a check-out settles: where its remedy begins with the power off,
// that is in sight on the smallest pages before anything is scrolled; a page that is cut ends
// with a sentence; and pixels that the fault leaves dark are drawn open, those that light full.
func TestPagesOfEveryFinding(t *testing.T) {
	p := prop.Porthole()
	off, left, settled := 0, 0, 0
	for _, kind := range strip.Kinds() {
		every := strip.Every(kind, p)
		if len(every) == 0 {
			continue
		}
		if _, err := strip.New(p, every[len(every)/2]); err != nil {
			continue // this prop can't have it
		}
		e := begin(t, Options{Style: styles(termenv.Ascii)}, p, "", every[len(every)/2])
		e.press("1")
		e.through()
		f := e.m.st.findings
		if len(f) == 0 || !f[0].Sure.Firm() || len(f[0].Causes) == 0 {
			continue
		}
		settled++
		power := strings.HasPrefix(f[0].Causes[0].Remedy, "Power off")
		if power {
			off++
		}
		for _, size := range sizes {
			e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
			view := ansi.Strip(e.m.View(size[0], rowsOf(size)))
			if power {
				assert.Contains(t, view, "Power off", "%s at %v", kind, size)
			}
			room, rows := textRoom(e.m, true, e.m.st.verdict(p))
			text := e.m.page.(findingPage).written(e.m, room)
			for i, l := range text.lines[1:] {
				word, before := strings.Fields(ansi.Strip(l)), strings.Fields(ansi.Strip(text.lines[i]))
				assert.False(t, len(word) == 1 && len(before) > 2, "%s at %v: a word alone: %q after %q", kind, size, word, before)
			}
			if longest(text) > rows/2 {
				continue // it has no room as a whole
			}
			assert.NotRegexp(t, `[^ .?:;…]$`, lastBeforeMore(view, room), "%s at %v:\n%s", kind, size, view)
		}
		if dark := e.m.st.dark; slices.Contains(dark, true) {
			left++
			rank := e.m.scene().foundRanks()
			signs := e.m.scene().signs(rank)
			for i, is := range dark {
				sign := ansi.Strip(signs[rank[i]])
				assert.False(t, is && (sign == litSign || sign == soundSign), "%s: pixel %d is dark", kind, i+1)
				assert.False(t, !is && sign == darkSign, "%s: pixel %d is lit", kind, i+1)
			}
		}
	}
	assert.Greater(t, off, 5)
	assert.Greater(t, left, 1)
	assert.Greater(t, settled, 15)
}

// longest is the number of lines of the longest part of a text that is not cut.
func longest(t *lineWriter) (most int) {
	from := 0
	for i := range len(t.lines) + 1 {
		if t.cuts.before[i] || i == len(t.lines) {
			most, from = max(most, i-from), i
		}
	}
	return most
}

// lastBeforeMore is the last line of a text before it says that there is more below; empty where
// it does not.
func lastBeforeMore(view string, room int) string {
	lines := strings.Split(view, "\n")
	i := slices.IndexFunc(lines, func(l string) bool { return strings.Contains(l, "more below") })
	if i < 1 {
		return ""
	}
	for i--; i > 0; i-- {
		if l := []rune(lines[i]); strings.TrimSpace(string(l[:room])) != "" {
			return strings.TrimRight(string(l[:room]), " ")
		}
	}
	return ""
}

// A text below large words and the drawing beside it begin in the same row, one below the words' empty one.
func TestTextAndDrawingBeginTogether(t *testing.T) {
	seen := 0
	for name, open := range rowPages() {
		e := open(t)
		for _, size := range sizes[1:] {
			e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
			p, result := e.m.page.(resultPage)
			if !on[findingPage](e.m) && !on[suspectsPage](e.m) && !(result && p.marked(e.m)) {
				continue
			}
			lines, column := strings.Split(ansi.Strip(e.m.View(size[0], rowsOf(size))), "\n"), e.m.drawingBox().col
			row := 0
			for rowcheck.Large(lines[row]) || row > 0 && rowcheck.Large(lines[row-1]) {
				row++
			}
			cells := []rune(lines[row])
			assert.NotEmpty(t, strings.TrimSpace(string(cells[:column-edge])), "%s at %v: the text", name, size)
			assert.NotEmpty(t, strings.TrimSpace(string(cells[column-edge:])), "%s at %v: the drawing", name, size)
			seen++
		}
	}
	assert.Greater(t, seen, 30)
}

// Whatever the width, no word stands alone on the last line of a text where another has room beside it.
func TestNoWordStandsAlone(t *testing.T) {
	for name, open := range rowPages() {
		e := open(t)
		for width := 50; width <= 200; width += 6 {
			height := 20 + width/5
			e.feed(tea.WindowSizeMsg{Width: width, Height: height})
			for _, fault := range rowcheck.Alone(strings.Split(ansi.Strip(e.m.View(width, height)), "\n")) {
				assert.Fail(t, fault, "%s at %dx%d", name, width, height)
			}
		}
	}
}

// A quoted name of a run or a joint stands on one line, whatever the width, on pages of findings.
func TestNamesStandOnOneLine(t *testing.T) {
	seen := 0
	for _, name := range []string{"open joint", "run backwards", "count", "flex test, loose"} {
		e := visits[name].open(t, termenv.Ascii)
		for width := 50; width <= 200; width += 5 {
			e.feed(tea.WindowSizeMsg{Width: width, Height: 40})
			for _, line := range strings.Split(ansi.Strip(e.m.View(width, 40)), "\n") {
				assert.Zero(t, strings.Count(line, `"`)%2, "%s at %d: %q", name, width, line)
				seen += strings.Count(line, `"`)
			}
		}
	}
	assert.Greater(t, seen, 100)
}
