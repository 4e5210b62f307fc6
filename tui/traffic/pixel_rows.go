package traffic

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/traffic"
	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/style"
)

// pixelRows are a head and a row for each stretch of pixels lit alike: which
// pixels, on which run, their colour and values, who lights them, and what we
// send. cells is how wide each is.
func (m Model) pixelRows(width int) (head string, rows []string, wide int) {
	each := width - 1
	if each >= 2*fullCells+gapCells {
		each = (each - gapCells) / 2 // two columns
	}
	cols, gap := m.pixelColumns(each)
	free := each - (len(cols)-1)*gap
	for _, c := range cols {
		free -= c.width
	}
	apart := make([]int, len(cols)) // the ground of a light from the words before it, the last first
	for i := len(cols) - 1; i > 0 && gap == 1 && free > 0; i-- {
		if cols[i].light {
			apart[i], free = 1, free-1
		}
	}
	cells := func(text func(pixelColumn) string) string {
		var b strings.Builder
		for i, c := range cols {
			if i > 0 && c.light {
				b.WriteString(strings.Repeat(" ", gap-1+apart[i])) // its first cell is ground
				b.WriteString(style.Cell(text(c), c.width+1))
				continue
			}
			if i > 0 {
				b.WriteString(strings.Repeat(" ", gap))
			}
			b.WriteString(style.Cell(text(c), c.width))
		}
		return strings.TrimRight(b.String(), " ")
	}
	head = m.style.Quiet.Render(cells(func(c pixelColumn) string { return c.head }))
	for _, s := range m.stretches() {
		rows = append(rows, cells(func(c pixelColumn) string { return c.text(&s) }))
	}
	return head, rows, each
}

// Widths from which on rows have values beside names: of what is shown, and of what we
// send too; below the first, runs are left out as well.
const (
	valueWidth = 66
	fullCells  = 74
	fullWidth  = 96
)

// gapOf is the gap between two columns of a row, in cells.
func gapOf(width int) int {
	if width < valueWidth {
		return 1
	}
	return 2
}

type pixelColumn struct {
	head  string
	width int
	light bool // its sign has a cell of ground at the left
	text  func(*listed) string
}

// A listed is neighbouring pixels of one run with light of the same names from the same source.
type listed struct {
	traffic.Stretch
	shownVary, yoursVary bool // in their values
}

// stretches are the rows of the list: a run of one colour is one, whatever its shades.
func (m Model) stretches() (out []listed) {
	name := func(c patterns.Colour) string {
		_, name := m.seen(c)
		return name
	}
	for _, s := range m.light.Stretches(m.prop.Runs) {
		if n := len(out); n > 0 {
			l := &out[n-1]
			alike := l.Run == s.Run && l.From == s.From && (l.Shown == l.Yours) == (s.Shown == s.Yours)
			if alike && name(l.Shown) == name(s.Shown) && name(l.Yours) == name(s.Yours) {
				l.shownVary, l.yoursVary = l.shownVary || l.Shown != s.Shown, l.yoursVary || l.Yours != s.Yours
				l.Last = s.Last
				continue
			}
		}
		out = append(out, listed{Stretch: s})
	}
	return out
}

// pixelColumns are as many as the page allows, and the gap between two.
func (m Model) pixelColumns(width int) (cols []pixelColumn, gap int) {
	shown, yours := paint{width >= valueWidth}, paint{width >= fullWidth}
	gap = gapOf(width)
	pixel, run := max(len("pixel"), 2*len(fmt.Sprint(m.prop.Pixels()))+1), m.longestRun()
	if width < valueWidth {
		run = 0
	}
	named := m.longestName()
	if need := pixel + run + shown.width(m) + named + yours.width(m) + 4*gap; need > width && !m.together() {
		if m.litByOne() {
			named = 0 // the headline has it
		} else {
			shown.values = false // the names of all that light it are worth more
		}
	}
	if gaps := 2 + min(1, named) + 1; !m.together() && pixel+run+shown.width(m)+named+yours.width(m)+gaps*gap > width {
		gap = 1
	}
	by := min(named, width-pixel-run-shown.width(m)-yours.width(m)-4*gap)
	heads := func(name string, p paint) string {
		if !p.values {
			return " " + name
		}
		return style.Cell(" "+name, m.lightCells()+1) + m.channelHeads()
	}
	cols = []pixelColumn{
		{"pixel", pixel, false, func(s *listed) string { return pixels(&s.Stretch) }},
		{m.runHead(), run, false, func(s *listed) string { return m.inRun(&s.Stretch) }},
		{heads("light", shown), shown.width(m), true, func(s *listed) string { return m.colour(s.Shown, shown, s.shownVary) }},
		{"by", by, false, func(s *listed) string { return m.litBy(&s.Stretch) }},
		{heads("you send", yours), yours.width(m), true, func(s *listed) string { return m.yours(s, yours) }},
	}
	if m.together() { // all by you, and all the same
		cols = cols[:3]
	}
	return slices.DeleteFunc(cols, func(c pixelColumn) bool { return c.width < 3 }), gap
}

// litByOne reports whether one source lights all pixels.
func (m Model) litByOne() bool {
	all := m.stretches()
	return len(all) > 0 && !slices.ContainsFunc(all, func(s listed) bool { return m.litBy(&s.Stretch) != m.litBy(&all[0].Stretch) })
}

// longestRun is the width of the longest place in a run.
func (m Model) longestRun() (widest int) {
	for _, r := range m.prop.Runs {
		place := 0
		if len(m.prop.Runs) > 1 {
			place = 2 + 2*len(fmt.Sprint(r.Pixels)) // " 15-48"
		}
		widest = max(widest, min(runCells, ansi.StringWidth(style.Clean(r.Name)))+place)
	}
	return max(widest, len(m.runHead()))
}

// runCells is the room for the name of a run.
const runCells = 14

// runHead is the head of the column of runs.
func (m Model) runHead() string {
	if len(m.prop.Runs) == 1 {
		return "run"
	}
	return "in its run"
}

// inRun is the run of a stretch, with its numbers there, from which one counts on the strip.
func (m Model) inRun(s *traffic.Stretch) string {
	name := ansi.Truncate(style.Clean(m.prop.Runs[s.Run].Name), runCells, "…")
	if len(m.prop.Runs) == 1 {
		return name
	}
	first := m.prop.FirstPixel(s.Run)
	return name + " " + stretch(s.First-first, s.Last-first)
}

// longestName is the width of the longest name of a source.
func (m Model) longestName() int {
	widest := len("another")
	for _, c := range m.light.Sources {
		if s := m.news.Report.Source(c); s != nil {
			widest = max(widest, ansi.StringWidth(advice.Quoted(s.Name)))
		}
	}
	return min(24, widest)
}

// pixels are the numbers of a stretch, counted from 1.
func pixels(s *traffic.Stretch) string { return stretch(s.First, s.Last) }

// yours is the light that we send to a stretch, or the word that it is the same.
func (m Model) yours(s *listed, p paint) string {
	switch {
	case m.sent() == nil:
		return " nothing"
	case s.Shown == s.Yours:
		return " " + m.style.Quiet.Render("the same")
	}
	return m.colour(s.Yours, p, s.yoursVary)
}

// litBy names the source that lights a stretch.
func (m Model) litBy(s *traffic.Stretch) string {
	switch s.From {
	case traffic.You:
		return "you"
	case traffic.No:
		return "no source"
	case traffic.Merged:
		return "both"
	}
	name := "another"
	if src := m.news.Report.Source(m.light.Sources[s.From]); src != nil && src.Name != "" {
		name = advice.Quoted(src.Name)
	}
	return name // the large words and the sentences warn
}
