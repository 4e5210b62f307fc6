package check

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	proofs "example.org/ringout/internal/checkout/pictures"
	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/underway"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// mapPage is the result of a proof: the state of every planned place.
type mapPage struct {
	proofBase
	scroll scroll
}

func (p mapPage) with(s proofState) page { p.proofState = s; return p }
func (p mapPage) byCamera() proofPage    { return p }

func (mapPage) traits(Model) traits { return traits{scrolls: true} }

func (p mapPage) press(m Model, k tea.KeyMsg) (Model, tea.Cmd, bool) {
	width, height := p.textRoom(m)
	if at, ok := p.scroll.moved(m, k, len(p.text(m, width, height)), height); ok {
		p.scroll = at
		m.page = p
		return m, nil, true
	}
	is := func(b key.Binding) bool { return key.Matches(k, b) }
	switch {
	case is(m.keys.Digit):
		m, cmd := p.take(m, int(k.Runes[0]-'1'))
		return m, cmd, true
	case is(m.keys.Take):
		m, cmd := p.take(m, 0)
		return m, cmd, true
	case is(m.keys.Record):
		return askWhere(m), nil, true
	}
	return m, nil, false
}

// A mapAction is an action of the map page.
type mapAction struct {
	text string
	do   func(Model, mapPage) (Model, tea.Cmd)
}

func (p mapPage) actions() []mapAction {
	var out []mapAction
	if left := p.weighed.Left(); len(left) > 0 {
		out = append(out, mapAction{left[0].Title() + ": before it is signed off", func(m Model, _ mapPage) (Model, tea.Cmd) {
			return takeUpTest(m, left[0])
		}})
	}
	if p.proof.Unread() > 0 && !p.rig.Past {
		out = append(out, mapAction{"Look closer, or from another side", closer})
	}
	if p.proof.Unread() > 0 && p.rig.Past {
		out = append(out, mapAction{"Add a film or kept folder from nearer or another side", another})
	}
	runs := p.weighed.Prop.Runs
	if of := p.weighed.UnreadRuns(); len(of) == 1 && len(runs) > 1 {
		name := runs[of[0]].Name
		out = append(out, mapAction{"Check " + style.Clean(name) + " by eye: places were not read there", func(m Model, _ mapPage) (Model, tea.Cmd) {
			part, err := underway.Named(m.bench.prop, underway.Joined, name)
			if err != nil {
				m.note = sentence(err)
				return m, nil
			}
			return m.restart(part)
		}})
	}
	return append(out,
		mapAction{"See the findings", func(m Model, _ mapPage) (Model, tea.Cmd) {
			m, cmd := seeFindings(m)
			return m, cmd
		}},
		mapAction{"Check it by eye too", func(m Model, _ mapPage) (Model, tea.Cmd) { return m.restart(underway.Part{}) }})
}

// another asks for a film or kept folder that adds to the result.
func another(m Model, p mapPage) (Model, tea.Cmd) {
	before := p.proof.Result
	return m.ask("The film's file, or the folder in which pictures were kept", pathLine, "", func(m Model, text string) (Model, tea.Cmd) {
		return m.openEye(text, "", before)
	}), nil
}

// closer begins a second run that adds to the result.
func closer(m Model, p mapPage) (Model, tea.Cmd) {
	s := p.proofState
	s.proof, s.weighed = s.proof.Closer(), nil
	s.lit = s.rig.first(s.proof.Level)
	s.at, s.zoom, s.finding = eyes.Point{}, 1, false
	m = m.open(aimPage{proofBase{proofState: s}})
	m.send()
	return m, watch(s.rig, s.view)
}

func (p mapPage) take(m Model, i int) (Model, tea.Cmd) {
	deeds := p.actions()
	if i < 0 || i >= len(deeds) {
		m.note = "There is no such line here."
		return m, nil
	}
	return deeds[i].do(m, p)
}

func (p mapPage) help(m Model) []key.Binding {
	keys := []key.Binding{screen.Hint(m.keys.Digit, fmt.Sprintf("1-%d", len(p.actions())), "choose")}
	if width, height := p.textRoom(m); len(p.text(m, width, height)) > height {
		keys = append(keys, screen.Hint(m.keys.Down, "↑ ↓", "scroll"))
	}
	if len(m.rec.pending) > 0 {
		keys = append(keys, screen.Hint(m.keys.Record, "w", "record elsewhere"))
	}
	return append(keys, screen.Hint(m.keys.Leave, "esc", "start"))
}

// headline is the result of the proof.
func (p mapPage) headline() string {
	n := len(p.weighed.Result.Places)
	switch {
	case p.weighed.Good():
		return fmt.Sprintf("Signed off: all %d places were read and are as planned.", n)
	case p.weighed.AllRight():
		return fmt.Sprintf("All %d places were read and are as planned. Left: %s.", n, leftTitles(p.weighed))
	case p.weighed.Result.Unlit:
		return "Is the whole prop in the picture?"
	case p.weighed.Counts[eyes.Unknown] > 0:
		return fmt.Sprintf("Not read: %d of %d places: no proof of the whole prop yet.", p.weighed.Counts[eyes.Unknown], n)
	}
	return fmt.Sprintf("%d of %d places are as planned.", p.weighed.Counts[eyes.Right]+p.weighed.Counts[eyes.Nothing], n)
}

// leftTitles are the tests that are left before a prop is signed off.
func leftTitles(proof *proofs.Proof) string {
	var all []string
	for _, k := range proof.Left() {
		all = append(all, strings.ToLower(k.Title()))
	}
	return words.And(all)
}

// farView is the result in few words.
func (p mapPage) farView(Model) screen.FarView {
	switch n := p.weighed.Unread(); {
	case p.weighed.Good():
		return screen.FarView{Texts: []string{"Signed off"}, Good: true}
	case p.weighed.AllRight():
		next := p.weighed.Left()[0].Title()
		return screen.FarView{Texts: []string{"As planned. Next: " + strings.ToLower(next), "Next: " + next, next}}
	case p.weighed.Result.Unlit:
		return screen.FarView{Texts: []string{"No pixel lights", "All dark"}}
	case p.weighed.Wrong() > 0:
		return screen.FarView{Texts: p.wrongWords()}
	case n > 0:
		return screen.FarView{Texts: []string{fmt.Sprintf("%d not read", n), fmt.Sprintf("%d unread", n)}}
	}
	return screen.FarView{Texts: []string{"See the page"}}
}

// wrongWords are the number of pixels that are not as planned, or the one with its
// state. Its number never stands where it reads as a count.
func (p mapPage) wrongWords() []string {
	if n := p.weighed.Wrong(); n != 1 {
		return []string{fmt.Sprintf("%d pixels wrong", n), fmt.Sprintf("%d wrong", n)}
	}
	looks := map[eyes.Verdict][2]string{eyes.NoLight: {"dark", "is dark"}, eyes.Always: {"always lit", "is always lit"}, eyes.Unsteady: {"unsteady", "is unsteady"}, eyes.Lost: {"lost a colour", "lost a colour"}}
	for i, one := range p.weighed.Result.Places {
		v := p.weighed.Scene.Verdict(i, one)
		look, ok := looks[v]
		switch {
		case ok:
			return []string{fmt.Sprintf("Pixel %d %s", i+1, look[0]), fmt.Sprintf("%d %s", i+1, look[1]), fmt.Sprintf("Pixel %d", i+1), "1 wrong"}
		case v == eyes.Other:
			return []string{fmt.Sprintf("Pixel %d wrong", i+1), fmt.Sprintf("Pixel %d", i+1), "1 wrong"}
		}
	}
	return []string{"1 wrong"}
}

// A mapLayout is the map with its key, and the room for the text beside it or below.
type mapLayout struct {
	drawn      *canvas.Canvas
	key        []string
	textWide   int
	keyWide    int
	rows, text int // of the map, of the text
	beside     bool
}

// layout is the layout of the map on a page of a size. A key of several lines takes rows
// from the text on a narrow page, else from both.
func (p mapPage) layout(m Model, width, height int) mapLayout {
	large := len(p.large(m, width, height))
	rows := height - 2 - len(p.actions()) - large // the steps or a row above the map, and the record or the row for it
	if height >= lowPage && withoutSteps(height, large) {
		rows += 2
	}
	if !p.inText(m) {
		rows--
	}
	gaps := mapGaps(height)
	if gaps > 2 && p.inText(m) {
		gaps-- // that after the headline
	}
	return p.layoutIn(m, width, height, rows-gaps)
}

// layoutIn is the layout with so many rows for the map with its key, and the text beside it.
func (p mapPage) layoutIn(m Model, width, height, rows int) mapLayout {
	l := mapLayout{textWide: width - 2*edge, beside: width >= narrow}
	for key := 1; ; key++ {
		wide := width - 2*edge
		l.rows = max(1, rows-key)
		l.text, l.keyWide = max(1, rows), wide
		if l.beside {
			wide = (width - 3*edge) / 2
			l.textWide, l.keyWide = width-3*edge-wide, wide
		} else {
			half := max(1, rows-1) / 2
			l.rows, l.text = max(1, rows-1)-half, max(1, half-key+1)
		}
		l.drawn = mapDrawn(m, wide, l.rows)
		if l.rows > 1 {
			if low := mapDrawn(m, wide, l.rows-1); low.Rows() == l.drawn.Rows() && low.Per() == l.drawn.Per() && (low.Rows() || low.Clear() == l.drawn.Clear()) {
				l.drawn = low // an empty row sets it apart
			}
		}
		l.key = p.legend(m.style, l.drawn, l.keyWide)
		if last := len(l.key) - 1; last == key && l.text < 3 && (l.key[last] == l.drawn.Way().Full || l.key[last] == l.drawn.Way().Brief) {
			l.key = l.key[:last] // the text needs its row
		}
		if len(l.key) <= key {
			return l
		}
	}
}

// mapDrawn is the drawing of a map. In rows, those of all runs are as long where the height allows,
// so that pixels are counted alike in each.
func mapDrawn(m Model, width, height int) *canvas.Canvas {
	const group, least = 11, 24 // columns
	best := canvas.Best(m.bench.prop, nil, width, height, m.style.Depth)
	for ; best.Rows() && width >= least; width -= group {
		if c := canvas.Best(m.bench.prop, nil, width, height, m.style.Depth); c.Rows() && c.Per() == best.Per() && c.OneLength() {
			return c
		}
	}
	return best
}

// signs are the lines of the map with an empty one before the text below, and one above, where there is
// room.
func (p mapPage) signs(m Model, l mapLayout) []string {
	lines := l.drawn.SignRows(p.ranks(), mapSigns(m.style, p.many()))
	free := l.rows - len(lines)
	if !l.beside && free > 0 {
		lines, free = append(lines, ""), free-1
	}
	if free > 0 {
		lines = append([]string{""}, lines...)
	}
	return lines
}

// look is the style of the result.
func (p mapPage) look(m Model) style.Text {
	return m.style.ForVerdict(!p.weighed.AllRight(), p.weighed.Good()).Strong
}

// large is the result of the proof in large words, with an empty row before and after.
func (p mapPage) large(m Model, width, height int) []string {
	rows := letterRows(height)
	if rows < 1 {
		return nil
	}
	drawn := letters(p.look(m), width, rows, p.farView(m).Texts)
	if height < lowPage {
		return drawn
	}
	return append(append([]string{""}, drawn...), "")
}

// headlineLook is the style of the sentence below the large words.
func (p mapPage) headlineLook(m Model) style.Text {
	if p.weighed.AllRight() {
		return m.style.Good
	}
	return m.style.Strong
}

// mapGaps are the empty rows of a page with a map: before what can be chosen and before the record and, where
// there is room, after the headline.
func mapGaps(height int) int {
	switch {
	case height < lowPage:
		return 0
	case height < 2*lowPage:
		return 2
	}
	return 3
}

// withoutSteps reports whether a page with so many rows of large words has no line of the steps, which are all
// done: what is below needs its row, and the empty one below it.
func withoutSteps(height, large int) bool { return height < 2*lowPage && large > 0 }

func (p mapPage) textRoom(m Model) (width, height int) {
	l := p.layout(m, m.size.Width, m.size.Height)
	return l.textWide, l.text
}

// leastNoted is the least rows of a text on a low page whose note has an empty row before it.
const leastNoted = 4

// aboveMap are the steps, the large words and the headline, as far as the page has them.
func (p mapPage) aboveMap(m Model, width, height int) []string {
	lines := append([]string{p.head(m, 5, width)}, p.large(m, width, height)...)
	switch short := withoutSteps(height, len(lines)-1); {
	case short && height < lowPage:
		lines = append(lines[1:], "")
	case short:
		lines = lines[2:]
	}
	if p.inText(m) {
		return lines
	}
	lines = append(lines, "  "+p.headlineLook(m).Render(style.Cell(p.headline(), width-2*edge)))
	if mapGaps(height) > 2 {
		lines = append(lines, "")
	}
	return lines
}

func (p mapPage) lines(m Model, width, height int) ([]string, []zone) {
	lines, l := p.aboveMap(m, width, height), p.layout(m, width, height)
	text := scrolled(m.style, p.text(m, l.textWide, l.text), cuts{apart: height < lowPage && l.text >= leastNoted}, p.scroll, l.textWide, l.text)
	drawing := append(slices.Clone(l.key), p.signs(m, l)...)
	if l.beside {
		lines = append(lines, style.WithoutEnd(style.Indent(style.Beside(drawing, text, width-2*edge-l.textWide), edge))...)
	} else {
		lines = append(append(lines, style.Indent(drawing, edge)...), style.WithoutEnd(style.Indent(text, edge))...)
	}
	small := height < lowPage && m.note == "" // an empty row before what can be chosen is more than the record's name
	if mapGaps(height) > 0 || small {
		lines = append(lines, "")
	}
	var items []item
	for i, d := range p.actions() {
		items = append(items, item{digit: i + 1, text: d.text})
	}
	listedLines, zones := listed(m.style, items, none, min(width, 78))
	zones = down(zones, len(lines))
	lines = append(lines, listedLines...)
	if mapGaps(height) > 1 {
		lines = append(lines, "")
	}
	if small {
		return lines, zones
	}
	say := m.style.Strong.Render(m.note)
	if m.note == "" {
		say = style.WrapKeys(sayRecord(m), max(width, style.Width(sayRecord(m))), m.style.Strong, m.style.Accent)[0]
	}
	return append(lines, "  "+style.Cell(say, width-2*edge)), zones
}
