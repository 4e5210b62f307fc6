package check

import (
	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/underway"
)

// network is what is known of the way to the prop: how sending fares, and
// whether somebody else drives the same universes.
func (m Model) network() checkout.Network {
	return underway.NetworkOf(m.prop, m.snap.Links, m.news)
}

// rival names another source that is live on a universe of ours; empty for
// none.
func (m Model) rival() string { return underway.Rival(m.news) }

// trouble is what spoils a look at the prop, in one line; empty for nothing.
// How sending fares is in the bench's own line below.
func (m Model) trouble() string {
	if r := m.rival(); r != "" {
		return "Another source drives this universe: " + r + ". What you see may be its light."
	}
	return ""
}
