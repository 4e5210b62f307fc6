package check

import (
	"fmt"
	"math"
	"strings"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/eyes/steps"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// aimPage is the live picture, with a ring round each spot, while the camera
// is moved.
type aimPage struct{ proofBase }

func (p aimPage) with(s proofState) page { p.proofState = s; return p }
func (p aimPage) byCamera() proofPage    { return p }

func (p aimPage) press(m Model, k tea.KeyMsg) (Model, tea.Cmd, bool) {
	switch {
	case key.Matches(k, m.keys.Zoom):
		m.page = p.with(p.zoomed())
		return m, nil, true
	case key.Matches(k, m.keys.Unlit) && !p.rig.Past:
		s := p.proofState
		s.proof = s.proof.Unseen()
		m, cmd := m.step(s)
		return m, cmd, true
	case !key.Matches(k, m.keys.Take):
		return m, nil, false
	}
	m, cmd := p.take(m, 0)
	return m, cmd, true
}

// take continues to the marks once the camera sees well enough.
func (p aimPage) take(m Model, _ int) (Model, tea.Cmd) {
	s := p.proofState
	s.proof = s.proof.Onward()
	if s.proof.Step == steps.Aim {
		m.note = "Not yet: " + s.proof.Text
		return m, nil
	}
	return m.step(s)
}

// step shows the page of the step that a proof is at.
func (m Model) step(s proofState) (Model, tea.Cmd) {
	switch s.proof.Step {
	case steps.Mark:
		if s.at == (eyes.Point{}) {
			s.at = eyes.Point{X: float64(s.view.Sight.W) / 2, Y: float64(s.view.Sight.H) / 2}
		}
		m.page = markPage{proofBase{proofState: s}}
		return m, nil
	case steps.Aim:
		m.page = aimPage{proofBase{proofState: s}}
		return m, nil
	}
	return m.prove(s)
}

func (p aimPage) help(m Model) []key.Binding {
	keys := []key.Binding{screen.Hint(m.keys.Take, "enter", "on to the marks")}
	if !p.rig.Past {
		keys = append(keys, screen.Hint(m.keys.Unlit, "d", "it stays dark"))
	}
	return append(keys, screen.Hint(m.keys.Zoom, "z", "nearer"), screen.Hint(m.keys.Brighter, "+", "brighter"), screen.Hint(m.keys.Dimmer, "-", "dimmer"), screen.Hint(m.keys.Leave, "esc", "close the camera"))
}

func (p aimPage) lines(m Model, width, height int) ([]string, []zone) {
	below := p.proof.Text
	if p.view.Sight.W == 0 {
		below = "Looking for the spots."
	}
	return p.picture(m, 1, below, p.view.Sight.Short(), width, height), nil
}

func (p aimPage) farView(Model) screen.FarView {
	return screen.FarView{Texts: p.view.Sight.Short(), Good: p.view.Sight.Ready()}
}

// markPage is the page on which planned places are marked in the picture.
type markPage struct{ proofBase }

func (p markPage) with(s proofState) page { p.proofState = s; return p }
func (p markPage) byCamera() proofPage    { return p }

func (p markPage) press(m Model, k tea.KeyMsg) (Model, tea.Cmd, bool) {
	if by, ok := arrow(k); ok {
		s := p.proofState
		s.at = s.moved(m, by)
		m.page = p.with(s)
		return m, nil, true
	}
	switch {
	case key.Matches(k, m.keys.Zoom):
		m.page = p.with(p.zoomed())
	case key.Matches(k, m.keys.Take):
		m, cmd := p.mark(m, p.at)
		return m, cmd, true
	case k.String() == "backspace":
		s := p.proofState
		s.proof = s.proof.Back()
		m, cmd := m.step(s)
		return m, cmd, true
	default:
		return m, nil, false
	}
	return m, nil, true
}

// arrow is the direction of an arrow key; false for other keys.
func arrow(k tea.KeyMsg) (by [2]int, ok bool) {
	by, ok = map[string][2]int{"left": {-1, 0}, "right": {1, 0}, "up": {0, -1}, "down": {0, 1}}[k.String()]
	return by, ok
}

// fine is the least number of cells between neighbours at which one pixel can be
// marked.
const fine = 3

// mark marks the place that is asked for. Where a cell is too coarse for one pixel, it
// zooms in first.
func (p markPage) mark(m Model, at eyes.Point) (Model, tea.Cmd) {
	s := p.proofState
	s.at = at
	if f := s.frame(m.size.Width, m.size.Height); f.cell*fine > s.view.Sight.Spacing && s.zoom < mostZoom {
		s = s.zoomed()
		m.page, m.note = p.with(s), "Drawn nearer: now mark the pixel itself."
		return m, nil
	}
	s.proof, s.zoom = s.proof.Marked(at), 1
	return m.step(s)
}

// take is a click; item is the cell of the picture.
func (p markPage) take(m Model, item int) (Model, tea.Cmd) {
	return p.mark(m, p.frame(m.size.Width, m.size.Height).point(item%1000, item/1000))
}

func (p markPage) help(m Model) []key.Binding {
	return []key.Binding{screen.Hint(m.keys.Up, "← ↑ ↓ →", "move"), screen.Hint(m.keys.Take, "enter", "mark here"), screen.Hint(m.keys.Zoom, "z", "nearer"), screen.Hint(m.keys.Back, "backspace", "take back"), screen.Hint(m.keys.Leave, "esc", "close the camera")}
}

func (p markPage) lines(m Model, width, height int) ([]string, []zone) {
	lines := p.picture(m, 2, p.proof.Text, p.large(), width, height)
	f := p.frame(width, height)
	var zones []zone
	for y := range f.rows {
		for x := range f.columns {
			zones = append(zones, zone{f.left + x, f.left + x + 1, f.top + y, f.top + y + 1, y*1000 + x})
		}
	}
	return lines, zones
}

func (p markPage) farView(Model) screen.FarView {
	return screen.FarView{Texts: p.large()}
}

// large is the instruction in large letters, to be read from the prop.
func (p markPage) large() []string {
	return []string{fmt.Sprintf("Mark pixel %d", p.proof.Next()+1), fmt.Sprintf("Mark %d", p.proof.Next()+1)}
}

// runPage is shown during the level, the run and the reading, which need no keys.
type runPage struct{ proofBase }

func (p runPage) with(s proofState) page { p.proofState = s; return p }
func (p runPage) byCamera() proofPage    { return p }

func (p runPage) press(m Model, _ tea.KeyMsg) (Model, tea.Cmd, bool) { return m, nil, false }

func (p runPage) help(m Model) []key.Binding {
	return []key.Binding{screen.Hint(m.keys.Leave, "esc", "stop")}
}

func (p runPage) lines(m Model, width, height int) ([]string, []zone) {
	at := map[steps.Step]int{steps.Level: 3, steps.Run: 4, steps.Read: 4, steps.Map: 5}[p.proof.Step]
	said, least := p.said(m, width), 0
	if p.proof.Step == steps.Run {
		least = barRows(height) + 1 // below an empty row
	}
	lines := []string{p.head(m, at, width), ""}
	for _, l := range digits.Block(width-2*edge, height-len(lines)-len(said)-least-1, p.large()) {
		lines = append(lines, "  "+m.style.Strong.Render(l))
	}
	lines = append(append(lines, ""), said...)
	if least == 0 {
		return lines, nil
	}
	rows := max(least-1, min(height/mostBar, height-len(lines)-2)) // what the letters leave: it is seen from the prop
	lines = append(lines, "")
	for range rows {
		lines = append(lines, "  "+bar(p.proof.Look+1, len(p.proof.Scene.Looks), width-2*edge))
	}
	return lines, nil
}

// mostBar is the part of a page, as one of so many, that the progress bar takes at most.
const mostBar = 4

// said is the state of the run as text.
func (p runPage) said(m Model, width int) (lines []string) {
	add := func(text string, render func(...string) string) {
		for _, l := range style.Wrap(text, width-2*edge) {
			lines = append(lines, "  "+render(l))
		}
	}
	now := strings.TrimSpace(strings.TrimSuffix(p.proof.Text, steps.Still)) // which stands large
	if p.proof.Step == steps.Run && !p.proof.Past {
		now += " " + p.left()
	}
	if m.size.Height >= lowPage {
		add("Done: "+p.done()+".", m.style.Quiet.Render)
		now = "Now: " + now
	}
	add(now, m.style.Strong.Render)
	if m.size.Height >= lowPage && p.proof.Step != steps.Read {
		add("Then: the pictures are read, and the map shows every place.", m.style.Quiet.Render)
	}
	if p.rig.Own != "" && p.proof.Step == steps.Level {
		lines = append(lines, "")
		add(p.rig.Own, m.style.Quiet.Render)
	}
	return lines
}

// done is what the proof has so far.
func (p runPage) done() string {
	out := words.Count(len(p.view.Sight.Spots), "spot") + " of light seen"
	if n := len(p.proof.Marks); n > 0 {
		out += ", " + words.Count(n, "place") + " marked"
	}
	if p.proof.Step != steps.Level && p.proof.Level > 0 && !p.proof.Past {
		out += ", level " + words.WholePercent(p.proof.Level) + " found"
	}
	return out
}

// left is how long the looks that follow take.
func (p runPage) left() string {
	looks := len(p.proof.Scene.Looks) - p.proof.Look
	return fmt.Sprintf("About %d s left.", int(math.Ceil((time.Duration(looks) * eyes.Hold).Seconds())))
}

// large is what the person has to do, in large letters.
func (p runPage) large() string {
	if p.proof.Past || p.proof.Step == steps.Read {
		return "READING"
	}
	return "HOLD STILL"
}

func (p runPage) farView(Model) screen.FarView { return screen.FarView{Texts: []string{p.large()}} }

// barRows is the height of the progress bar in rows, to be seen from the camera.
func barRows(height int) int {
	if height < lowPage {
		return 1
	}
	return max(2, height/12)
}

// bar is a progress bar of width cells at n of of.
func bar(n, of, width int) string {
	full := min(width, n*width/max(of, 1))
	out := ""
	for i := range width {
		if i < full {
			out += "█"
		} else {
			out += "░"
		}
	}
	return out
}

// head is the name of the step and its place among all.
func (s proofState) head(m Model, at, width int) string {
	names := []string{"aim", "mark", "level", "run", "map"}
	out := "  "
	for i, n := range names {
		switch {
		case i+1 == at:
			out += m.style.AccentSign().Render(fmt.Sprintf("%d %s", i+1, n))
		default:
			out += m.style.Quiet.Render(fmt.Sprintf("%d %s", i+1, n))
		}
		if i < len(names)-1 {
			out += m.style.Quiet.Render(" › ")
		}
	}
	return style.Cell(out, width)
}

// mostZoom is the largest zoom of the picture.
const mostZoom = 8

// zoomed is the state at the next zoom: two steps in, then the whole picture again.
func (s proofState) zoomed() proofState {
	s.zoom = map[int]int{1: 3, 3: mostZoom}[s.zoom]
	if s.zoom == 0 {
		s.zoom = 1
	}
	return s
}

// moved is the cursor moved by one cell of the picture.
func (s proofState) moved(m Model, by [2]int) eyes.Point {
	f := s.frame(m.size.Width, m.size.Height)
	w, h := float64(s.view.Sight.W), float64(s.view.Sight.H)
	return eyes.Point{X: math.Max(0, math.Min(w-1, s.at.X+float64(by[0])*f.cell)), Y: math.Max(0, math.Min(h-1, s.at.Y+float64(by[1])*2*f.cell))}
}
