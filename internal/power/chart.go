package power

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"

	"example.org/ringout/internal/words"
)

// A Grade is the class of a pixel's voltage, with constant current.
type Grade uint8

// The grades, from good to bad. The limit at nine tenths of the chip's lowest
// voltage is our choice: 3.15 V where a datasheet gives 3.5.
const (
	GradeHolds Grade = iota // at or above the chip's lowest voltage
	GradeLow                // below it, but above nine tenths of it
	GradeWeak               // below nine tenths: colours shift, data may fail
	GradeDead               // no supply at all
)

// Grade is the grade of a pixel, from 0.
func (r *Report) Grade(pixel int) Grade {
	v := r.Constant.Volts(pixel)
	switch {
	case r.Constant.Dead > 0 && r.Constant.Plus[pixel] == 0:
		return GradeDead
	case v >= r.MinVolts:
		return GradeHolds
	case v >= 0.9*r.MinVolts:
		return GradeLow
	}
	return GradeWeak
}

// chartLeft is the width of the voltage scale, cells: "12.00 V".
const chartLeft = 7

// Chart draws the voltage along the pixels as text, at most width by height
// cells: a bar for constant current, a dot at the estimated voltage of real
// strip, a line at the chip's lowest voltage; below it the feeds and the pixels'
// numbers.
func (r *Report) Chart(width, height int) []string {
	return r.draw(width, height, chartMarks{[]rune(" ▁▂▃▄▅▆▇█"), '•', '─', '▲'})
}

// chartMarks are the characters of a chart.
type chartMarks struct {
	fill             []rune // from an empty cell to a full one
	sag, least, feed rune
}

// columns is the number of columns of the plot, at most one a pixel.
func (r *Report) columns(width int) int { return max(1, min(width-chartLeft, r.Pixels)) }

// column is the range of pixels that column c of n shows.
func (r *Report) column(c, n int) (first, end int) {
	first = c * r.Pixels / n
	return first, max(first+1, (c+1)*r.Pixels/n)
}

// lows is the lowest voltage in each of n columns: a mean would hide the voltage
// drop of a single pixel.
func (r *Report) lows(s *Solution, n int) []float64 {
	out := make([]float64, n)
	for c := range out {
		first, end := r.column(c, n)
		out[c] = math.MaxFloat64
		for i := first; i < end; i++ {
			out[c] = min(out[c], s.Volts(i))
		}
	}
	return out
}

// draw scales the plot from the supply's voltage V at the top to V/10 below the
// lower of the chip's lowest voltage and the prop's.
func (r *Report) draw(width, height int, m chartMarks) []string {
	rows := height - 3
	if width < chartLeft+10 || rows < 2 {
		line := fmt.Sprintf("lowest %s at pixel %d", words.Volts(r.Constant.Lowest), r.Constant.At+1)
		return []string{line[:max(0, min(len(line), width))]}
	}
	n := r.columns(width)
	bars, sags := r.lows(r.Constant, n), r.lows(r.Sagging, n)
	top := r.supply
	bottom := max(0, min(r.Constant.Lowest, r.MinVolts)-0.1*top)
	scale := func(v float64) float64 { return (v - bottom) / (top - bottom) * float64(rows) }
	line := min(int(scale(r.MinVolts)), rows-1) // row, from the bottom, of the chip's lowest voltage
	if !m.showsLikely(bars, sags, scale, line, likelyFrom*top) {
		m.sag = 0
	}
	var out []string
	for cell := rows - 1; cell >= 0; cell-- {
		var b strings.Builder
		b.WriteString(chartLabel(cell, rows, line, top, r.MinVolts, bottom))
		for c := range n {
			b.WriteRune(m.cell(cell, scale(bars[c]), scale(sags[c]), line))
		}
		out = append(out, strings.TrimRight(b.String(), " "))
	}
	return append(out, r.feedLine(n, m.feed), r.numberLine(n), m.caption(width))
}

// Where the likely voltage lies by more than likelyFrom of the supply's above the worst, three
// quarters of such columns at least must show it: else a chart of few rows would have it in one
// run and not in another, and has it nowhere.
const likelyFrom = 0.01

// showsLikely reports whether the chart shows the likely voltage in enough columns; from is volts.
func (m chartMarks) showsLikely(bars, sags []float64, scale func(float64) float64, line int, from float64) bool {
	wanted, shown := 0, 0
	for c := range bars {
		if sags[c]-bars[c] <= from {
			continue
		}
		wanted++
		if m.cell(int(scale(sags[c])), scale(bars[c]), scale(sags[c]), line) == m.sag {
			shown++
		}
	}
	return 4*shown >= 3*wanted
}

// captions explain the characters of a chart, the longest first.
var captions = []string{
	"bars: at worst; %c likely; %c chip's lowest; %c feed",
	"bars at worst; %c likely; %c lowest; %c feed",
	"%c likely  %c lowest  %c feed",
}

// caption is the longest caption that fits, or the shortest one cut to width.
func (m chartMarks) caption(width int) string {
	line := ""
	for _, words := range captions {
		line = fmt.Sprintf(words, m.sag, m.least, m.feed)
		if m.sag == 0 {
			line = strings.NewReplacer("\x00 likely; ", "", "\x00 likely  ", "").Replace(line)
		}
		if utf8.RuneCountInString(line) <= width {
			break
		}
	}
	return clip(line, width)
}

// cell is the character of one cell of the plot; bar and sag are in cells from
// the bottom. The dot of the sagging model is drawn when it lies more than a
// quarter of a cell above the bar.
func (m chartMarks) cell(cell int, bar, sag float64, line int) rune {
	part := bar - float64(cell)
	whole := len(m.fill) - 1
	switch step := int(math.Floor(part*float64(whole) + 0.5)); {
	case step >= whole:
		return m.fill[whole]
	case m.sag != 0 && int(math.Floor(sag)) == cell && sag-bar > 0.25:
		return m.sag
	case step > 0:
		return m.fill[step]
	case cell == line:
		return m.least
	}
	return ' '
}

// chartLabel is the scale beside a row: volts at the top, at the chip's lowest
// and at the bottom.
func chartLabel(cell, rows, line int, top, least, bottom float64) string {
	switch cell {
	case rows - 1:
		return fmt.Sprintf("%5.2f V", top)
	case line:
		return fmt.Sprintf("%5.2f V", least)
	case 0:
		return fmt.Sprintf("%5.2f V", bottom)
	}
	return strings.Repeat(" ", chartLeft)
}

// feedLine marks the columns where feeds enter.
func (r *Report) feedLine(n int, mark rune) string {
	cells := []rune(strings.Repeat(" ", chartLeft+n))
	for _, f := range r.Feeds {
		for c := range n {
			if first, end := r.column(c, n); f.Pixel >= first && f.Pixel < end {
				cells[chartLeft+c] = mark
			}
		}
	}
	return strings.TrimRight(string(cells), " ")
}

// numberLine writes the first, the last and, where there is room, the first
// pixel number of each run below its column.
func (r *Report) numberLine(n int) string {
	cells := []byte(strings.Repeat(" ", chartLeft+n))
	last := fmt.Sprint(r.Pixels)
	room := len(cells) - len(last)
	copy(cells[max(room, chartLeft):], last)
	free := chartLeft
	for _, first := range r.starts {
		text := fmt.Sprint(first + 1)
		at := chartLeft + first*n/r.Pixels
		if at >= free && at+len(text) < room {
			copy(cells[at:], text)
			free = at + len(text) + 1
		}
	}
	return string(cells)
}

// clip cuts a text to width characters.
func clip(text string, width int) string {
	cells := []rune(text)
	return string(cells[:min(len(cells), width)])
}
