package traffic

import (
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
		rows := m.makeRows()
		require.NotNil(t, rows)
		var r *row
		for i := range rows {
			if rows[i].source != nil {
				r = &rows[i]
			}
		}
		require.NotNil(t, r)
		got := []string{r.loss, r.twice, r.late, r.jitter}
		st := &r.source.Streams[0]
		if !second {
			assert.Equal(t, []string{"0 %", "0", "0", "0.0 ms"}, got)
			assert.Contains(t, streamDetails(st, news.Report.At), "0 missing")
			assert.Contains(t, m.standing(r.source, st, 0), "0 % lost")
			continue
		}
		assert.Equal(t, []string{"–", "–", "–", "–"}, got)
		assert.Contains(t, streamDetails(st, news.Report.At), "do not tell what is lost, late or twice")
		assert.NotContains(t, streamDetails(st, news.Report.At), "missing")
		assert.Contains(t, m.standing(r.source, st, 0), "one CID used twice")
		assert.NotContains(t, m.standing(r.source, st, 0), "lost")
	}
}
