package check

import (
	"fmt"
	"math"
	"strings"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/eyes/steps"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/style"
)

// A frame is where the camera's picture is drawn on the page: so many cells
// from the left and the top. cell is how many camera pixels a column is across;
// a half row is as much.
type frame struct {
	left, top, columns, rows int
	x0, y0, cell             float64 // of the first cell, in camera pixels
}

// above the picture are the steps and what its signs mean, an empty row after each where there is room.
func drawnFrom(height int) int {
	if height < lowPage {
		return 2
	}
	return 4
}

// below the picture are large words and the text, an empty row before each. While places are marked it
// has three lines on a low page.
func (s proofState) drawnBelow(height int) int {
	words, text := letterRows(height), 2
	if height < lowPage && s.proof.Step == steps.Mark {
		text = 3
	}
	return min(1, words) + words + 1 + text
}

// letterRows are the rows of large words on a page with a picture.
func letterRows(height int) int {
	switch {
	case height < lettersFrom:
		return 0
	case height < 2*lowPage: // the picture has more need of the rows
		return digits.Rows
	}
	return digits.HeadRows(height)
}

// Heights: from lettersFrom on a page with a picture has large words; below lowPage it
// has no empty rows.
const (
	lettersFrom = 14
	lowPage     = 17
)

// frame is where the picture lies on a page of a size, at the zoom round the
// cursor.
func (s proofState) frame(width, height int) frame {
	width -= s.planWide(width)
	w, h := float64(max(s.view.Sight.W, s.view.Small.W)), float64(max(s.view.Sight.H, s.view.Small.H))
	columns, rows := max(width-2*edge, 1), max(height-drawnFrom(height)-s.drawnBelow(height), 1)
	if s.wordsBeside(width, height) {
		columns, rows = width-2*edge-besideWide, height-drawnFrom(height)-3
	}
	if w == 0 {
		return frame{left: edge, top: drawnFrom(height), columns: columns, rows: rows, cell: 1}
	}
	cell := math.Max(w/float64(columns), h/float64(2*rows))
	f := frame{top: drawnFrom(height), cell: cell / float64(max(s.zoom, 1))}
	if s.zoom <= 1 {
		columns, rows = min(columns, int(math.Ceil(w/cell))), min(rows, int(math.Ceil(h/(2*cell))))
	} else {
		at := s.at
		if at == (eyes.Point{}) {
			at = eyes.Point{X: w / 2, Y: h / 2}
		}
		wide, tall := float64(columns)*f.cell, float64(2*rows)*f.cell
		f.x0 = math.Max(0, math.Min(w-wide, at.X-wide/2))
		f.y0 = math.Max(0, math.Min(h-tall, at.Y-tall/2))
	}
	f.columns, f.rows = columns, rows
	f.left = edge
	return f
}

// besideWide is the room of large words beside a picture.
const besideWide = 40

// wordsBeside reports whether the large words stand beside the picture, which is then
// higher: while the camera is aimed, in a window that is neither low nor high.
func (s proofState) wordsBeside(width, height int) bool {
	return s.proof.Step == steps.Aim && height >= lowPage && height < 2*lowPage && width >= narrow
}

// point is the middle of a cell in camera pixels.
func (f frame) point(column, row int) eyes.Point {
	return eyes.Point{X: f.x0 + (float64(column)+0.5)*f.cell, Y: f.y0 + (float64(row)+0.5)*2*f.cell}
}

// cellOf is the cell of a camera pixel; false outside.
func (f frame) cellOf(p eyes.Point) (column, row int, ok bool) {
	column, row = int(math.Floor((p.X-f.x0)/f.cell)), int(math.Floor((p.Y-f.y0)/(2*f.cell)))
	return column, row, column >= 0 && row >= 0 && column < f.columns && row < f.rows
}

// picture is the page of a live picture: the steps, the picture, and below it
// what is to be done.
func (s proofState) picture(m Model, step int, below string, large []string, width, height int) []string {
	out := []string{s.head(m, step, width)}
	f := s.frame(width, height)
	if height >= lowPage {
		out = append(out, "")
	}
	s.laidPlan(m, width, height)
	drawn, signs := make([]string, f.rows), s.signs(f)
	for y := range drawn {
		drawn[y] = strings.Repeat(" ", f.left) + s.row(m.style, f, y, signs)
	}
	out = append(out, s.caption(m, width, strings.ContainsAny(strings.Join(drawn, ""), shades[1:])))
	if height >= lowPage {
		out = append(out, "")
	}
	out = append(out, drawn...)
	s.besidePlan(m, out[drawnFrom(height):], width)
	rows, look := letterRows(height), m.style.ForVerdict(false, s.proof.Step == steps.Aim && s.view.Sight.Ready())
	if m.note != "" {
		below = m.note
	}
	text := style.Wrap(below, width-2*edge)
	free := height - len(out) - rows - len(text)
	gap := func() {
		if height >= lowPage || free > 0 {
			out, free = append(out, ""), free-1
		}
	}
	if s.wordsBeside(width, height) {
		const most = 2 * (digits.Rows + 1) // no higher than in a window where they stand below the picture
		for i, l := range portrait.Block(look, width-f.left-f.columns-2*edge, min(f.rows, most), large...) {
			at := drawnFrom(height) + i
			out[at] = style.Cell(out[at], f.left+f.columns+edge) + l
		}
		rows = 0
	}
	gap()
	if rows > 0 {
		out = append(out, letters(look.Strong, width, rows, large)...)
		gap()
	}
	for _, l := range text {
		if len(out) < height {
			out = append(out, "  "+m.style.Strong.Render(l))
		}
	}
	return out
}

// caption says what the picture is and what its signs mean, shades where it has any, and the same
// of the plan beside it.
func (s proofState) caption(m Model, width int, shaded bool) string {
	wide := s.planWide(width)
	names := []string{canvas.Dot + " spots of light"}
	brief := []string{canvas.Dot + " spot"}
	if s.proof.Step == steps.Mark {
		cross := "┼"
		if m.style.Depth != style.Letters {
			cross = m.style.AccentSign().Filled().Render(cross)
		}
		names = append([]string{cross + " cross"}, names...)
		brief = append([]string{cross + " cross"}, brief...)
	}
	if shaded && m.style.Depth == style.Letters {
		names, brief = append(names, ". to @ light"), append(brief, ".-@ light")
	}
	room := width - wide - 2*edge
	line := style.FirstFit(room, "The camera's picture: "+strings.Join(names, ", "), "Camera: "+strings.Join(names, ", "), "Camera: "+strings.Join(brief, ", "), strings.Join(brief, ", "), strings.Join(brief[:min(2, len(brief))], ", "))
	line = strings.Repeat(" ", edge) + line
	if wide > 0 {
		line = style.Cell(line, width-wide+edge) + s.planCaption(m, wide-2*edge)
	}
	return quietAround(m.style, style.Cell(line, width-edge))
}

// planCaption names the plan and its signs.
func (s proofState) planCaption(m Model, width int) string {
	asked, d := "?", &m.draw.camera
	if m.style.Depth != style.Letters {
		asked = m.style.AccentSign().Filled().Render(asked)
	}
	at := fmt.Sprintf("%s pixel %d", asked, s.proof.Next()+1)
	if d.sketch {
		return style.FirstFit(width, "As planned: "+at+", each dot a pixel, ▶ data in, arrows its way", "Planned: "+at+", dots others, ▶ in, arrows on", "Planned: "+at+", ▶ in, arrows on", at+", dots others", "Planned: "+at, at)
	}
	per := d.c.Scale()
	name := canvas.Named(at).With(per).With(d.c.Way())
	all := name.With(canvas.Named(canvas.PlanSign + " others"))
	return style.FirstFit(width, "As planned: "+all.Full, "Planned: "+all.Full, "Planned: "+all.Brief, "As planned: "+name.Full, "Planned: "+name.Full, "Planned: "+name.Brief, name.Brief, "Planned: "+canvas.Named(at).With(per).Brief, "Planned: "+at+", "+canvas.PlanSign+" others", at)
}

// quietAround renders a line as quiet; what is filled in it stays as it is.
func quietAround(st style.Styles, line string) string {
	for _, sign := range []string{"┼", "?"} {
		filled := st.AccentSign().Filled().Render(sign)
		if before, after, found := strings.Cut(line, filled); found && filled != sign {
			return quietAround(st, before) + filled + quietAround(st, after)
		}
	}
	if line == "" {
		return ""
	}
	return st.Quiet.Render(line)
}

// planWide is how many columns the plan takes beside the picture while places
// are marked; none where there is no room.
func (s proofState) planWide(width int) int {
	if s.proof.Step != steps.Mark || width < leastTwo {
		return 0
	}
	return width / 2 // as large as the picture: they are compared
}

// leastTwo is the least width of a page with the picture and the plan.
const leastTwo = 44

// laidPlan lays out the plan, if it is drawn, as large as the picture.
func (s proofState) laidPlan(m Model, width, height int) {
	wide, d := s.planWide(width), &m.draw.camera
	if wide == 0 {
		return
	}
	s.zoom = 1
	f := s.frame(width, height)
	if cols := min(f.columns, wide-2*edge); d.c == nil || d.width != cols || d.height != f.rows || !d.c.Fits(canvas.Planned(m.bench.prop)) {
		best := canvas.Best(m.bench.prop, nil, cols, f.rows, m.style.Depth)
		if below := canvas.Best(m.bench.prop, nil, cols, f.rows-1, m.style.Depth); height < lowPage && below.Rows() == best.Rows() && below.Per() == best.Per() && (below.Rows() || below.Clear()) {
			best = below // an empty row is below the caption where the page has none
		}
		sketch := (best.Rows() || !best.Clear()) && canvas.Sketch(m.bench.prop, cols, f.rows, nil, m.style.Quiet.Render) != nil
		*d = sheet{c: best, width: cols, height: f.rows, sketch: sketch}
	}
}

// besidePlan draws the plan beside the lines of the picture, with the way of the data, the
// place that is asked for and those that are marked.
func (s proofState) besidePlan(m Model, lines []string, width int) {
	wide, d := s.planWide(width), &m.draw.camera
	if wide == 0 {
		return
	}
	rank, signs, over := make([]uint8, m.bench.prop.Pixels()), []string{m.style.Quiet.Render(canvas.PlanSign)}, map[int]string{}
	put := func(place int, text string) {
		over[place] = text
		rank[place] = uint8(len(signs))
		signs = append(signs, text)
	}
	for i, k := range s.proof.Marks {
		put(k.Place, m.style.Strong.Render(fmt.Sprint(i+1)))
	}
	put(s.proof.Next(), m.style.AccentSign().Filled().Render("?"))
	drawn := d.c.Signs(rank, signs)
	if d.sketch {
		drawn = canvas.Sketch(m.bench.prop, d.width, d.height, over, m.style.Quiet.Render)
	}
	from := min(1, max(0, d.height-len(drawn)))
	for y, l := range drawn {
		if at := from + y; at < min(d.height, len(lines)) {
			lines[at] = style.Cell(lines[at], width-wide+edge) + l
		}
	}
}
