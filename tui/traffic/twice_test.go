package traffic

import (
	"slices"
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/protocol"
	"example.org/ringout/tui/screen"
)

// Where one CID is used twice, no page gives a figure of the way.
func TestOneCIDUsedTwiceHasNoFigures(t *testing.T) {
	pier := talker{cid: 2, name: "Pier PC", from: "10.0.0.7:5568", priority: 100, universes: []protocol.Universe{1}, levels: ramp(12, 3)}
	shed := pier
	shed.name, shed.from = "Shed PC", "10.0.0.8:5568"
	for _, second := range []bool{false, true} {
		talkers := []talker{pier}
		if second {
			talkers = append(talkers, shed)
		}
		news := evenings(talkers...)
		m := open(termenv.Ascii, screen.TrafficMsg(news))
		i := slices.IndexFunc(m.rows, func(r row) bool { return r.source != nil })
		require.GreaterOrEqual(t, i, 0)
		r := m.rows[i]
		details := streamDetails(&r.source.Streams[0], news.Report.At)
		if !second {
			assert.NotContains(t, r.text, "lost")
			assert.Contains(t, details, "none missing")
			continue
		}
		assert.Contains(t, r.text, "Two senders use one CID, so what is lost is not known")
		assert.Contains(t, details, "do not tell what is lost, late or twice")
		assert.NotContains(t, details, "missing")
	}
}
