package traffic

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/traffic"
	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/internal/words"
	"example.org/ringout/protocol"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/style"
)

// Signs of who lights a pixel, in the drawing and before the sentences: you, you and others
// at one priority, no source, and a letter for each other source.
const (
	youSign    = "●"
	bothSign   = "+"
	nobodySign = "-"
	letters    = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
)

// signOf is the sign of who lights a pixel.
func signOf(who int) string {
	switch who {
	case traffic.You:
		return youSign
	case traffic.Merged:
		return bothSign
	case traffic.No:
		return nobodySign
	}
	who = min(who, len(letters)-1)
	return letters[who : who+1]
}

// signFor is the sign of a source; a space where it lights nothing of the prop.
func (m Model) signFor(c protocol.CID) string {
	if i := slices.Index(m.light.Sources, c); i >= 0 {
		return signOf(i)
	}
	return " "
}

// lit names the pixels that who lights: the whole prop, whole runs, or a number of pixels;
// empty for none.
func (m Model) lit(who int) string {
	n, all := m.light.Count(who), len(m.light.Pixels)
	switch {
	case n == 0:
		return ""
	case n == all && m.prop.Bulb():
		return "your bulb"
	case n == all:
		return "your whole prop"
	}
	if names := m.wholeRuns(who, n); names != "" {
		return names
	}
	return fmt.Sprintf("%d of your %d pixels", n, all)
}

// mostRuns is how many runs a sentence names.
const mostRuns = 3

// wholeRuns are the runs that hold just the n pixels that who lights, by name; empty where
// some run is lit by several.
func (m Model) wholeRuns(who, n int) string {
	var names []string
	for r := range m.prop.Runs {
		first := m.prop.FirstPixel(r)
		pixels := m.light.Pixels[first : first+m.prop.Runs[r].Pixels]
		if !slices.ContainsFunc(pixels, func(p traffic.Pixel) bool { return p.From != who }) {
			names = append(names, style.Clean(m.prop.Runs[r].Name))
			n -= len(pixels)
		}
	}
	if n != 0 || len(names) > mostRuns {
		return ""
	}
	return words.And(names)
}

// sourceOnProp describes a live source by what of the prop it lights, and says what to do.
func (m Model) sourceOnProp(s traffic.Source, from *protocol.SourceReport) string {
	who, us := advice.Capital(advice.Called(from)), advice.Named(s.Universes)
	at := "at priority " + priorities(s.Low, s.High)
	part := m.lit(slices.Index(m.light.Sources, s.CID))
	if !slices.Contains(m.light.Sources, s.CID) {
		part = ""
	}
	switch {
	case s.Treatments.Preview == s.Treatments.Live:
		return fmt.Sprintf("%s sends %s for preview only: it lights nothing.", who, us)
	case part != "" && m.sent() == nil:
		return fmt.Sprintf("%s lights %s, %s.%s", who, part, at, wireTrouble(s))
	case part != "":
		return fmt.Sprintf("%s lights %s, not you. %s.%s", who, part, m.remedy(s), wireTrouble(s))
	case !s.Rival:
		return fmt.Sprintf("%s lights nothing of yours: it sends %s, which your prop does not use.%s", who, us, wireTrouble(s))
	case s.Treatments.Tied > 0 && m.light.Count(traffic.Merged) > 0:
		return fmt.Sprintf("%s sends %s as you do, %s: receivers may mix both. %s.%s", who, us, at, m.remedy(s), wireTrouble(s))
	}
	return fmt.Sprintf("%s sends %s too, %s, and lights nothing of yours.%s", who, us, at, wireTrouble(s))
}

// remedy is what to do about a source that lights our pixels.
func (m Model) remedy(s traffic.Source) string {
	if s.High >= protocol.MaxPriority {
		return "Stop it there"
	}
	return fmt.Sprintf("Stop it there, or send above %d (you send at %d)", s.High, m.prop.Address.Priority)
}

// hostOnProp describes what we send to a host by what of the prop we light.
func (m Model) hostOnProp(h traffic.Host, to string) string {
	us := advice.Named(h.Universes)
	switch part := m.lit(traffic.You); {
	case !h.Worst.State.OK(): // its own sentence says the rest
		return fmt.Sprintf("You send %s %s.", us, to)
	case !m.heard: // others may light it too
		return fmt.Sprintf("You send %s %s at priority %d.", us, to, m.prop.Address.Priority)
	case part != "":
		return fmt.Sprintf("You light %s: %s %s at priority %d.", part, us, to, m.prop.Address.Priority)
	}
	return fmt.Sprintf("You light none of it: your prop does not follow what you send %s (%s, priority %d).", to, us, m.prop.Address.Priority)
}

// sourcesPage is who lights which part: in sentences, and drawn beside or below them.
func (m Model) sourcesPage(width, height int) []string {
	if m.prop == nil || m.prop.Bulb() || len(m.rows) == 0 {
		return m.listLines(width, height)
	}
	if width >= besideWidth {
		inner := width - 1 // as wide as the other views, whose lines begin a cell later
		return m.besideAt(1, m.listLines(listedCells(inner)+1, height), m.litDrawing, inner, height)
	}
	list := m.listLines(width, height)
	if d := m.litDrawing(width-2, height-len(list)-1); d != nil {
		list = append(append(list, ""), style.Indent(m.panel(d, width-2, height-len(list)-1-len(d)), edge-1)...)
	}
	return list
}

// litDrawing is the prop with the sign of who lights it at each pixel, named above; nil where
// there is no room.
func (m Model) litDrawing(width, height int) []string {
	if !m.hasRoom(width, height) {
		return nil
	}
	whos := []int{traffic.You}
	for i := range m.light.Sources {
		whos = append(whos, i)
	}
	whos = append(whos, traffic.Merged, traffic.No)
	rank := make([]uint8, len(m.light.Pixels))
	var signs []string
	var names []canvas.Name
	for _, who := range whos {
		if m.light.Count(who) == 0 {
			continue
		}
		for i, p := range m.light.Pixels {
			if p.From == who {
				rank[i] = uint8(min(len(signs), 255))
			}
		}
		sign := signOf(who)
		names = append(names, canvas.Named(sign+" "+m.whoName(who)))
		if who != traffic.You {
			sign = m.style.OnPanel().Warn.Render(sign)
		}
		signs = append(signs, sign)
	}
	c := m.laidOut(width, m.drawnRows(width, height-1))
	if 1+1+len(used(c)) > height { // the legend would lie on it, and the sentences say it too
		return nil
	}
	legend, _ := canvas.Legend(width, 1, append(append([]canvas.Name{c.Scale()}, names...), c.SignNames()...)...)
	return canvas.Under([]string{m.whoLegend(legend[0], whos)}, c.SignRows(rank, signs), height)
}

// whoLegend is a line of the legend, with the sign of each other source as the drawing has it.
func (m Model) whoLegend(line string, whos []int) string {
	for _, who := range whos {
		name := signOf(who) + " " + m.whoName(who)
		if before, after, found := strings.Cut(line, name); found && who != traffic.You {
			return m.whoLegend(before, whos) + m.style.OnPanel().Warn.Render(signOf(who)) + m.style.OnPanel().Quiet.Render(" "+m.whoName(who)) + m.whoLegend(after, whos)
		}
	}
	if line == "" {
		return ""
	}
	return m.style.OnPanel().Quiet.Render(line)
}

// whoName names who lights a pixel in a legend.
func (m Model) whoName(who int) string {
	switch who {
	case traffic.You:
		return "you"
	case traffic.Merged:
		return "you and others"
	case traffic.No:
		return "no source"
	}
	if s := m.news.Report.Source(m.light.Sources[who]); s != nil && s.Name != "" {
		return strings.Trim(advice.Quoted(s.Name), "'")
	}
	return "another"
}
