package traffic

import (
	"encoding/json"
	"net/netip"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/protocol"
)

var evening = time.Date(2026, 11, 25, 19, 30, 0, 0, time.UTC)

// heard is the report of 2.5 s of two sources on universe 3. Every fifth packet of the
// rival is missing.
func heard(t *testing.T, rival string) *protocol.Report {
	t.Helper()
	tr := protocol.NewTracker()
	at := evening
	say := func(name string, cid byte, priority, seq uint8, from string) {
		d := protocol.Data{CID: protocol.CID{cid}, Source: protocol.NameOf(name), Priority: priority, Sequence: seq, Universe: 3}
		d.SetLevels([]byte{cid, 0, seq})
		tr.Hear(protocol.Datagram{At: at, From: netip.MustParseAddrPort(from), Octets: protocol.AppendData(nil, &d)})
	}
	for i := range 100 {
		at = at.Add(25 * time.Millisecond)
		say("bench", 1, 100, uint8(i), "10.0.0.2:5000")
		if i%5 != 4 {
			say(rival, 2, 150, uint8(i), "10.0.0.7:5568")
		}
	}
	return tr.Report(at)
}

func TestSummary(t *testing.T) {
	r := heard(t, "Pier PC")
	s := Summarise(r, protocol.Ours{CID: protocol.CID{1}, Priority: 100, Universes: []protocol.Universe{3}}, 2, 3)
	require.Len(t, s.Streams, 2)
	pier, bench := s.Streams[0], s.Streams[1]
	assert.Equal(t, "Pier PC", pier.Source)
	assert.True(t, pier.Wins, "priority 150 wins over 100 (6.2.3)")
	assert.False(t, bench.Wins)
	assert.InDelta(t, 0.2, *pier.Loss, 0.03, "every fifth packet is missing")
	assert.Zero(t, *bench.Loss)
	assert.InDelta(t, 40, bench.Rate, 2, "one packet each 25 ms")
	assert.Equal(t, []int{2, 0, 98}, s.Slots, "the winner's levels")

	text := s.Text()
	assert.Contains(t, text, "180 packets heard, 2 more lost by this machine")
	assert.Contains(t, text, "live, followed")
	assert.Contains(t, text, "live, not followed")
	assert.Contains(t, text, "'Pier PC' at 10.0.0.7 also drives universe 3 at priority 150")

	raw, err := json.Marshal(s)
	require.NoError(t, err)
	assert.Contains(t, string(raw), `"wins":true`)
}

func TestNamesCannotSteerTheTerminal(t *testing.T) {
	text := Summarise(heard(t, "\x1b[2J\u202eevil\x07"), protocol.Ours{}, 0, 0).Text()
	for _, bad := range []string{"\x1b", "\x07", "\u202e"} {
		assert.NotContains(t, text, bad)
	}
}

func TestNobodySends(t *testing.T) {
	r := protocol.NewTracker().Report(evening)
	s := Summarise(r, protocol.Ours{}, 0, 3)
	assert.Contains(t, s.Text(), "no data is heard")
	raw, err := json.Marshal(s)
	require.NoError(t, err)
	assert.Contains(t, string(raw), `"streams":[],"announced":[]`)
	assert.False(t, strings.Contains(string(raw), "null"))
}
