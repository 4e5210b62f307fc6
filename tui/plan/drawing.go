package plan

import (
	"fmt"
	"math"
	"strings"

	"example.org/ringout/internal/plan"
	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/style"
)

// feedCell stands for a place where a feed enters.
const feedCell = 255

// drawing is the prop as it lies, each pixel a letter for its voltage, with a
// legend below, in exactly height rows.
func (m Model) drawing(width, height int) []string {
	out := make([]string, height)
	if m.plan == nil {
		return out
	}
	d := m.drawn
	if d.gridOf != m.plan || d.gridW != width || d.gridH != height {
		d.gridOf, d.gridW, d.gridH = m.plan, width, height
		d.grid = m.grid(m.plan, width, height)
	}
	copy(out, d.grid)
	return out
}

func (m Model) grid(pl *plan.Plan, width, height int) []string {
	rows := height - 1
	if rows < 1 || width < 4 {
		return nil
	}
	cells := cellsOf(pl, width-2, rows)
	out := make([]string, 0, height)
	for _, row := range cells {
		out = append(out, " "+m.paint(row))
	}
	return append(out, m.legend(pl, width))
}

// cellsOf puts every pixel into a grid; a cell has the worst mark in it plus
// one, 0 where there is none. A cell is about twice as high as wide.
func cellsOf(pl *plan.Plan, width, rows int) [][]uint8 {
	out := make([][]uint8, rows)
	for i := range out {
		out[i] = make([]uint8, width)
	}
	pts := prop.Layout(pl.Prop)
	lo, hi := prop.Bounds(pts...)
	scale := math.Inf(1) // columns a metre
	if dx := hi.X - lo.X; dx > 0 {
		scale = min(scale, float64(width-1)/dx)
	}
	if dy := hi.Y - lo.Y; dy > 0 {
		scale = min(scale, 2*float64(rows-1)/dy)
	}
	if math.IsInf(scale, 1) {
		scale = 0
	}
	volts, feeds := pl.Prop.Supply.Volts, map[int]bool{}
	for _, f := range pl.Power.Feeds {
		feeds[f.Pixel] = true
	}
	i := 0
	for _, run := range pts {
		for _, p := range run {
			x := within(float64(width-1)/2+(p.X-(lo.X+hi.X)/2)*scale, width)
			y := within(float64(rows-1)/2-(p.Y-(lo.Y+hi.Y)/2)*scale/2, rows)
			v := uint8(markOf(pl.Power, volts, i)) + 1
			if feeds[i] {
				v = feedCell
			}
			out[y][x] = max(out[y][x], v)
			i++
		}
	}
	return out
}

func within(v float64, n int) int { return max(0, min(n-1, int(math.Round(v)))) }

// paint writes a row of cells, with one style for each stretch alike.
func (m Model) paint(row []uint8) string {
	var b strings.Builder
	for i := 0; i < len(row); {
		j := i
		for j < len(row) && row[j] == row[i] {
			j++
		}
		switch v := row[i]; v {
		case 0:
			b.WriteString(strings.Repeat(" ", j-i))
		case feedCell:
			b.WriteString(m.style.Strong.Render(strings.Repeat("F", j-i)))
		default:
			b.WriteString(m.styleOf(mark(v - 1)).Render(strings.Repeat(letters[v-1], j-i)))
		}
		i = j
	}
	return b.String()
}

// legend says what the letters mean, as far as they fit.
func (m Model) legend(pl *plan.Plan, width int) string {
	parts := []string{"# holds", "+ near the limit", fmt.Sprintf("! below %.2f V", pl.Power.MinVolts), "F feed"}
	if width < 56 {
		parts = []string{"# holds", "+ near", fmt.Sprintf("! below %.2f V", pl.Power.MinVolts), "F feed"}
	}
	if pl.Power.Constant.Dead > 0 {
		parts[1] = "x no supply"
	}
	return m.style.Quiet.Render(style.Cell(" "+strings.Join(parts, "  "), width))
}
