package bench

import (
	"fmt"

	"github.com/charmbracelet/x/ansi"

	"example.org/ringout/internal/prop"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui/screen"
)

// status is what the line above the keys is made from.
type status struct {
	ready screen.ReadyMsg
	snap  screen.SnapshotMsg
	any   bool // a snapshot has come
}

// statusLine says how sending goes, where to, and what it draws.
func (m Model) statusLine() string {
	st := m.opt.Style
	switch {
	case m.leaving:
		return " " + st.Strong.Render("Going dark, then leaving.")
	case m.sure:
		return m.question()
	case m.trouble != "":
		return " " + st.Warn.Render("Trouble: ") + m.trouble
	case m.connecting:
		return " Connecting."
	case m.status.ready.Prop == nil:
		return " Nothing is connected: fill in " + m.screens[0].Name() + "."
	case !m.status.any:
		return " Nothing sent yet."
	}
	if m.status.snap.Want.Ended {
		return " " + st.Warn.Render("The stream has ended: nothing is sent until the next light.")
	}
	worst := screen.WorstLink(m.status.snap.Links)
	line := " " + screen.LinkWords(worst)
	if worst.State != link.Sending {
		line = " " + st.Warn.Render(screen.LinkWords(worst))
	}
	for _, says := range []func(short bool) string{m.amps, m.rate, m.address} {
		for _, short := range []bool{m.width < 80, true} {
			if with := line + " · " + says(short); ansi.StringWidth(with) < m.width {
				line = with
				break
			}
		}
	}
	return line
}

// question is asked once before what is not saved is left behind.
func (m Model) question() string {
	st := m.opt.Style
	for _, says := range []string{
		st.Warn.Render(m.unsaved()+" has changes that are not saved:") + " " + m.asked + " leaves them, another key stays.",
		st.Warn.Render("Not saved: "+m.unsaved()+".") + " " + m.asked + " again leaves it.",
	} {
		if ansi.StringWidth(says) < m.width {
			return " " + says
		}
	}
	return " " + m.asked + " again leaves " + st.Warn.Render("unsaved: "+m.unsaved()) // the key first: a name may be long
}

func (m Model) address(short bool) string {
	a := m.status.ready.Prop.Address
	first, last := a.Universe, a.Universe
	for _, l := range m.status.snap.Links {
		last = max(last, uint16(l.Target.Universe))
	}
	switch {
	case last != first && short:
		return fmt.Sprintf("U%d-%d S%d", first, last, a.Slot+1)
	case last != first:
		return fmt.Sprintf("universes %d to %d, from slot %d", first, last, a.Slot+1)
	case short:
		return prop.Place{Universe: first, Slot: a.Slot}.String()
	}
	return fmt.Sprintf("universe %d slot %d", first, a.Slot+1)
}

func (m Model) rate(short bool) string {
	sum := 0.0
	for _, l := range m.status.snap.Links {
		sum += l.Rate
	}
	if short {
		return fmt.Sprintf("%.0f/s", sum)
	}
	return fmt.Sprintf("%.0f packets/s", sum)
}

func (m Model) amps(short bool) string {
	s := m.status.snap
	about := "about "
	if short {
		about = "~"
	}
	text := about + fmt.Sprintf("%.2f A", s.Amps)
	if s.MaxAmps > 0 {
		text = about + fmt.Sprintf("%.2f of %.1f A", s.Amps, s.MaxAmps)
	}
	if s.Limited {
		text = m.opt.Style.Warn.Render("LIMITED ") + text
	}
	return text
}
