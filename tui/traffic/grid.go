package traffic

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.org/ringout/internal/traffic"
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

// A look is the slots of one universe, and who drives each.
type look struct {
	universe protocol.Universe
	values   [protocol.MaxSlots]byte
	marks    [protocol.MaxSlots]byte // sign; a space for the main source, 0 where nobody drives
	count    int                     // slots up to the last one driven
	legend   []string                // who is who
	state    string                  // what is odd about it
}

// look takes the universe shown: what is heard on it or, when nothing is, what
// we send ourselves.
func (m Model) look() look {
	l := look{universe: m.at()}
	if m.news.Report != nil {
		if u := m.news.Report.Universe(l.universe); u != nil {
			m.heardLook(&l, &u.Output)
		}
		m.addStandings(&l)
	}
	if l.count == 0 {
		m.sentLook(&l)
	}
	return l
}

func (m Model) heardLook(l *look, o *protocol.Output) {
	l.values, l.count = o.Slots, o.Count
	most := mainOwner(o)
	for i, who := range o.Owner[:o.Count] {
		switch {
		case who == protocol.Nobody:
		case who == most:
			l.marks[i] = ' '
		default:
			l.marks[i] = mark(who, most)
		}
	}
	switch {
	case o.Frozen:
		l.state = "stands still: synchronization was lost"
	case o.Held:
		l.state = "acts on synchronization"
	case o.Lost:
		l.state = "nobody drives it: the last source fell silent"
	}
}

// mainOwner is the source that drives most slots; its slots get no mark.
func mainOwner(o *protocol.Output) int8 {
	var counts [128]int
	best := int8(0)
	for _, who := range o.Owner {
		if who >= 0 {
			if counts[who]++; counts[who] > counts[best] {
				best = who
			}
		}
	}
	return best
}

// marks stand behind the levels of the sources beside the main one, in the
// order of their arrival. They are no digits, so that they read beside hex.
const marks = "*+~^#=&"

func mark(who, main int8) byte {
	if who > main {
		who--
	}
	return marks[min(int(who), len(marks)-1)]
}

// addStandings names each source on the universe: the one that drives most
// slots first, then the others that drive some.
func (m Model) addStandings(l *look) {
	r := m.news.Report
	u := r.Universe(l.universe)
	type entry struct {
		slots int
		text  string
	}
	var list []entry
	for i := range r.Sources {
		s := &r.Sources[i]
		if st := s.Stream(l.universe); st != nil {
			n, sign := driven(u, l, s.CID)
			list = append(list, entry{n, style.Clean(fmt.Sprintf("%c %s", sign, m.standing(s, st, n)))})
		}
	}
	slices.SortStableFunc(list, func(a, b entry) int { return cmp.Compare(b.slots, a.slots) })
	for _, e := range list {
		l.legend = append(l.legend, e.text)
	}
}

// standing is one source on the universe shown, which drives n slots of it.
func (m Model) standing(s *protocol.SourceReport, st *protocol.StreamReport, n int) string {
	name := called(s.Name)
	if s.CID == m.news.Ours.CID && s.CID != (protocol.CID{}) {
		name = "you"
	}
	if a := traffic.Address(s); a != "" {
		name += ", " + a
	}
	switch {
	case st.State != protocol.Live:
		return name + ": " + traffic.Ago(st, m.news.Report.At)
	case st.Preview:
		return name + ": preview only"
	}
	f := traffic.Follow(m.news.Report, s.CID, st.Universe)
	text := fmt.Sprintf("%s: priority %d, %s", name, st.Priority, f)
	if n > 0 {
		text += fmt.Sprintf(", %d slots", n)
	}
	return text + fmt.Sprintf(", %.1f/s, %s lost, jitter %s", st.Rate, percentage(st.Loss), millis(st.Jitter))
}

// driven counts the slots of a source and finds its sign: a minus when it
// drives none.
func driven(u *protocol.UniverseReport, l *look, c protocol.CID) (n int, sign byte) {
	sign = '-'
	if u == nil {
		return 0, sign
	}
	for i, who := range u.Output.Owner[:u.Output.Count] {
		if who >= 0 && u.Output.Sources[who] == c {
			n++
			sign = l.marks[i]
		}
	}
	return n, sign
}

// sentLook takes what we send on the universe ourselves.
func (m Model) sentLook(l *look) {
	if m.patch == nil || !m.any || len(m.snap.Sent) != m.patch.Pixels() {
		return
	}
	for i, u := range m.patch.Universes() {
		if protocol.Universe(u) != l.universe {
			continue
		}
		slots := m.patch.Buffers()
		m.patch.Fill(slots, m.snap.Sent)
		l.count = copy(l.values[:], slots[i])
		for j := range l.count {
			l.marks[j] = ' '
		}
		l.state = "as you send it, not heard here"
	}
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
		if protocol.Universe(v) == u {
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
