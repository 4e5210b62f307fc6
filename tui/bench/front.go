package bench

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/style"
)

// cautions are the usual ones; they give way to local codes, the maker's
// instructions and licensed people. Flashing: WCAG 2.1, 2.3.1. The others are
// common practice.
var cautions = []struct{ what, text string }{
	{"Mains", "cord, terminals and box of a supply are work for licensed people, by local codes."},
	{"Fuse", "every feed at the supply, no larger than its wire carries."},
	{"Joints", "power off before you solder or cut; minus first, plus last."},
	{"Eyes", "do not look into a strip at full white: start low, look at a wall."},
	{"Flashing", "light that flashes more than three times a second can set off seizures."},
	{"Heat", "irons, glue, shorted 5 V wires burn: stand the iron, take rings off."},
}

// inOneLine is what stands there once they were read.
const inOneLine = "Mains: licensed people. Fuse every feed. Power off to solder or cut. Eyes off full white."

// frontPage is the first thing seen.
func (m Model) frontPage() string {
	st := m.opt.Style
	width := min(m.width-4, 76)
	var out []string
	add := func(indent string, text string) {
		for _, l := range style.Wrap(text, width-len(indent)) {
			out = append(out, "  "+indent+l)
		}
	}
	out = append(out, "  "+st.Accent.Render("ringout")+"  "+st.Quiet.Render(m.opt.Version), "")
	if r := m.reminder(); r != "" {
		for _, l := range style.Wrap(r, width) {
			out = append(out, "  "+st.Warn.Render(l))
		}
	} else {
		add("", "Light a strip, find the bad joint, before you close it up.")
	}
	out = append(out, "")
	if m.opt.Seen {
		add("", inOneLine)
		out = append(out, m.onTheBench(m.body()-len(out))...)
		return strings.Join(m.withProp(fitted(out, m.body())), "\n")
	}
	for _, c := range cautions {
		lines := style.Wrap(c.text, width-10)
		out = append(out, "  "+st.Strong.Render(c.what)+strings.Repeat(" ", 10-len(c.what))+lines[0])
		for _, l := range lines[1:] {
			out = append(out, "  "+strings.Repeat(" ", 10)+l)
		}
		if m.body() > 20 {
			out = append(out, "")
		}
	}
	out = append(out, m.onTheBench(m.body()-len(out)-1)...)
	return strings.Join(m.withProp(fitted(out, m.body())), "\n")
}

// onTheBench names the prop in large letters, so that one sees from afar whether it
// is the right one; nothing where there are no rows to spare.
func (m Model) onTheBench(rows int) []string {
	p := m.status.ready.Prop
	if p == nil || rows < digits.Rows+4 {
		return nil
	}
	name := m.propNames()[0]
	out := []string{"", ""}
	for _, l := range digits.Large(m.width-2*edge, max(digits.Rows, min(rows/4, 4*digits.Rows)), name, style.Clean(p.Name)) {
		out = append(out, strings.Repeat(" ", edge)+m.opt.Style.Strong.Render(l))
	}
	host, to := style.Clean(p.Address.HostName()), prop.Place{Universe: p.Address.Universe, Slot: p.Address.Slot}
	for _, l := range style.Wrap(fmt.Sprintf("%s, sent to %s from %s on.", words.Count(p.Pixels(), "pixel"), host, to), m.width-2*edge) {
		out = append(out, "", strings.Repeat(" ", edge)+l)
	}
	return out
}

// withProp draws the prop in the rows that are left below, where its shape can be seen.
func (m Model) withProp(lines []string) []string {
	const least = 12
	rows := m.body() - len(lines) - 1
	if rows < least {
		return lines
	}
	lines = append(lines, "")
	for _, l := range m.portrait.Lines(m.opt.Style, m.status.ready.Prop, m.width-2*edge, rows) {
		lines = append(lines, strings.Repeat(" ", edge)+l)
	}
	return lines
}

// fitted takes empty lines out, the first of them first, until the rest fits:
// no caution may be cut off.
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
