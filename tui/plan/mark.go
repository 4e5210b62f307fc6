package plan

import (
	"example.org/ringout/internal/power"
	"example.org/ringout/tui/style"
)

// A mark is the class of a pixel's voltage, from good to bad, with constant current.
type mark uint8

const (
	holds mark = iota
	near       // less than a tenth of the volts between supply and lowest is left
	low        // below the chip's lowest voltage
	dead       // no supply at all
	marks
)

// letters show the marks on the drawing, in colour and without.
var letters = [marks]string{"#", "+", "!", "x"}

func markOf(r *power.Report, volts float64, pixel int) mark {
	v := r.Constant.Volts(pixel)
	switch {
	case r.Grade(pixel) == power.GradeDead:
		return dead
	case v < r.MinVolts:
		return low
	case v < r.MinVolts+0.1*(volts-r.MinVolts):
		return near
	}
	return holds
}

// sign is the letter of a mark as it is drawn, in a filled cell that is seen from two metres; what holds is
// in a plain one where its colour is that of what is near.
func (m Model) sign(k mark) string {
	if k == holds && m.styleOf(holds) == m.styleOf(near) {
		return letters[k]
	}
	return m.styleOf(k).Filled().Render(letters[k])
}

// styleOf is the colour of a mark; without colours its letter alone shows it.
func (m Model) styleOf(k mark) style.Text {
	if m.style.Depth == style.Letters {
		return style.Text{}
	}
	switch k {
	case holds:
		return m.style.Good
	case near:
		return m.style.Doubt
	case low, dead:
		return m.style.Warn
	}
	return m.style.Quiet
}
