package light

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/key"

	"example.org/ringout/internal/words"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/portrait"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// Sizes and positions on the page, in cells.
const (
	edge      = 2  // left of everything, and free at the right
	sideWidth = 32 // list of patterns and settings
	listTop   = 0  // row of the first pattern
)

// leastDrawing is how many rows the words leave to the drawing and its legend: two drawings
// beside a list are narrow and need more.
func (m Model) leastDrawing() int {
	switch {
	case m.demo && !m.compact():
		return 11
	case m.demo:
		return besideRows
	}
	return 7
}

// besideRows is the height of two drawings beside each other in a narrow window with their legend and titles:
// two rows for each of three runs, at two pixels a mark.
const besideRows = 8

// compact reports whether the page has no room for the list beside the drawing.
func (m Model) compact() bool { return m.size.Width < 80 }

// faceRows is the largest height of the large words, which grows with the window.
func (m Model) faceRows() int {
	if m.compact() {
		return digits.Rows
	}
	return max(1, min(5, (m.size.Height-1)/9)) * digits.Rows
}

// View draws the page.
func (m Model) View(width, height int) string {
	if m.prop == nil {
		return style.Fit(strings.Join(portrait.NoPropPage(m.style, width, height, "This page lights a prop pixel by pixel, to count and to compare."), "\n"), width, height)
	}
	if width < 80 {
		return m.narrow(width, height)
	}
	right := width - sideWidth - edge
	band := m.band(right, height-m.leastDrawing())
	drawn := m.drawing(right, min(height-len(band), m.drawingRows(right, height)))
	drawn, above := canvas.Panel(m.style, drawn, right, height-len(band)-len(drawn))
	m.draw.top += above
	page := append(m.indented(band, 1), drawn...)
	page = style.FitLines(strings.Join(page, "\n"), right+2, height)
	side := style.FitLines(m.side(), sideWidth-1, height)
	for i := range side {
		side[i] += page[i]
	}
	return style.Fit(strings.Join(side, "\n"), width, height)
}

// narrowHead is how many rows the title and the settings of a narrow page take, or both in one
// and an empty one.
const narrowHead = 2

// narrow is the page without a list: the settings are above the rest.
func (m Model) narrow(width, height int) string {
	inner := width - 2*edge
	now, settings := m.steps(), style.Wrap(strings.Join(m.settingWords(), ", "), inner)
	if m.unlit() { // the level and the pace are those of no light now
		now, settings = "dark", []string{""}
	}
	lines := []string{m.style.AccentSign().Render(m.title()) + "  " + now}
	if one := lines[0] + "  " + settings[0]; len(settings) == 1 && style.Width(one) <= inner {
		lines[0], settings = one, nil
	}
	if lines = append(lines, settings...); len(lines) < narrowHead && !m.demo { // the drawing has the same room below either
		lines = append(lines, "")
	}
	free, head := height-len(lines), len(lines)
	lines = append(lines, m.band(inner, free-m.leastDrawing())...)
	if last := len(lines) - 1; m.demo && height-len(lines) < besideRows && lines[last] == "" { // a mark of fewer pixels is worth more
		lines = lines[:last]
	}
	rows := min(height-len(lines), m.drawingRows(inner, free))
	if m.onePixel() && lines[head-1] != "" { // a disc may be smaller, for the row above the large words
		rows = min(rows, height-len(lines)-1)
	}
	drawn := m.drawing(inner, rows)
	if len(lines)+len(drawn) < height && lines[head-1] != "" {
		lines = slices.Insert(lines, head, "")
	}
	drawn, above := canvas.Panel(m.style, drawn, inner, height-len(lines)-len(drawn))
	m.draw.top = len(lines) + above
	page := append(m.indented(lines, edge), style.Indent(drawn, edge-1)...)
	return style.Fit(strings.Join(page, "\n"), width, height)
}

// settingWords are the settings on a narrow page: the level, and those that are not at
// their default.
func (m Model) settingWords() []string {
	out := []string{words.Percent(m.level)}
	if m.sub != nil {
		out = append([]string{m.partName()}, out...)
	}
	if m.pattern().Stepped {
		out = append(out, m.pace())
	}
	if m.colour > 0 {
		out = append(out, m.colourName())
	}
	if m.reverse {
		out = append(out, m.way())
	}
	return out
}

func (m Model) title() string { return fmt.Sprintf("%d %s", (m.at+1)%10, m.pattern().Name) }

// side is the list of patterns, the settings, and what 8 bits do to the colours.
func (m Model) side() string {
	st := m.style
	var lines []string
	for _, i := range m.offered() {
		p := m.pats[i]
		l := fmt.Sprintf("  %d %s", (i+1)%10, p.Name)
		if i == m.at {
			l = st.Accent.Render(fmt.Sprintf("▸ %d %s", (i+1)%10, p.Name))
		}
		lines = append(lines, l)
	}
	k := m.usable()
	lines = append(lines, "",
		m.setting("Level", m.levelNow(), "↑ ↓", k.Brighter),
		m.setting("Speed", m.pace(), "+ -", k.Faster),
		m.setting("Colour", m.colourName(), "c", k.Colour))
	if !m.onePixel() {
		lines = append(lines, m.setting("Way", m.way(), "r", k.Way))
	}
	lines = append(lines, m.setting("Steps", m.steps(), "enter", k.Run))
	if !m.onePixel() {
		lines = append(lines, m.setting("Part", m.partName(), "p", k.Part))
	}
	lines = append(lines, "")
	for _, l := range style.Wrap(m.rounding(), sideWidth-edge-2) {
		lines = append(lines, "  "+st.Quiet.Render(l))
	}
	return strings.Join(lines, "\n")
}

// setting is one line: name, value, and the signs of its keys if they have an effect now.
// A value that is too long is cut; it stands in full beside the drawing.
func (m Model) setting(what, value, keys string, turns key.Binding) string {
	if !turns.Enabled() {
		keys = ""
	}
	return "  " + style.Cell(what, 7) + m.style.Strong.Render(style.Cell(value, 13)) + "  " + m.style.Accent.Render(keys)
}

// levelNow is the level that is sent.
func (m Model) levelNow() string {
	if m.unlit() {
		return "0 %, dark"
	}
	return words.Percent(m.level)
}

func (m Model) pace() string {
	if !m.pattern().Stepped || m.dark {
		return "no steps"
	}
	return fmt.Sprintf("%g steps/s", m.settings().Speed)
}

func (m Model) colourName() string {
	if pal := m.palette(); m.colour > 0 && m.colour <= len(pal) {
		return pal[m.colour-1].Name
	}
	return "pattern's own"
}

func (m Model) way() string {
	if m.reverse {
		return "from far end"
	}
	return "from data end"
}

// steps is how the pattern steps.
func (m Model) steps() string {
	switch {
	case m.unlit():
		return "none, dark"
	case !m.pattern().Stepped:
		return "steady"
	case m.auto:
		return "walking"
	}
	return "by hand"
}

// large are the large texts, each shorter than the one before: the result of a mark, the
// colour, the pixel or the count, else the level.
func (m Model) large() []string {
	switch {
	case m.prop == nil:
		return nil
	case m.unlit():
		return []string{"dark"}
	case m.mark > 0:
		n, all := m.countedOf()
		if n == all {
			return []string{fmt.Sprintf("all %d light", n), fmt.Sprintf("all %d", n)}
		}
		return []string{fmt.Sprintf("%d, not %d", n, all)}
	case m.onePixel() && m.pattern().ID != patterns.Colours.ID: // the number of a single pixel is no news
		return []string{"level " + digits.Whole(words.Percent(m.level))}
	}
	switch m.pattern().ID {
	case patterns.Colours.ID:
		return []string{m.channel().String()}
	case patterns.Ruler.ID:
		last := m.lit().Pixels() / 5 * 5
		return []string{fmt.Sprintf("last mark %d", last), fmt.Sprintf("last: %d", last)}
	}
	switch n := m.number(); {
	case n > 0 && m.pattern().Counts:
		return []string{fmt.Sprintf("%d lit", n)}
	case n > 0:
		return []string{fmt.Sprintf("pixel %d", n)}
	}
	return []string{"level " + digits.Whole(words.WholePercent(m.level))}
}

// alike are the large texts of other steps of the pattern: all are drawn in one face, so
// that the page does not change with the number of digits.
func (m Model) alike() (out []string) {
	switch {
	case m.unlit() || m.mark > 0:
	case m.pattern().ID == patterns.Colours.ID:
		for _, ch := range m.prop.Chip.Order.Channels() {
			out = append(out, ch.String())
		}
	case m.onePixel():
	case m.pattern().Counts:
		out = append(out, widest(m.lit().Pixels())+" lit")
	case m.number() > 0:
		out = append(out, "pixel "+widest(m.prop.Pixels()))
	}
	return out
}

// widest is a number of as many digits as n that is as wide as any.
func widest(n int) string { return strings.Repeat("8", len(fmt.Sprint(n))) }

// channel is the channel that the pattern Colours in turn lights now.
func (m Model) channel() patterns.Channel {
	return m.prop.Chip.Order.Channels()[patterns.StepAt(m.pattern(), m.settings(), m.now())]
}

// countDiffers reports whether the marked count differs from the plan.
func (m Model) countDiffers() bool {
	if m.prop == nil || m.dark || m.mark == 0 {
		return false
	}
	n, all := m.countedOf()
	return n != all
}

// countedOf is how many pixels light by the mark, of how many that should.
func (m Model) countedOf() (n, all int) {
	_, all = m.lit().Lights()
	n, _, _ = counted(m.lit(), m.mark, m.reverse)
	return n, all
}

// FarView is the text that the page has in large letters.
func (m Model) FarView() screen.FarView {
	far := screen.FarView{Texts: m.large(), Bad: m.countDiffers()}
	if m.tellsColour() {
		far.Ink = m.rimmed
	}
	return far
}

// number is the pixel of the step, counted in the whole prop, or the number of lit pixels;
// 0 for patterns without one.
func (m Model) number() int {
	n := m.pattern().Number
	switch {
	case n == nil:
		return 0
	case m.pattern().Counts:
		return n(m.settings(), m.moment())
	}
	return m.first + n(m.settings(), m.moment())
}

// A remark is one sentence of the page, with the part that is emphasised.
type remark struct {
	head, text string
	style      style.Text
}

// said are all remarks of the page, the news first.
func (m Model) said() []remark {
	news := []remark{
		{"", m.note, m.style.Strong}, {"", m.marking(), m.style.Strong},
		{"TROUBLE: ", m.trouble(), m.style.Warn}, {"LIMITED: ", m.limitText(), m.style.Warn},
	}
	if m.brief {
		return news
	}
	return append(news, remark{"Expect: ", m.expect(), m.style.Strong}, remark{"", m.partWords(), style.Text{}},
		remark{"", m.placed(), style.Text{}}, remark{"", m.rollCall(), style.Text{}})
}

// words are the answer to the last key, what the limiter does, and what to
// expect: the news first, since the room may be short.
// The last are left out where there are fewer rows than they need.
func (m Model) words(width, rows int) []string {
	var out []string
	for _, t := range m.said() {
		if t.text == "" || m.mark > 0 && t.head == "Expect: " { // what was counted is the news
			continue
		}
		before := len(out)
		for i, l := range style.WrapKeys(t.head+t.text, width, style.Text{}, m.style.Accent) {
			switch {
			case t.head == "":
				l = m.withMark(t.style, l)
			case i == 0 && strings.HasPrefix(l, t.head):
				l = t.style.Render(t.head) + l[len(t.head):]
			}
			out = append(out, l)
		}
		if len(out) > rows && before > 0 {
			return out[:before]
		}
	}
	return out
}

// withMark is a text in a style, with the sign of the marked pixel as in the drawing.
func (m Model) withMark(st style.Text, text string) string {
	before, after, found := strings.Cut(text, canvas.Marked)
	if !found {
		return st.Render(text)
	}
	out := canvas.MarkedSign(m.style.Depth) + st.Render(after)
	if before != "" {
		out = st.Render(before) + out
	}
	return out
}

func (m Model) marking() string {
	if m.mark == 0 || m.prop == nil {
		return ""
	}
	text := marked(m.lit(), m.mark, m.reverse)
	if first, rest, more := strings.Cut(text, ". "); more && m.compact() && strings.HasSuffix(first, "light") {
		text = rest // the large words have the count
	}
	if m.markedPixel() >= 0 { // captions of small drawings have no room for the sign
		return canvas.Marked + " " + text
	}
	return text
}

// trouble is the full reason why packets do not arrive, which may not fit the status line.
func (m Model) trouble() string {
	if !m.any || len(m.snap.Links) == 0 {
		return ""
	}
	l := screen.WorstLink(m.snap.Links)
	if l.State == link.Sending || l.State == link.Starting {
		return ""
	}
	return style.Clean(l.Sentence())
}

func (m Model) limitText() string {
	switch {
	case !m.any || m.dark:
		return ""
	case m.snap.NoLight:
		return "the dark pixels alone draw all that the supply gives: more amps or fewer pixels."
	case !m.snap.Limited:
		return ""
	}
	return fmt.Sprintf("held at %s, so that the supply gives no more than %s.", words.Percent(m.snap.Level), words.Amps(m.snap.MaxAmps))
}

// rounding warns that rounding to 8 bits changes the proportions of a mixed colour at this
// level; empty if it does not.
func (m Model) rounding() string {
	if !m.any || m.dark {
		return ""
	}
	for _, c := range m.snap.Wanted {
		if off := shift(c, m.snap.Level); off > shifted {
			return fmt.Sprintf("8 bits shift a colour here: at %s its weakest part is %s off.", words.Percent(m.snap.Level), words.WholePercent(off))
		}
	}
	return ""
}

// shifted is the largest error of a colour's proportion that is not seen: a tenth (common
// practice).
const shifted = 0.1

// shift is the relative error that rounding makes in the ratio of the weakest part of a
// colour to the strongest.
func shift(c patterns.Colour, level float64) float64 {
	most := 0.0
	d := c.Dim(level)
	top := max(c.R, c.G, c.B, c.W, c.C)
	for ch := range patterns.Channel(patterns.NumChannels) {
		if v := c.Get(ch); v > 0 && v < top && level > 0 {
			want := float64(v) / float64(top)
			got := float64(d.Get(ch)) / float64(max(d.R, d.G, d.B, d.W, d.C))
			most = max(most, max(got/want, want/got)-1)
		}
	}
	return most
}
