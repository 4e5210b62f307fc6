package canvas

import (
	"strings"

	"example.org/ringout/tui/style"
)

// panelInk is text on the ground of drawings.
var panelInk = [4]ink{style.Sixteen: plain(37), style.Cube256: indexed(252), style.True: rgb(214, 214, 214)}

// Panel is a drawing with its legend on the ground of drawings, since light cannot be shown on a
// white page, and a legend has to show it as the drawing does: with a cell of ground at the left and
// right, so that lines are two cells wider, and a row below and above where so many are spare. above
// is how many are above. Its texts are to be in style.Styles.OnPanel. Without colours there is no ground.
func Panel(st style.Styles, lines []string, width, spare int) (out []string, above int) {
	if len(lines) == 0 {
		return nil, 0
	}
	if st.Depth == style.Letters {
		for _, l := range lines {
			out = append(out, " "+style.Cell(l, width)+" ")
		}
		return out, 0
	}
	base := string(mat[st.Depth].append(append(panelInk[st.Depth].append([]byte("\x1b["), 0), ';'), 10)) + "m"
	row := func(line string) { out = append(out, grounded(line, base, width)) }
	if spare > 1 && !style.Blank(lines[0]) {
		row("")
		above = 1
	}
	for _, l := range lines {
		row(l)
	}
	if spare > 0 && !style.Blank(lines[len(lines)-1]) {
		row("")
	}
	return out, above
}

// grounded is one row of a panel: after each end of a colour the ground begins again.
func grounded(line, base string, width int) string {
	const reset = "\x1b[0m"
	cells := style.Width(line)
	if cells > width {
		line, cells = style.Cell(line, width), width
	}
	var b strings.Builder
	b.Grow(len(line) + strings.Count(line, reset)*len(base) + width - cells + len(base) + len(reset) + 2)
	b.WriteString(base)
	b.WriteByte(' ')
	for {
		before, after, more := strings.Cut(line, reset)
		b.WriteString(before)
		if !more {
			break
		}
		b.WriteString(reset)
		b.WriteString(base)
		line = after
	}
	for range width - cells + 1 {
		b.WriteByte(' ')
	}
	b.WriteString(reset)
	return b.String()
}
