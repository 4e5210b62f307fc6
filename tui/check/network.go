package check

import (
	"slices"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/protocol"
	"example.org/ringout/tui/style"
)

// network is what is known of the way to the prop: how sending fares, and
// whether somebody else drives the same universes.
func (m Model) network() checkout.Network {
	n := m.way // a host that refuses does so now and then, not at every packet
	n.Rival = m.rival()
	return n
}

// rival names another source that is live on a universe of ours; empty for
// none.
func (m Model) rival() string {
	if m.news.Report == nil {
		return ""
	}
	ours := m.news.Ours
	for _, s := range m.news.Report.Sources {
		if s.CID == ours.CID {
			continue
		}
		for _, st := range s.Streams {
			if st.State == protocol.Live && !st.Preview && slices.Contains(ours.Universes, st.Universe) {
				return nameOf(s)
			}
		}
	}
	return ""
}

func nameOf(s protocol.SourceReport) string {
	if n := style.Clean(s.Name); n != "" {
		return n
	}
	return "a source without a name at " + s.From.Addr().String()
}

// trouble is what spoils a look at the prop, in one line; empty for nothing.
// How sending fares is in the bench's own line below.
func (m Model) trouble() string {
	if r := m.rival(); r != "" {
		return "Another source drives this universe: " + r + ". What you see may be its light."
	}
	return ""
}
