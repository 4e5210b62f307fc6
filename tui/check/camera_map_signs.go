package check

import (
	"fmt"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// mapRanks are the ranks of verdicts on the map; the higher is shown where two places
// share a cell.
var mapRanks = map[eyes.Verdict]uint8{eyes.Right: 0, eyes.Nothing: 1, eyes.Unknown: 2, eyes.NoLight: 3, eyes.Lost: 4, eyes.Other: 5, eyes.Always: 6, eyes.Unsteady: 7}

// mapSigns are the signs of the ranks. They differ without colour too, and those that
// are not as planned are seen from two metres.
// Where many are not, they are not filled: a block of them would look lit.
func mapSigns(st style.Styles, many bool) []string {
	bad := st.Warn.Render
	switch {
	case many && st.Depth == style.Letters:
		bad = st.Strong.Render
	case !many && st.Depth != style.Letters:
		bad = st.Warn.Filled().Render
	}
	return []string{st.Good.Render(canvas.LitSign), st.Quiet.Render("·"), st.AccentSign().Render("?"), bad(canvas.DarkSign), bad("◐"), bad("×"), bad("!"), bad("~")}
}

// many reports whether so many places are not as planned that each has no need to stand out.
func (p mapPage) many() bool { return 4*p.weighed.Wrong() > len(p.weighed.Result.Places) }

// mapKey names the signs on the map, with their numbers; in short without that of places as planned, which
// the headline says.
func (p mapPage) mapKey(st style.Styles) (out []canvas.Name) {
	names := []struct {
		v    eyes.Verdict
		text string
	}{{eyes.Right, "as planned"}, {eyes.Other, "other"}, {eyes.Lost, "colour lost"}, {eyes.NoLight, "dark"}, {eyes.Always, "always lit"}, {eyes.Unsteady, "unsteady"}, {eyes.Unknown, "unread"}, {eyes.Nothing, "left empty"}}
	signs := mapSigns(st, p.many())
	for _, n := range names {
		if p.weighed.Counts[n.v] == 0 {
			continue
		}
		text := signs[mapRanks[n.v]] + " " + n.text
		name := canvas.Named(fmt.Sprintf("%s %d", text, p.weighed.Counts[n.v]))
		if n.v == eyes.Right {
			name.Brief = text
		}
		out = append(out, name)
	}
	return out
}

// legend is the key of a drawing of the map, in as few lines as its names take: with what else the drawing has,
// several pixels to a mark, where data enters and its way, and that not every pixel has a sign of its own.
func (p mapPage) legend(st style.Styles, drawn *canvas.Canvas, width int) (lines []string) {
	names := append(append(p.mapKey(st), drawn.Scale()), drawn.SignNames()...)
	for rows := 1; rows <= len(names); rows++ {
		var all bool
		if lines, all = canvas.Legend(width, rows, names...); all {
			break
		}
	}
	return lines
}

// ranks is the rank of each place.
func (p mapPage) ranks() []uint8 {
	out := make([]uint8, len(p.weighed.Result.Places))
	for i, one := range p.weighed.Result.Places {
		out[i] = mapRanks[p.weighed.Scene.Verdict(i, one)]
	}
	return out
}
