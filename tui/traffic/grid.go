package traffic

import (
	"fmt"
	"strconv"
	"strings"

	"example.org/ringout/protocol"
	"example.org/ringout/tui/style"
)

// A notation is how levels are written.
type notation uint8

const (
	hex     notation = iota // two digits, 00 to ff
	percent                 // 0 to 100
	decimal                 // 0 to 255
	notations
)

func (n notation) String() string {
	return [...]string{"hex", "percent", "0 to 255"}[n]
}

// width is digits, then the mark of who drives the slot.
func (n notation) width() int {
	if n == hex {
		return 3
	}
	return 4
}

// texts of every level, written once.
var texts [notations][256]string

func init() {
	for v := range 256 {
		texts[hex][v] = fmt.Sprintf("%02x", v)
		texts[decimal][v] = fmt.Sprintf("%3d", v)
		texts[percent][v] = fmt.Sprintf("%3d", (v*100+127)/255)
	}
	texts[percent][1] = " <1" // 0.4 % is light too
	texts[hex][0], texts[percent][0], texts[decimal][0] = " ·", "  ·", "  ·"
}

// perRow are the slots of a row: twelves hold whole pixels of three slots and
// of four. The narrowest pages have room for half of one.
func perRow(width int, n notation) int {
	for _, per := range []int{48, 36, 24, 12} {
		if rowWidth(per, n) <= width {
			return per
		}
	}
	return 6
}

func rowWidth(per int, n notation) int { return 6 + per*n.width() + max(0, per/12-1) }

// gridLines are the ruler and the rows, as many as hold what is driven.
func (m Model) gridLines(l *look, width int) []string {
	per := perRow(width, m.number)
	lines := []string{m.style.Quiet.Render(ruler(per, m.number))}
	var b strings.Builder
	for first := 0; first < l.count; first += per {
		b.Reset()
		fmt.Fprintf(&b, " %4d ", first+1)
		for i := first; i < min(first+per, l.count); i++ {
			if i > first && (i-first)%12 == 0 {
				b.WriteByte(' ')
			}
			b.WriteString(cell(l, i, m.number))
		}
		lines = append(lines, b.String())
	}
	return lines
}

func cell(l *look, i int, n notation) string {
	if l.marks[i] == 0 {
		return strings.Repeat(" ", n.width())
	}
	return texts[n][l.values[i]] + string(l.marks[i])
}

// ruler says how far from the row's first slot each sixth column is.
func ruler(per int, n notation) string {
	var b strings.Builder
	b.WriteString(" slot ")
	for i := range per {
		if i > 0 && i%12 == 0 {
			b.WriteByte(' ')
		}
		t := ""
		if i%6 == 0 {
			t = "+" + strconv.Itoa(i)
		}
		b.WriteString(style.Cell(t, n.width()))
	}
	return strings.TrimRight(b.String(), " ")
}

// caption names the universe and what is odd about it.
func (m Model) caption(l *look) string {
	if l.universe == 0 {
		return " " + m.style.Strong.Render("No universe to show yet")
	}
	text := " " + m.style.Strong.Render(fmt.Sprintf("Universe %d", l.universe)) + ", " + m.number.String()
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
		if protocol.Universe(v) == u && i >= m.patch.Idle() {
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
