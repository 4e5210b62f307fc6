package bench

import (
	"fmt"
	"slices"
	"time"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// status is the data of the status line.
type status struct {
	ready screen.ReadyMsg
	snap  screen.SnapshotMsg
	any   bool // a snapshot has arrived
	sent  []sample
	news  traffic.News
	lit   litByOthers
}

// A sample is the number of packets sent up to a time.
type sample struct {
	at      time.Time
	packets uint64
}

// The rate is averaged over averaged; samples lie at least sampled apart.
const (
	averaged = 4 * time.Second
	sampled  = 500 * time.Millisecond
)

// after is the status after a snapshot.
func (s status) after(msg screen.SnapshotMsg) status {
	s.snap, s.any = msg, true
	now := sample{at: msg.At}
	for _, l := range msg.Links {
		now.packets += l.Packets
	}
	last := len(s.sent) - 1
	switch {
	case last >= 0 && now.packets < s.sent[last].packets:
		s.sent = nil // the stream was restarted
	case last >= 0 && now.at.Sub(s.sent[last].at) < sampled:
		return s
	}
	from := 0
	for from < len(s.sent) && now.at.Sub(s.sent[from].at) > averaged {
		from++
	}
	s.sent = append(slices.Clone(s.sent[from:]), now)
	return s
}

// perSecond is the mean number of packets sent a second; false until enough time has
// passed.
func (s status) perSecond() (rate float64, known bool) {
	if len(s.sent) < 2 {
		return 0, false
	}
	a, b := s.sent[0], s.sent[len(s.sent)-1]
	return float64(b.packets-a.packets) / b.at.Sub(a.at).Seconds(), true
}

// statusLine is the state of the sending, its target, and the current.
func (m Model) statusLine() string {
	st := m.opt.Style
	switch {
	case m.leaving:
		return "  " + st.Strong.Render("Going dark, then leaving.")
	case m.sure:
		return m.question()
	case m.trouble != "":
		return "  " + st.Warn.Render("TROUBLE:") + " " + m.trouble
	case m.connecting:
		return "  Connecting."
	case m.status.ready.Prop == nil:
		return "  Nothing is connected." // the page says what to do
	case !m.status.any:
		return "  Nothing sent yet."
	}
	if m.status.snap.Want.Ended {
		return "  " + st.Warn.Render("The stream has ended: nothing is sent until the next light.")
	}
	if m.noListener() {
		return "  " + st.Warn.Render("No prop listens at "+style.Clean(m.status.ready.Prop.Address.Host)+".") + m.offer()
	}
	worst := screen.WorstLink(m.status.snap.Links)
	line := screen.LinkLine(worst, m.width-edge-2)
	if worst.State != link.Sending {
		line = st.Warn.Render(line)
	}
	line = "  " + line
	for parts := []func(short bool) string{m.amps, m.address, m.rate}; len(parts) > 0; parts = parts[:len(parts)-1] {
		for _, short := range []bool{false, true} {
			if all := with(line, parts, short); style.Width(all) <= m.width-edge {
				return all
			}
		}
	}
	if all := line + " · " + m.bareAmps(); style.Width(all) <= m.width-edge {
		return all
	}
	return line
}

// with is a line with parts appended, in their short or long form.
func with(line string, parts []func(short bool) string, short bool) string {
	for _, says := range parts {
		if text := says(short); text != "" {
			line += " · " + text
		}
	}
	return line
}

// question is the question before unsaved changes are lost.
func (m Model) question() string {
	st := m.opt.Style
	for _, says := range []string{
		st.Warn.Render(m.unsaved()+" has unsaved changes:") + " " + st.Accent.Render(m.asked) + " loses them.",
		st.Warn.Render("Not saved: "+m.unsaved()+".") + " " + st.Accent.Render(m.asked) + " again loses it.",
	} {
		if style.Width(says) < m.width-edge {
			return "  " + says
		}
	}
	return "  " + st.Accent.Render(m.asked) + " again loses " + st.Warn.Render("unsaved: "+m.unsaved()) // the key first: a name may be long
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

// rate is the rate of packets in words: "steady" for a still picture, which is repeated
// about once a second.
func (m Model) rate(bool) string {
	sum, known := m.status.perSecond()
	switch {
	case !known:
		return ""
	case sum < changing*float64(len(m.status.snap.Links)):
		return "steady"
	}
	return fmt.Sprintf("%.0f packets/s", sum)
}

// changing is the rate, packets a second and universe, from which the light counts as
// moving: still light is repeated less often (ANSI E1.31-2018 6.6.2).
const changing = 2.5
