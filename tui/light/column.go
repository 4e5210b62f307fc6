package light

import (
	"cmp"
	"slices"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/digits"
)

// columnOf is all that the column of the words hangs on.
type columnOf struct {
	prop, sub             *prop.Prop
	width, height, colour int
	reverse               bool
}

// column is how far from the left the text beside large words begins, without the gap: one place for all
// patterns. In a window without room for it at the right of all large words it is 0.
func (m Model) column(width int) int { return m.textColumn(width).at }

// A textColumn is such a column, and whether the texts of all patterns have room there in the height of
// the band.
type textColumn struct {
	at   int
	fits bool
}

func (m Model) textColumn(width int) textColumn {
	of := columnOf{m.prop, m.sub, width, m.size.Height, m.colour, m.reverse}
	return m.draw.column.Get(of, func() textColumn { return m.newColumn(width) })
}

// fitsBand reports whether the words of all patterns have room in the one height of the band, as nothing
// else is to be said now.
func (m Model) fitsBand(width int) bool {
	return m.bandHeight(width) > 0 && m.mark == 0 && m.trouble() == "" && m.limitText() == "" && m.thinWires() == "" && m.textColumn(width).fits
}

func (m Model) newColumn(width int) textColumn {
	all := m.everyPattern()
	high := m.bandHeight(width)
	if high == 0 {
		most := 0
		for _, p := range all {
			_, wide := p.highWords(width)
			most = max(most, wide)
		}
		if most > width/2 {
			return textColumn{}
		}
		return textColumn{at: most}
	}
	return largestWords(all, width, high)
}

// everyPattern are the pages of all patterns, walking or not, and the dark one, with nothing else to say
// and at the level of a start.
func (m Model) everyPattern() (all []Model) {
	m.mark, m.note, m.brief, m.dark, m.level = 0, "", false, false, patterns.StartLevel
	m.snap.Links, m.snap.NoLight, m.snap.Limited = nil, false, false
	for _, m.at = range m.offered() {
		for _, m.auto = range []bool{true, false} {
			if m.auto || m.pattern().ID == patterns.Chase.ID { // one that walks has other words
				all = append(all, m)
			}
		}
	}
	m.dark = true
	return append(all, m)
}

// A face is how high large words are, and how wide.
type face struct{ rows, wide int }

// largestWords is the least column left of which the words of all pages are as large as they can be, with
// room for all texts beside them.
func largestWords(all []Model, width, high int) textColumn {
	faces := make([][]face, len(all))
	var columns []int
	for i, p := range all {
		faces[i] = p.facesIn(width, high)
		for _, f := range faces[i] {
			columns = append(columns, f.wide)
		}
	}
	slices.Sort(columns)
	columns = slices.Compact(columns)
	slices.SortStableFunc(columns, func(a, b int) int { return cmp.Compare(rowsLeftOf(b, faces), rowsLeftOf(a, faces)) })
	for _, at := range columns {
		if !slices.ContainsFunc(all, func(p Model) bool { return p.mostWords(width-at-besideGap) > high }) {
			return textColumn{at, true}
		}
	}
	return textColumn{at: width / 2}
}

// facesIn are the faces in which the large words of the page have room beside a text, at most so many rows high.
func (m Model) facesIn(width, high int) (out []face) {
	for rows := high; rows >= digits.Rows; rows -= digits.Rows {
		for _, room := range []int{width - besideWords, width * 2 / 3, width * 3 / 5, width / 2} { // in narrower faces, for longer texts
			if big, wide := m.bigBeside(room, rows); big != nil {
				out = append(out, face{rows, wide})
			}
		}
	}
	return out
}

// rowsLeftOf are the rows of the largest words of all pages left of a column, together.
func rowsLeftOf(at int, faces [][]face) (sum int) {
	for _, of := range faces {
		most := 0
		for _, f := range of {
			if f.wide <= at {
				most = max(most, f.rows)
			}
		}
		sum += most
	}
	return sum
}

// mostWords is how many rows of a width the text of any step needs.
func (m Model) mostWords(width int) (most int) {
	for _, i := range wideSteps(patterns.Steps(m.pattern(), m.settings())) {
		m.step, m.snap.Moment.Step = i, i
		most = max(most, len(m.words(width, m.size.Height)))
	}
	return most
}
