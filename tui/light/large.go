package light

import (
	"fmt"
	"strings"

	"example.org/ringout/internal/words"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/screen"
)

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
		return []string{fmt.Sprintf("%d, ", n) + digits.Whole(fmt.Sprintf("not %d", all))}
	case m.onePixel() && m.pattern().ID != patterns.Colours.ID: // the number of a single pixel is no news
		return []string{"level " + digits.Whole(words.Percent(m.level))}
	}
	switch m.pattern().ID {
	case patterns.Colours.ID:
		return []string{m.channel().String()}
	case patterns.Ruler.ID:
		last := m.lit().Pixels() / 5 * 5
		return []string{fmt.Sprintf("last mark %d", last), fmt.Sprintf("mark %d", last)}
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
		out = append(out, wideNumber(m.lit().Pixels())+" lit")
	case m.number() > 0:
		out = append(out, "pixel "+wideNumber(m.prop.Pixels()))
	}
	return out
}

// wideNumber is a number of as many digits as n that is as wide as any.
func wideNumber(n int) string { return strings.Repeat("8", len(fmt.Sprint(n))) }

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
