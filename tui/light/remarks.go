package light

import (
	"fmt"
	"strings"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/words"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui/canvas"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// A remark is one sentence of the page, with the part that is emphasised.
type remark struct {
	head, text string
	style      style.Text
}

// said are all remarks of the page, the news first.
func (m Model) said() []remark {
	news := []remark{
		{"", m.note, m.style.Strong}, {"", m.marking(), m.style.Strong},
		{"TROUBLE:", m.trouble(), m.style.Warn}, {"LIMITED:", m.limitText(), m.style.Warn},
		{"CAUTION:", m.thinWires(), m.style.Warn},
	}
	if m.brief {
		return news
	}
	return append(news, remark{"Expect:", m.expect(), m.style.Strong}, remark{"", m.partWords(), style.Text{}},
		remark{"", m.placed(), style.Text{}}, remark{"", m.rollCall(), style.Text{}})
}

// saidText is all that is said, to see whether it differs.
func (m Model) saidText() string {
	var b strings.Builder
	for _, r := range m.said() {
		b.WriteString(r.head + " " + r.text + "\n")
	}
	return b.String()
}

// words are the answer to the last key, what the limiter does, and what to
// expect: the news first, since the room may be short.
// The last are left out where there are fewer rows than they need.
func (m Model) words(width, rows int) []string {
	var out []string
	for _, t := range m.said() {
		if t.text == "" || m.mark > 0 && t.head == "Expect:" { // what was counted is the news
			continue
		}
		before := len(out)
		for i, l := range style.WrapKeys(strings.TrimSpace(t.head+" "+t.text), width, style.Text{}, m.style.Accent) {
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

// thinWires warns of a level that is more in white than the wires of the prop carry: the
// limiter knows the supply only.
func (m Model) thinWires() string {
	if m.prop == nil || m.dark {
		return ""
	}
	most := m.draw.wires.Get(m.prop, func() float64 {
		level, err := power.WireLevel(m.prop)
		if err != nil { // no copper in the file
			return 1
		}
		return level
	})
	if m.level <= most {
		return ""
	}
	return fmt.Sprintf("the wires carry %d %% of white at most. Turn the level down. For more, power off and use thicker wire.", power.FloorPercent(most))
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
