package light

import (
	"iter"
	"sort"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/prop"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/style"
)

// A band is the large words with the expected light beside them, or below if they are
// wide.
type band struct {
	big, text []string
	indent    int // of the text; 0 where it is below
}

// bandFor is the band of the current step, of at most so many rows.
func (m Model) bandFor(width, rows int) band {
	if b, ok := m.oneHeight(width); ok {
		return b
	}
	if at := m.column(width); m.bandHeight(width) == 0 && at > 0 {
		if big, wide := m.highWords(width); wide <= at {
			return band{big, m.words(width-at-besideGap, rows), at}
		}
	}
	big, _ := m.wideWords(width)
	text := m.words(width, rows-len(big)-1) // an empty row between
	if len(text) > 0 {
		text = append([]string{""}, text...)
	}
	return band{big, append(make([]string, len(big)), text...), 0}
}

// besideGap is the space between large words and the text at their right: the ground of a colour takes some
// of it.
const besideGap = 4

// besideWords is the least width of a text beside large words.
const besideWords = 26

// bandHeight is the height of the band in a wide window, one for all patterns, so that drawings begin
// on one row: that of large words which leave room for a text beside them. 0 in other windows.
func (m Model) bandHeight(width int) int {
	const colsOfFace, most = 40, 4 // columns for each size of the face, a share of the window's height
	size := min(width/colsOfFace, m.size.Height/most/digits.Rows)
	if size < 2 {
		return 0
	}
	return size * digits.Rows
}

// oneHeight is the band in its one height, with the highest words beside which the text has room: in the
// column of all patterns, or in one as narrow as these words or as the text wants it.
func (m Model) oneHeight(width int) (b band, ok bool) {
	high := m.bandHeight(width)
	if high == 0 {
		return b, false
	}
	asked := []Model{m}
	if m.note != "" { // an answer to a key may take the room of what to expect
		m.brief = true
		asked = append(asked, m)
	}
	for rows := high; rows >= digits.Rows; rows -= digits.Rows {
		for at := range m.columnsFor(width, rows) {
			big, _ := m.bigBeside(at, rows)
			if text, fits := wordsWithin(asked, width-at-besideGap, high); fits && len(big) == rows {
				return band{big, text, at}, true
			}
		}
	}
	return b, false
}

// columnsFor are the columns of a text beside large words so many rows high, each worked out in its turn.
func (m Model) columnsFor(width, rows int) iter.Seq[int] {
	return func(yield func(int) bool) {
		_ = yield(m.column(width)) && yield(m.leastBeside(width-besideWords, rows)) && yield(width/2) && yield(width/3)
	}
}

// leastBeside is the least width, up to most, in which the large words are so many rows high; 0 for none.
func (m Model) leastBeside(most, rows int) int {
	least := sort.Search(most+1, func(width int) bool {
		big, _ := m.bigBeside(width, rows)
		return len(big) == rows
	})
	if least > most {
		return 0
	}
	return least
}

// wordsWithin is the text of the first of pages whose text has at most so many rows.
func wordsWithin(asked []Model, width, rows int) (text []string, fits bool) {
	for _, a := range asked {
		if text = a.words(width, a.size.Height); len(text) <= rows {
			return text, true
		}
	}
	return nil, false
}

// bigBeside are the large words, at most so many rows high, in one face for all steps.
func (m Model) bigBeside(width, rows int) (big []string, wide int) {
	texts := m.large()
	if m.largeIsTheNews() {
		return withWidth(digits.Large(width, rows, texts...))
	}
	return inOneFace(width, rows, rows, append(texts[:1:1], m.alike()...)...)
}

// largeIsTheNews reports whether the large words are all the news there is.
func (m Model) largeIsTheNews() bool {
	return m.mark > 0 || !m.dark && m.pattern().ID == patterns.Ruler.ID
}

// highWords are the large words for a text beside them: in a high face where half of the width is enough
// for it. wide is how wide those of the widest step are, so that the text has one place for all steps.
func (m Model) highWords(width int) (big []string, wide int) {
	if m.largeIsTheNews() {
		return m.wideWords(width)
	}
	if big, wide = inOneFace(width/2, 2*digits.Rows, m.faceRows(), append(m.large()[:1:1], m.alike()...)...); big != nil {
		return big, wide
	}
	return m.wideWords(width)
}

// wideWords are the large words above a text, no higher than leaves room for the drawing.
func (m Model) wideWords(width int) (big []string, wide int) {
	texts := m.large()
	if m.largeIsTheNews() {
		return withWidth(digits.Large(width, max(digits.Rows, m.faceRows()-digits.Rows), texts...))
	}
	if big, wide = inOneFace(width, digits.Rows, max(digits.Rows, m.size.Height/6), append(texts[:1:1], m.alike()...)...); big != nil {
		return big, wide
	}
	return withWidth(digits.Large(width, digits.Rows, texts...))
}

// withWidth are large words, and how wide they are.
func withWidth(big []string) ([]string, int) { return big, widest(big) }

// inOneFace is the first of texts in the largest face, least to most rows high, in which all have room,
// and how wide the widest is; nil where there is none.
func inOneFace(width, least, most int, texts ...string) (first []string, wide int) {
	for rows := most / digits.Rows * digits.Rows; rows >= least && first == nil; rows -= digits.Rows {
		first, wide = digits.First(width, rows, texts...)
	}
	return first, wide
}

func (b band) rows() int { return max(len(b.big), len(b.text)) }

// A line is one line of a band.
type line struct {
	text string
	rim  bool // begins with the ground of large letters, the first cell of which is in the margin
}

func (l line) empty() bool { return l.text == "" }

// indented are lines n cells from the left in so many cells; a rim is in the last of the n.
func indented(lines []line, n, width int) []string {
	out := make([]string, len(lines))
	for i, l := range lines {
		before := n
		if l.rim {
			before--
		}
		out[i] = style.Cell(strings.Repeat(" ", before)+l.text, width)
	}
	return out
}

// bandOf is all that a band hangs on.
type bandOf struct {
	bandKey
	size        tea.WindowSizeMsg
	demo        bool
	large, said string
	note        string
	room        int
	level       float64 // of a colour's name
}

// band is the large words and what to expect as lines, an empty row after them, at most a
// given number of rows. All steps of a pattern get the room of the largest, so that
// drawings stay where they are. The answer to a key takes the room of what to expect,
// since it goes with the next key.
func (m Model) band(width, rows int) []line {
	rows-- // the empty one
	quiet := m
	quiet.note = ""
	room := quiet.bandRows(width, rows)
	of := bandOf{m.bandKey(width, rows), m.size, m.demo, strings.Join(m.large(), "\n"), m.saidText(), m.note, room, 0}
	of.at, of.auto = m.at, m.auto
	if m.tellsColour() {
		of.level = m.sentLevel()
	}
	return m.draw.band.Get(of, func() []line { return m.madeBand(width, rows, room) })
}

// madeBand is the band, with at least so much room.
func (m Model) madeBand(width, rows, room int) []line {
	quiet := m
	quiet.note = ""
	b, n := m.bandFor(width, rows), quiet.stepRows(width, rows)
	if b.rows() > max(n, room) {
		m.brief = true
		b = m.bandFor(width, rows)
	}
	n = max(n, b.rows(), m.bandHeight(width))
	m.draw.room.Is = max(m.draw.room.Is, n)            // nothing gives room back
	n = min(n, max(rows, len(b.big))+m.leastDrawing()) // the first remark is whole, whatever the drawing loses
	out, letters := make([]line, n+1), m.letters(b, n+1)
	for i := range out {
		text := strings.Repeat(" ", b.indent)
		if i < len(letters) {
			text, out[i].rim = style.Cell(letters[i], max(b.indent, style.Width(letters[i]))), m.tellsColour()
		}
		if i < min(n, len(b.text)) && b.text[i] != "" {
			if at := b.indent + besideGap; b.indent > 0 && out[i].rim {
				text = style.Cell(text, at+1)
			} else if b.indent > 0 {
				text = style.Cell(text, at)
			}
			text += b.text[i]
		}
		out[i].text = strings.TrimRight(text, " ")
	}
	if len(b.text) > n {
		out[n-1].text = style.Cell(out[n-1].text, width-1) + "…"
	}
	return out
}

// letters are the lines of the large words: a warning, a colour in its own light as the drawing has
// it, or bold. The ground of a colour is half a row higher than its letters, above and below, so that
// white ones have an edge on a white page; beside a text it goes on to the panel in so many rows.
func (m Model) letters(b band, rows int) (out []string) {
	if m.tellsColour() {
		big := digits.Lowered(b.big)
		if b.indent > 0 {
			big = append(big, make([]string, max(0, rows-len(big)))...)
		}
		return m.lettered(big)
	}
	for _, l := range b.big {
		out = append(out, m.style.ForLarge(m.countDiffers()).Strong.Render(l))
	}
	return out
}

// lettered are large letters in the colour of the channel, with a cell of their ground at each side.
func (m Model) lettered(big []string) (out []string) {
	wide := widest(big)
	for _, l := range big {
		out = append(out, canvas.Lettered(style.Cell(l, wide), m.light(), m.sentLevel(), m.style.Depth))
	}
	return out
}

// rimmed are such letters with half a row of their ground above and below.
func (m Model) rimmed(big []string) []string {
	wide := widest(big)
	out := append([]string{canvas.Rim(wide, true, m.style.Depth)}, m.lettered(big)...)
	return append(out, canvas.Rim(wide, false, m.style.Depth))
}

// widest is the width of the widest of lines.
func widest(lines []string) (wide int) {
	for _, l := range lines {
		wide = max(wide, style.Width(l))
	}
	return wide
}

// light is that of the channel of a step, as it is sent.
func (m Model) light() patterns.Colour {
	return patterns.Colour{}.With(m.channel(), 255).Dim(m.sentLevel())
}

// sentLevel is the level that the drawing is lit at: what the limiter leaves, or the one that is asked for
// while nothing is sent yet.
func (m Model) sentLevel() float64 {
	if m.snap.Level > 0 {
		return m.snap.Level
	}
	return m.level
}

// tellsColour reports whether the large words are the name of a colour, in that colour.
func (m Model) tellsColour() bool {
	return m.prop != nil && !m.dark && m.mark == 0 && m.pattern().ID == patterns.Colours.ID && m.style.Depth != style.Letters
}

// stepRows is how many rows the band of any step of this pattern needs as it is walked now.
func (m Model) stepRows(width, rows int) (most int) {
	k := m.bandKey(width, rows)
	k.at, k.auto = m.at, m.auto
	return m.draw.steps.Get(k, func() int { return m.mostRows(width, rows, m.auto) })
}

// bandKey is the input of bandRows.
type bandKey struct {
	prop, sub                 *prop.Prop
	width, rows, face, colour int
	at, mark                  int // 0 where there is no mark
	reverse, dark, auto       bool
	trouble, limited          string
}

// wideSteps are the steps whose words need the most room: all where there are few, else
// those at the ends and where the number gets a digit more or has wide ones. One that
// needs more yet keeps it (band).
func wideSteps(steps int) (out []int) {
	for i := range min(steps, 8) {
		out = append(out, i)
	}
	for ten := 10; ten <= steps; ten *= 10 {
		out = append(out, ten-2, ten-1, min(ten*8/9*10, steps-1))
	}
	return append(out, max(0, steps-2), steps-1)
}

func (m Model) bandKey(width, rows int) bandKey {
	k := bandKey{prop: m.prop, sub: m.sub, width: width, rows: rows, face: m.faceRows(), colour: m.colour, mark: m.mark,
		reverse: m.reverse, dark: m.dark, trouble: m.trouble(), limited: m.limitText()}
	if m.mark > 0 {
		k.at = m.at
	}
	return k
}

// bandRows is the room of the pattern that needs most: drawings are as large with one pattern as with
// the next.
func (m Model) bandRows(width, rows int) int {
	return m.draw.room.Get(m.bandKey(width, rows), func() int {
		most := m.bandHeight(width)
		for _, i := range m.offered() {
			other := m
			if other.at = i; i != m.at {
				other.mark = 0
			}
			walking := []bool{m.auto}
			if other.pattern().ID == patterns.Chase.ID { // one that walks has other words
				walking = []bool{true, false}
			}
			most = max(most, other.mostRows(width, rows, walking...))
		}
		return most
	})
}

// mostRows is how many rows the band of any step of the pattern needs, walking or not.
func (m Model) mostRows(width, rows int, walking ...bool) (most int) {
	if m.fitsBand(width) {
		return m.bandHeight(width)
	}
	for _, i := range wideSteps(patterns.Steps(m.pattern(), m.settings())) {
		step := m
		step.step, step.snap.Moment.Step = i, i
		for _, step.auto = range walking {
			most = max(most, step.bandFor(width, rows).rows())
		}
	}
	return most
}
