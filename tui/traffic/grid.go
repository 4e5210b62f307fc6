package traffic

import (
	"fmt"
	"strings"
	"sync"

	"example.org/ringout/protocol"
)

// A notation is how levels are written.
type notation uint8

const (
	decimal notation = iota // 0 to 255, as a prop file has colours
	percent                 // 0 to 100
	hex                     // two digits, 00 to ff
	notations
)

func (n notation) String() string { return [...]string{"0 to 255", "percent", "hex"}[n] }

// width is digits, then the mark of who drives the slot.
func (n notation) width() int {
	if n == hex {
		return 3
	}
	return 4
}

// texts of every level, written once.
var texts = sync.OnceValue(func() (texts *[notations][256]string) {
	texts = new([notations][256]string)
	for v := range 256 {
		texts[hex][v] = fmt.Sprintf("%02x", v)
		texts[decimal][v] = fmt.Sprintf("%3d", v)
		texts[percent][v] = fmt.Sprintf("%3d", (v*100+127)/255)
	}
	texts[percent][1] = " <1" // 0.4 % is light too
	texts[hex][0], texts[percent][0], texts[decimal][0] = " ·", "  ·", "  ·"
	return texts
})

// A group is slots of a universe that stand together in the grid: those of one
// pixel, or ten that drive none of ours.
type group struct {
	first, n int // slots from 0
	pixel    int // from 0; -1 for none
}

// strays is how many slots that drive no pixel stand together.
const strays = 10

// groups lays a universe out by pixels, up to the last slot that someone drives.
func (m Model) groups(l *look) []group {
	var out []group
	for at := 0; at < l.count; {
		g := group{at, 1, m.pixelAt(l.universe, at)}
		for g.first+g.n < l.count && m.pixelAt(l.universe, g.first+g.n) == g.pixel && (g.pixel >= 0 || g.n < strays) {
			g.n++
		}
		out = append(out, g)
		at += g.n
	}
	return out
}

// pixelAt is the pixel that a slot drives, from 0; -1 for none.
func (m Model) pixelAt(u protocol.Universe, slot int) int {
	if m.patch == nil {
		return -1
	}
	pixel, _, ok := m.patch.Find(propPlace(u, slot))
	if !ok {
		return -1
	}
	return pixel
}

// labelCells is the room for "pixel 1234" before a row and " slot 512" in it.
const labelCells = 21

// gridLines are the rows, as many as hold what is driven: each begins with its
// first pixel and slot, and holds as many whole pixels as fit, five or ten where
// they do.
func (m Model) gridLines(l *look, width int) []string {
	groups := m.groups(l)
	lines := []string{m.style.Quiet.Render(fmt.Sprintf(" %-11s %-8s levels, %s", "pixel", "slot", m.number))}
	for i := 0; i < len(groups); {
		per := m.perRow(groups[i].n, width)
		var b strings.Builder
		name := "none"
		if groups[i].pixel >= 0 {
			name = fmt.Sprint(groups[i].pixel + 1)
		}
		fmt.Fprintf(&b, " %-11s %-7d", name, groups[i].first+1)
		pixel := groups[i].pixel >= 0
		for n := 0; n < per && i < len(groups) && (groups[i].pixel >= 0) == pixel; n, i = n+1, i+1 {
			b.WriteByte(' ')
			for s := range groups[i].n {
				b.WriteString(cell(l, groups[i].first+s, m.number))
			}
		}
		lines = append(lines, strings.TrimRight(b.String(), " "))
	}
	return lines
}

// perRow is how many groups of n slots stand in a row.
func (m Model) perRow(n, width int) int {
	fit := (width - labelCells) / (n*m.number.width() + 1)
	for _, round := range []int{10, 5} {
		if fit >= round {
			return round
		}
	}
	return max(1, fit)
}

func cell(l *look, i int, n notation) string {
	if l.marks[i] == 0 {
		return strings.Repeat(" ", n.width())
	}
	return texts()[n][l.values[i]] + string(l.marks[i])
}

// caption names the universe and what is odd about it.
func (m Model) caption(l *look) string {
	if l.universe == 0 {
		return " " + m.style.Strong.Render("No universe to show yet")
	}
	text := " " + m.style.Strong.Render(fmt.Sprintf("Universe %d", l.universe))
	if i := index(m.universes, l.universe); i > 0 && len(m.universes) > 1 {
		text += fmt.Sprintf(", %d of %d", i, len(m.universes))
	}
	switch {
	case l.state != "":
		text += ": " + l.state
	case l.count == 0:
		text += ": nobody drives it"
	}
	if n := m.propSlots(l.universe); n != "" {
		text += "; " + n
	}
	if m.held {
		text += "  " + m.style.Warn.Render("HELD: space goes on")
	}
	return text
}

// propSlots says which slots of a universe the prop takes.
func (m Model) propSlots(u protocol.Universe) string {
	if m.patch == nil {
		return ""
	}
	for i, v := range m.patch.Universes() {
		if protocol.Universe(v) == u && m.patch.Used(i) > 0 {
			first := 1
			if i == 0 {
				first = m.prop.Address.Slot + 1
			}
			return fmt.Sprintf("your prop: %d to %d", first, m.patch.Used(i))
		}
	}
	return ""
}

func index(us []protocol.Universe, u protocol.Universe) int {
	for i := range us {
		if us[i] == u {
			return i + 1
		}
	}
	return 0
}
