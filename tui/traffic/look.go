package traffic

import (
	"cmp"
	"fmt"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/sorting"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/internal/words"
	"example.org/ringout/protocol"
	"example.org/ringout/tui/style"
)

// A look is the slots of one universe and the source of each.
type look struct {
	universe protocol.Universe
	values   [protocol.MaxSlots]byte
	marks    [protocol.MaxSlots]byte // sign; a space for the main source, 0 where no one drives
	count    int                     // slots up to the last one driven
	legend   []string                // the sources with their marks
	state    string                  // what is unusual about the universe
}

// look is the universe shown: the levels heard or, when none are, those that we send.
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
		case who == protocol.NoOwner:
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
		l.state = "no source drives it: the last source fell silent"
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

// marks are the signs after levels of sources other than the main one, in order of arrival.
// They are not digits, which would be read as part of the level.
const marks = "*+~^#=&"

func mark(who, main int8) byte {
	if who > main {
		who--
	}
	return marks[min(int(who), len(marks)-1)]
}

// addStandings adds each source on the universe to the legend: the one that drives most slots
// first, then the others.
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
			text := m.standing(s, st, n)
			if sign != ' ' && sign != '-' {
				text = fmt.Sprintf("%c after the value: %s", sign, text)
			}
			list = append(list, entry{n, style.Clean(text)})
		}
	}
	sorting.Stable(list, func(a, b entry) int { return cmp.Compare(b.slots, a.slots) })
	for _, e := range list {
		l.legend = append(l.legend, e.text)
	}
}

// standing is one source on the universe shown, which drives n slots of it.
func (m Model) standing(s *protocol.SourceReport, st *protocol.StreamReport, n int) string {
	name := advice.Capital(advice.Called(s))
	if s.CID == m.news.Ours.CID && s.CID != (protocol.CID{}) {
		name = "You"
	}
	switch {
	case st.State != protocol.Live:
		return fmt.Sprintf("%s: %s", name, traffic.Ago(st, m.news.Report.At))
	case st.Preview:
		return name + ": preview only"
	case n > 0:
		return fmt.Sprintf("%s: %s at priority %d, %s", name, words.Count(n, "slot"), st.Priority, traffic.Follow(m.news.Report, s.CID, st.Universe))
	}
	return fmt.Sprintf("%s: priority %d, not followed", name, st.Priority)
}

// driven is the number of slots that a source drives, and its sign: a minus for none.
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

// sentLook sets the look to the levels that we send on the universe.
func (m Model) sentLook(l *look) {
	if m.patch == nil || !m.any || len(m.snap.Sent) != m.patch.Pixels() {
		return
	}
	for i, u := range m.patch.Universes() {
		if protocol.Universe(u) != l.universe || i < m.patch.Idle() {
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

// propPlace is a slot, from 0, of a universe as a prop.Place.
func propPlace(u protocol.Universe, slot int) prop.Place {
	return prop.Place{Universe: uint16(u), Slot: slot}
}
