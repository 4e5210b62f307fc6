package bench

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// farPage is the far view: one thing, as large as the window allows, with its answers
// below.
func (m Model) farPage(width, height int) string {
	far := m.shownFar()
	inner := width - 2*edge
	room := height - 2 // an empty row above and below
	answers := m.farAnswers(far, inner, room)
	if len(answers) > 0 {
		room -= len(answers) + 1
	}
	most := max(0, room)
	if len(far.Brief) > 0 && size(answers) == 1 { // no larger than in a window in which the answers are large
		most = min(most, digits.Rows)
	}
	large := digits.Block(inner, most, far.Texts...)
	out := make([]string, 1, height)
	if len(answers) == 0 {
		out = make([]string, max(1, (height-len(large))/2), height)
	}
	look := m.opt.Style.ForVerdict(far.Bad, far.Good).Strong
	for _, l := range large {
		if far.Ink == nil {
			out = append(out, strings.Repeat(" ", edge)+look.Render(l))
		}
	}
	if far.Ink != nil { // its rim takes a row above and a cell at the left
		out = append(out[:max(0, len(out)-1)], style.Indent(far.Ink(large), edge-1)...)
	}
	answers = apart(answers, room-len(large))
	if len(answers) > 0 {
		out = append(append(out, ""), answers...)
	}
	return strings.Join(out, "\n")
}

// shownFar is the far view of the page, or else the prop's name.
func (m Model) shownFar() screen.FarView {
	if d, ok := m.screens[m.at].(screen.FarViewer); ok {
		if f := d.FarView(); len(f.Texts) > 0 {
			return f
		}
	}
	if p := m.status.ready.Prop; p != nil {
		return screen.FarView{Texts: []string{fmt.Sprintf("%s: %d pixels", style.Clean(p.Name), p.Pixels()), fmt.Sprintf("%d pixels", p.Pixels())}}
	}
	return screen.FarView{Texts: []string{"No prop yet", "No prop"}}
}

// farAnswers are the answers in the largest letters that leave enough room for the
// question, in one or two columns, and in fewer words where these have no room; in plain
// letters when none do.
func (m Model) farAnswers(far screen.FarView, width, rows int) []string {
	for _, answers := range [][]string{far.Answers, far.Brief} {
		for _, most := range []int{rows * 3 / 5, rows - digits.Rows - 1} {
			if lines := m.largeAnswers(answers, width, most); len(answers) > 0 && lines != nil {
				return lines
			}
		}
	}
	return style.Indent(m.plainAnswers(far.Answers, width), edge)
}

// plainAnswers are the answers in capitals, with a gap after each letter where all have room
// so. Their keys stay as they are: a capital is another key.
func (m Model) plainAnswers(answers []string, width int) []string {
	out, spaced := make([]string, len(answers)), true
	for _, a := range answers {
		key, means := digits.CutKey(a)
		spaced = spaced && len(key)+2*utf8.RuneCountInString(means)+1 <= width
	}
	for i, a := range answers {
		key, means := digits.CutKey(a)
		if spaced {
			means = " " + strings.Join(strings.Split(means, ""), " ")
		}
		out[i] = m.opt.Style.Accent.Render(key) + " " + m.opt.Style.Strong.Render(means)
	}
	return out
}

// largeAnswers are the answers in large letters; nil when they do not fit.
func (m Model) largeAnswers(answers []string, width, rows int) []string {
	for size := rows / digits.Rows * digits.Rows; size >= digits.Rows; size -= digits.Rows {
		for columns := 1; columns <= 2; columns++ {
			if grid := m.drawn(answers, width, size, columns); len(grid) > 0 && len(grid) <= rows {
				return style.Indent(grid, edge)
			}
		}
	}
	return nil
}

// gapOf is the gap between two columns of letters of size rows, wider than between words.
func gapOf(size int) int { return 2 * size }

// drawn lays answers out in columns, read downwards, in letters of size rows with their keys in the colour
// of keys; nil when they do not fit.
func (m Model) drawn(answers []string, width, size, columns int) []string {
	down := (len(answers) + columns - 1) / columns
	for each := width; ; {
		all, cells := digits.Keyed(each, size, answers[:down], answers[down:])
		if all == nil {
			return nil
		}
		first, second := widestOf(all[:down]), widestOf(all[down:])
		if columns == 1 || first+gapOf(size)+second <= width {
			for i := range all {
				m.inked(all[i], cells[i])
			}
			return grid(all, down, size, max(first+gapOf(size), min(width/2, width-second)))
		}
		each = max(first, second) - 1 // in a narrower face
	}
}

// inked gives the first cells of large lines the colour of keys.
func (m Model) inked(lines []string, cells int) {
	for i, l := range lines {
		all := []rune(l)
		lines[i] = m.opt.Style.AccentSign().Render(string(all[:cells])) + m.opt.Style.Strong.Render(string(all[cells:]))
	}
}

// widestOf is the width of the widest text, in cells.
func widestOf(all [][]string) (w int) {
	for _, lines := range all {
		w = max(w, style.Width(lines[0]))
	}
	return w
}

// grid puts texts of size rows into two columns, down of them in each; second is the cell
// at which the second column begins.
func grid(all [][]string, down, size, second int) []string {
	out := make([]string, max(0, down*(size+1)-1))
	for i, lines := range all {
		for k, l := range lines {
			row := (i%down)*(size+1) + k
			if i >= down {
				out[row] = style.Cell(out[row], second)
			}
			out[row] += l
		}
	}
	return out
}

// apart adds the same number of empty rows between any two answers, from spare rows.
func apart(lines []string, spare int) (out []string) {
	var blocks [][]string
	for i, l := range lines {
		if blank := strings.TrimSpace(l) == ""; blank || i == 0 || size(lines) == 1 {
			blocks = append(blocks, nil)
		}
		blocks[len(blocks)-1] = append(blocks[len(blocks)-1], l)
	}
	if len(blocks) < 2 {
		return lines
	}
	more := min(2, spare/(len(blocks)-1))
	for i, b := range blocks {
		if i > 0 {
			out = append(out, make([]string, more)...)
		}
		out = append(out, b...)
	}
	return out
}

// size is the number of rows of the first answer.
func size(lines []string) int {
	if i := slices.IndexFunc(lines, func(l string) bool { return strings.TrimSpace(l) == "" }); i >= 0 {
		return i
	}
	return 1
}
