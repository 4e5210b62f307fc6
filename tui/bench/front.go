package bench

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/words"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/style"
)

// cautions are the usual ones; they give way to local codes, the maker's
// instructions and licensed people. Flashing: WCAG 2.1, 2.3.1. The others are
// common practice.
var cautions = []struct{ what, text string }{
	{"Mains", "a supply's mains side is work for licensed people, by local codes."},
	{"Fuse", "every feed at the supply, no larger than its wire carries."},
	{"Joints", "power off before you solder or cut; minus first, plus last."},
	{"Eyes", "do not look into a strip at full white: start low, look at a wall."},
	{"Flashing", "more than three flashes a second can set off seizures."},
	{"Heat", "irons, glue, shorted wires burn: stand the iron, take rings off."},
}

// inOneLine is the short form of the cautions, for builders who have read them.
const inOneLine = "Power off before you solder or cut. Fuse every feed. Mains work is for licensed people. Do not look into full white."

// besideWidth is the window width from which the prop is drawn beside the text.
const besideWidth = 110

// frontPage is the first page: the program, the cautions, and the prop in large letters
// and as a drawing, so that it can be recognised from two metres.
func (m Model) frontPage() string {
	width, p := m.width-2*edge, m.status.ready.Prop
	beside := p != nil && m.width >= besideWidth
	if beside {
		width = m.width/2 - edge
	}
	out := m.frontText(width)
	bench := m.onTheBench(width, m.body()-len(out))
	if drawn := m.benchAndProp(width, m.body()-len(out)); drawn != nil && !beside {
		bench = drawn
	}
	if len(fitted(slices.Concat(out, bench), m.body())) <= m.body() {
		out = append(out, bench...)
	}
	out = fitted(out, m.body())
	for i, l := range out {
		out[i] = strings.Repeat(" ", edge) + l
	}
	if beside {
		out = m.portrait.Beside(m.opt.Style, p, out, width+edge, m.width-edge, m.body())
	}
	return strings.Join(out, "\n")
}

// propWidth is the width of the prop beside its name: two groups of ten pixels and their number.
const propWidth = 26

// benchAndProp is the prop's name with the prop at its right; nil where one of them has no room.
func (m Model) benchAndProp(width, rows int) []string {
	const gap = 3
	left := width - propWidth - gap
	if left < m.width/2 {
		return nil
	}
	drawn := m.portrait.Lines(m.opt.Style, m.status.ready.Prop, propWidth, rows-1)
	if drawn == nil {
		return nil
	}
	return style.Beside(m.onTheBench(left, rows), append([]string{""}, drawn...), left+gap)
}

// frontText is the name of the program, or a reminder, and the cautions.
func (m Model) frontText(width int) []string {
	st := m.opt.Style
	out := []string{st.AccentSign().Render("ringout") + "  " + st.Quiet.Render(m.opt.Version), ""}
	if r := m.reminder(); r != "" {
		for _, l := range style.Wrap(r, width) {
			out = append(out, st.Warn.Render(l))
		}
	} else {
		out = append(out, style.Wrap("Light a strip, find the bad joint, before you close it up.", width)...)
	}
	out = append(out, "")
	if m.opt.Seen {
		return append(out, style.Wrap(inOneLine, width)...)
	}
	const heads = 10
	for _, c := range cautions {
		head := style.Cell(st.Strong.Render(c.what), heads)
		for _, l := range style.Wrap(c.text, width-heads) {
			out = append(out, head+l)
			head = strings.Repeat(" ", heads)
		}
		if m.body() > 20 {
			out = append(out, "")
		}
	}
	return out
}

// onTheBench is the prop's name in the largest letters that fit, and its address; only
// the name in capitals when rows are few.
func (m Model) onTheBench(width, rows int) []string {
	p := m.status.ready.Prop
	if p == nil {
		return nil
	}
	says := []string{words.Count(p.Pixels(), "pixel")}
	name := style.Clean(p.Name)
	if large := name + " simulated"; m.status.ready.Demo && digits.Reads(width, rows-3, large) {
		name = large
	} else if m.status.ready.Demo {
		says = append(says, "simulated")
	}
	says = append(says, fmt.Sprintf("sent to %s from universe %d slot %d on.", style.Clean(p.Address.HostName()), p.Address.Universe, p.Address.Slot+1))
	below := style.Wrap(words.Capital(strings.Join(says, ", ")), width)
	if rows -= len(below) + 2; rows < digits.Rows { // an empty row above and below the name
		return []string{"", m.opt.Style.Strong.Render(style.Cell(strings.ToUpper(m.propNames()[0]), width))}
	}
	out := []string{""}
	for _, l := range digits.Block(width, rows, name) {
		out = append(out, m.opt.Style.Strong.Render(l))
	}
	return append(append(out, ""), below...)
}

// fitted removes empty lines, the first ones first, until the rest fits, so that no
// caution is cut off.
func fitted(lines []string, rows int) []string {
	for len(lines) > rows {
		i := slices.Index(lines, "")
		if i < 0 {
			return lines
		}
		lines = slices.Delete(lines, i, i+1)
	}
	return lines
}
