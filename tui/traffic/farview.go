package traffic

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/traffic"
	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/protocol"
	"example.org/ringout/tui/digits"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/style"
)

// FarView names the sources that light the prop, or what to do about them on the page that says it.
func (m Model) FarView() screen.FarView {
	if m.prop == nil {
		return screen.FarView{Texts: []string{"No prop yet", "No prop"}}
	}
	if do := m.remedies(); m.part == sentences && do != nil {
		return screen.FarView{Texts: do, Bad: m.alarming()}
	}
	return screen.FarView{Texts: m.sourcesText(), Bad: m.alarming()}
}

// sourcesText names the sources that light the prop, in ever fewer words.
func (m Model) sourcesText() (texts []string) {
	say := func(text string) { texts = append(texts, strings.TrimSuffix(text, ".")) }
	l := m.light
	another := len(l.Pixels) > 0 && l.Pixels[0].From >= 0 && l.Count(l.Pixels[0].From) == len(l.Pixels) // one alone
	if !another {                                                                                       // else the short words say it all, and are larger
		say(m.lightWords(m.farNames, false))
	}
	say(m.lightWords(m.farNames, true))
	if another {
		say("Lit by " + m.farNames(l.Sources))
	}
	say(m.lightWords(others, true))
	return slices.Compact(texts)
}

// A naming makes the names of sources.
type naming func([]protocol.CID) string

// farNames are the sources by name only: quotes and addresses are too small to be read from
// afar.
func (m Model) farNames(list []protocol.CID) string {
	if len(list) == 1 {
		if s := m.news.Report.Source(list[0]); s != nil && s.Name != "" {
			return digits.Whole(style.Clean(strings.Trim(advice.Quoted(s.Name), "'")))
		}
	}
	return others(list)
}

func others(list []protocol.CID) string {
	if len(list) == 1 {
		return "another"
	}
	return "others"
}

// sourceNames are the sources that light something, by name and address.
func (m Model) sourceNames(list []protocol.CID) string {
	if len(list) != 1 {
		return fmt.Sprintf("%d others", len(list))
	}
	if s := m.news.Report.Source(list[0]); s != nil {
		return advice.Called(s)
	}
	return "another source"
}

// sourceAddresses are these sources by address only.
func (m Model) sourceAddresses(list []protocol.CID) string {
	if len(list) == 1 {
		if s := m.news.Report.Source(list[0]); s != nil {
			return traffic.Address(s)
		}
	}
	return m.sourceNames(list)
}

// lightWords are texts of the sources that light the prop; short leaves out our own part.
func (m Model) lightWords(name naming, short bool) string {
	l := m.light
	n := len(l.Pixels)
	mine, none, merged := l.Count(traffic.You), l.Count(traffic.No), l.Count(traffic.Merged)
	theirs := n - mine - none - merged
	either := func(long, brief string) string {
		if short {
			return brief
		}
		return long
	}
	switch {
	case none == n:
		return either("No source lights your prop.", "Lit by no source.")
	case mine == n && m.unreached():
		return either("You send, but it does not reach your prop.", "Not reached.")
	case mine == n && !m.heard: // others may light it too
		return "You send."
	case mine == n:
		return "Lit by you."
	case theirs == n:
		return either(fmt.Sprintf("Your prop is lit by %s, not by you.", name(l.Sources)), fmt.Sprintf("Lit by %s, not by you.", name(l.Sources)))
	case theirs > 0 && mine > 0 && !short:
		return fmt.Sprintf("%d of your %d pixels are lit by %s, %d by you.", theirs, n, name(l.Sources), mine)
	case theirs > 0:
		return fmt.Sprintf("%d of %d pixels lit by %s.", theirs, n, name(l.Sources))
	case merged > 0:
		return either(fmt.Sprintf("You and others send %d of your %d pixels at one priority.", merged, n), "Two at one priority.")
	}
	return either(fmt.Sprintf("%d of your %d pixels are lit by no source.", none, n), fmt.Sprintf("%d pixels lit by no source.", none))
}

// unreached reports whether no host receives our packets.
func (m Model) unreached() bool {
	hosts := traffic.Hosts(m.snap.Links)
	return len(hosts) > 0 && !slices.ContainsFunc(hosts, func(h traffic.Host) bool { return h.Worst.State.OK() })
}
