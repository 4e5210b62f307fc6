package check

import (
	"errors"
	"net/netip"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
	"example.org/ringout/protocol"
	"example.org/ringout/tui/screen"
)

// A finding of light that comes and goes lists what makes it so, and says what
// the traffic tells of a second source. Other findings do not.
func TestFlickerListsItsCauses(t *testing.T) {
	p := prop.Porthole()
	e := begin(t, Options{}, p, "", faultOf(t, p, "flicker pixel 37"))
	e.press("1")
	e.through()
	text := e.findings()
	assert.Contains(t, text, "What makes light come and go")
	for _, want := range []string{"loose joint or feed", "Grounds that are not joined", "long data lead", "weak supply",
		"5. A second source on the universe: not checked, since nothing has been listened to yet."} {
		assert.Contains(t, text, want)
	}
	other := begin(t, Options{}, p, "", faultOf(t, p, "open-joint pixel 37"))
	other.press("1")
	other.through()
	assert.NotContains(t, other.findings(), "come and go")
}

func TestSecondSource(t *testing.T) {
	p := prop.Porthole()
	ours := protocol.Ours{CID: protocol.CID{1}, Universes: []protocol.Universe{1}}
	live := protocol.SourceReport{CID: protocol.CID{2}, Name: "Pier\x1b PC", From: netip.MustParseAddrPort("192.0.2.7:5568"),
		Streams: []protocol.StreamReport{{Universe: 1, State: protocol.Live}}}
	gone := live
	gone.Streams = []protocol.StreamReport{{Universe: 1, State: protocol.Lost}}
	says := protocol.SourceReport{CID: protocol.CID{3}, Listed: []protocol.Universe{1}}
	heard := func(s ...protocol.SourceReport) screen.TrafficMsg {
		return screen.TrafficMsg{Report: &protocol.Report{Sources: s}, Ours: ours}
	}
	for _, row := range []struct {
		news  []screen.TrafficMsg
		group bool // sent by multicast
		want  string
	}{
		{nil, false, "not checked, since nothing has been listened to yet."},
		{[]screen.TrafficMsg{{Trouble: errors.New("taken"), Ours: ours}}, false, "not checked, since nothing can listen here."},
		{[]screen.TrafficMsg{heard()}, true, "checked, and none is heard on universe 1."},
		{[]screen.TrafficMsg{heard()}, false, "none is heard on universe 1. What is sent straight to 127.0.0.1 does not pass by"},
		{[]screen.TrafficMsg{heard(live)}, true, "checked, and there is one: Pier PC at 192.0.2.7 drives universe 1 too."},
		{[]screen.TrafficMsg{heard(live), heard(gone)}, true, "checked, and Pier PC drove universe 1 during this check-out."},
		{[]screen.TrafficMsg{heard(says)}, true, "checked, and a source without a name says that it sends to universe 1 too."},
	} {
		q := *p
		if row.group {
			q.Address.Host = ""
		}
		e := begin(t, Options{}, &q, "")
		e.press("1")
		for _, n := range row.news {
			e.feed(n)
		}
		assert.Contains(t, secondSource(e.m), row.want)
		e.press("x")
		e.press("1")
		if len(row.news) == 2 {
			assert.Contains(t, secondSource(e.m), "none is heard", "a new check-out begins again")
		}
	}
}
