package setup

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/bubbles/key"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// leastLarge is what the chosen line takes in the smallest large letters, with the empty
// row before it.
const leastLarge = 1 + digits.Rows

// firstField is the row of the first field: an empty row is below the title where the page
// has one left beside the message, and beside large letters where these have room at all.
func (m Model) firstField(width, height int) int {
	left, drawing := m.beside(width)
	if width < 110 { // the message is below all
		left = width
	}
	need := 1 + fields + 1 + len(m.said(left))
	if drawing || width >= drawingWidth {
		need += leastLarge
	}
	switch {
	case width < drawingWidth && need+digits.Rows-2 <= height && m.largely(width-2*edge, leastLarge, digits.Rows) != nil:
		return digits.Rows + min(1, max(0, height-need-1)) // an empty row below them, too, where one is free
	case need < height:
		return 2
	}
	return 1
}

type keyMap struct{ Up, Down, Next, Turn, Edit, Light key.Binding }

func newKeys() keyMap {
	return keyMap{
		Up:    screen.Key("↑", "line above", "up"),
		Down:  screen.Key("↓", "line below", "down"),
		Next:  screen.Key("enter", "next line; on the last, light it", "enter"),
		Turn:  screen.Key("← →", "choose", "left", "right"),
		Edit:  screen.Key("ctrl+u", "empty the line", "ctrl+u"),
		Light: screen.Key("ctrl+l", "light it from any line", "ctrl+l"),
	}
}

// ShortHelp is the keys needed most.
func (k keyMap) ShortHelp() []key.Binding {
	return []key.Binding{screen.Hint(k.Light, "ctrl+l", "light"), screen.Hint(k.Down, "↑ ↓", "line"), screen.Hint(k.Next, "enter", "next line"), k.Turn}
}

// FullHelp is all of them.
func (k keyMap) FullHelp() [][]key.Binding {
	return [][]key.Binding{{k.Up, k.Down, k.Next, k.Turn, k.Edit, k.Light}}
}

// formWidth is the width of the form beside a drawing: longer values scroll in their line.
const formWidth = 46

// drawingWidth is the least width of a page with a drawing.
const drawingWidth = 80

// beside is the width of the form, and whether a drawing fits at its right.
func (m Model) beside(width int) (left int, drawing bool) {
	if m.asSet == nil || width < drawingWidth {
		return width, false
	}
	return max(formWidth, min(width*2/5, 78)), true
}

// View draws the form, with the prop that its values describe at the right and the
// chosen line in large letters below.
func (m Model) View(width, height int) string {
	left, drawing := m.beside(width)
	*m.first = m.firstField(width, height)
	form := m.form(left)
	switch {
	case width >= drawingWidth && !drawing: // a value is not read yet: the fields keep their place
		return strings.Join(m.rest(form, width, height), "\n")
	case !drawing && *m.first >= digits.Rows: // the large words stand for the title
		copy(form, style.Indent(m.largely(width-2*edge, leastLarge, digits.Rows)[1:], edge))
		said := m.said(width)
		if len(form)+len(said) > height { // no row is free between them
			said = said[1:]
		}
		return strings.Join(append(form, said...), "\n")
	case !drawing: // bold on a row of its own at least
		form[0] = "  " + m.opt.Style.Strong.Render(m.boldly(width-2*edge))
		return strings.Join(append(form, m.said(width)...), "\n")
	case width < 110: // under the drawing there is the whole width for words
		if right := width - left - portrait.Gap - edge; canvas.Straight(m.asSet) {
			form = style.Beside(form, m.strip(right, len(form)), left+portrait.Gap)
		} else {
			form = m.drawn.Beside(m.opt.Style, m.asSet, form, left, width-edge, len(form))
		}
		return strings.Join(m.rest(form, width, height), "\n")
	case canvas.Straight(m.asSet): // the strip is a few rows: large letters have the room below it
		page := append(append(form, m.said(left)...), m.sums(left)...)
		right := m.strip(width-left-portrait.Gap-edge, height)
		room := width - left - portrait.Gap - edge
		right = append(right, m.filling(room, (height-len(right))/2)...)
		right = append(right, m.lit(room, height-len(right))...)
		return strings.Join(style.Beside(page, right, left+portrait.Gap), "\n")
	}
	page := m.rest(form, left, height)
	return strings.Join(m.drawn.Beside(m.opt.Style, m.asSet, page, left, width-edge, height), "\n")
}

// edge is the number of free columns at the right.
const edge = 2

// airy is the height from which an empty row is below the legend of a strip.
const airy = 10

// lit is what the values light, and from where, in large letters of one size.
func (m Model) lit(width, rows int) []string {
	p := m.asSet
	return portrait.Stack(m.opt.Style, width, rows, portrait.MostStacked, []string{words.Count(p.Pixels(), "pixel"),
		fmt.Sprintf("universe %d", p.Address.Universe), fmt.Sprintf("from slot %d", p.Address.Slot+1)})
}

// strip is a straight strip row by row, without the empty rows below it.
func (m Model) strip(width, height int) []string {
	c := canvas.New(m.asSet, nil, canvas.Rows, width, height/3, m.opt.Style.Depth)
	count := c.PlanName(m.asSet.Pixels())
	count.Full += ", as filled in"
	rows, names := portrait.StripRows(c, m.asSet), append([]canvas.Name{count}, c.SignNames()...)
	said, all := canvas.Legend(width, 1, append(names, canvas.Named("numbers: the first of a row"))...)
	if len(rows) < 2 || !all {
		said, _ = canvas.Legend(width, 1, names...)
	}
	out := []string{m.opt.Style.Quiet.Render(said[0])}
	if height >= airy {
		out = append(out, "")
	}
	return append(out, rows...)
}

// said is the message, wrapped, an empty row before it.
func (m Model) said(width int) []string {
	out := []string{""}
	text, warns := m.message()
	for _, l := range style.Wrap(text, width-2*edge) {
		if warns {
			l = m.opt.Style.Warn.Render(l)
		}
		out = append(out, "  "+l)
	}
	return out
}

// sums are the sums of the values, wrapped, an empty row before them.
func (m Model) sums(width int) []string {
	out := []string{""}
	for _, l := range m.sum {
		for _, w := range style.Wrap(l, width-2*edge) {
			out = append(out, "  "+m.opt.Style.Quiet.Render(w))
		}
	}
	return out
}

// rest adds the chosen line in large letters, right below the fields, the message, and the
// sums of the values if they fit too.
func (m Model) rest(form []string, width, height int) []string {
	said, sums := m.said(width), m.sums(width)
	most := digits.HeadRows(height)
	large := m.largely(width-2*edge, height-len(form)-len(said)-len(sums), most)
	if large == nil {
		large = m.largely(width-2*edge, height-len(form)-len(said), most)
	}
	lines := append(append(form, style.Indent(large, edge)...), said...)
	switch {
	case len(lines)+len(sums) <= height:
		lines = append(lines, sums...)
	case m.held != "" && len(lines) < height && style.Width(m.held) <= width-2*edge:
		lines = append(lines, "  "+m.opt.Style.Quiet.Render(m.held))
	}
	return lines
}

// form is the title, a row for each line, and the button.
func (m Model) form(width int) []string {
	st := m.opt.Style
	lines := make([]string, *m.first)
	lines[0] = "  " + st.Strong.Render("What is on the bench")
	for i, f := range m.fields {
		mark, label := "  ", style.Cell(f.label, 13)
		if i == m.at {
			mark, label = "▸ ", st.Accent.Render(label)
		}
		if m.bad.field == i {
			mark = st.Warn.Render("! ")
		}
		value := f.view(i == m.at, width-20)
		if i == m.at && !f.choice() {
			value = "  " + st.Typed().Render(strings.TrimPrefix(value, "  "))
		}
		if i == hostField && i != m.at && m.hostless() {
			value = "  " + st.Warn.Render("none yet")
		}
		lines = append(lines, mark+label+" "+value)
	}
	button := "  [ Light it ]"
	if m.at == fields {
		button = "▸ " + st.Accent.Render("[ Light it ]")
	}
	return append(lines, button)
}

// saysNoHost reports whether the message is that the host is missing.
func (m Model) saysNoHost() bool {
	return m.bad.text == "" && m.saying == "" && m.hostless() && (m.at == hostField || m.at == fields)
}

// message is the problem, the progress, or the hint of the chosen line.
func (m Model) message() (text string, warns bool) {
	switch {
	case m.bad.text != "":
		return "! " + words.Capital(m.bad.text) + ".", true
	case m.saying != "":
		return m.saying, false
	case m.saysNoHost():
		return "! " + words.Capital(noHost) + ".", true
	case m.at < fields:
		return words.Capital(m.fields[m.at].hint) + ".", false
	}
	return "Enter connects, then lights it at 20 %.", false
}

// hostless reports whether no host is given; then nothing is sent.
func (m Model) hostless() bool { return strings.TrimSpace(m.fields[hostField].value()) == "" }

// worked is the sums of the values and the prop they describe, when they can be read. It
// makes the whole patch, so it is called on a change and not while drawing.
func (m Model) worked() (sums []string, held string, p *prop.Prop) {
	t := m.texts()
	if m.hostless() {
		t[hostField] = multicast // any will do: the sums do not depend on it
	}
	v, err := read(t, m.opt.Interfaces)
	if err != nil {
		return nil, "", nil
	}
	p, err = v.Prop(m.base)
	if err != nil {
		return nil, "", nil
	}
	patch, err := prop.PatchFor(p)
	if err != nil {
		return nil, "", nil
	}
	first, last := patch.At(0, 0), patch.At(p.Pixels()-1, p.Chip.Order.Slots()-1)
	to := fmt.Sprintf("universe %d slot %d to universe %d slot %d", first.Universe, first.Slot+1, last.Universe, last.Slot+1)
	if last.Universe == first.Universe {
		to = fmt.Sprintf("universe %d, slots %d to %d", first.Universe, first.Slot+1, last.Slot+1)
	}
	out := append([]string{fmt.Sprintf("%s: %s.", words.Count(p.Pixels(), "pixel"), to)}, slotsOf(p)...)
	if text := patch.Moved(); text != "" {
		out = append(out, "WARNING: "+text+".")
	}
	if m.base != nil && len(m.base.Runs) > 1 && p.Pixels() != m.base.Pixels() {
		out = append(out, fmt.Sprintf("%s has %d pixels: with another count this is one straight strip.", style.Clean(m.base.Name), m.base.Pixels()))
	}
	all, held := m.lightSums(p)
	return append(out, all...), held, p
}

// lightSums are how many amps the light takes and what holds it down, and the same in one line where
// something does. What the wires carry comes first where that is least; a prop without a file has none that
// are known.
func (m Model) lightSums(p *prop.Prop) (out []string, held string) {
	var full patterns.Colour
	for _, ch := range p.Chip.Order.Channels() {
		full = full.With(ch, 255)
	}
	_, lit := p.Lights()
	amps := float64(lit)*power.PixelAmps(p.Chip, full) + float64(p.Pixels()-lit)*p.Chip.IdleAmps
	allowed, share := p.Supply.Amps*p.Supply.Continuous, 1.0
	says := fmt.Sprintf("All channels full: about %s. The supply gives %s for hours on end", words.Amps(amps), words.Amps(allowed))
	if amps > allowed {
		dark := float64(p.Pixels()) * p.Chip.IdleAmps
		share = max(0, allowed-dark) / (amps - dark)
		says += fmt.Sprintf(", so the light is held at about %d %%", power.FloorPercent(share))
		held = fmt.Sprintf("All channels full: %s of %s, so held at about %d %%.", words.Figure(amps), words.Amps(allowed), power.FloorPercent(share))
	}
	says += "."
	known := m.base != nil && p.Pixels() == m.base.Pixels()
	wires, err := power.WireLevel(p)
	switch {
	case known && err == nil && wires < 1:
		brief := fmt.Sprintf("The wires carry %d %% of white at most", power.FloorPercent(wires))
		carry := brief + ": stay below, or see Prop (tab)."
		if wires < share {
			return []string{carry, says}, brief + "."
		}
		return []string{says, carry}, held
	case share < 1 && !known:
		says += " The wires may carry less."
	}
	return []string{says}, held
}

// slotsOf is which slots go to each of several runs, by the signs of the drawing, with an empty line below.
func slotsOf(p *prop.Prop) (out []string) {
	rows, err := prop.RowsFor(p)
	if err != nil || !portrait.Numbered(p) {
		return nil
	}
	for i, r := range rows {
		to := fmt.Sprintf("slots %d to %d", r.FirstSlot, r.LastSlot)
		if r.FirstUniverse != rows[0].FirstUniverse || r.LastUniverse != r.FirstUniverse {
			to = fmt.Sprintf("universe %d slot %d to universe %d slot %d", r.FirstUniverse, r.FirstSlot, r.LastUniverse, r.LastSlot)
		}
		sign := "\u00a0"
		if i == 0 { // data enters there
			sign = "▶"
		}
		out = append(out, fmt.Sprintf("%s%d %s: %s", sign, i+1, style.Clean(r.Run), to))
	}
	return append(out, "")
}
