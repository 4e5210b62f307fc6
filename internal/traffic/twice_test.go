package traffic

import (
	"encoding/json"
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/protocol"
)

// The sequence numbers of two senders with one CID (against 5.6) interleave and give no
// loss, order or duplicates, so no figure is shown. A single sender has all figures.
func TestFiguresOfOneCIDUsedTwice(t *testing.T) {
	for name, second := range map[string]bool{"twice": true, "once": false} {
		t.Run(name, func(t *testing.T) {
			tr := protocol.NewTracker()
			at := evening
			say := func(from, name string, seq uint8) {
				d := protocol.Data{CID: protocol.CID{2}, Source: protocol.NameOf(name), Priority: 100, Sequence: seq, Universe: 3}
				d.SetLevels([]byte{1, 2, 3})
				tr.Hear(protocol.Datagram{At: at, From: netip.MustParseAddrPort(from), Octets: protocol.AppendData(nil, &d)})
			}
			for i := range 100 {
				at = at.Add(25 * time.Millisecond)
				say("10.0.0.7:5568", "Pier PC", uint8(i))
				if second {
					say("10.0.0.8:5568", "Shed PC", uint8(i+100))
				}
			}
			r := tr.Report(at)
			s := Summarise(r, protocol.Ours{}, 0, 3)
			require.Len(t, s.Streams, 1)
			row := `100 +40\.0 +0 % +0 +0\.0 ms  live`
			if second {
				row = `100 +80\.\d +– +– +–  live`
			}
			assert.Regexp(t, row, s.Text())
			raw, err := json.Marshal(s.Streams[0])
			require.NoError(t, err)
			var got map[string]any
			require.NoError(t, json.Unmarshal(raw, &got))
			for _, k := range []string{"loss", "doubled", "missing", "twice", "late", "jitter_ms"} {
				if second {
					assert.NotContains(t, got, k)
				} else {
					assert.Contains(t, got, k)
				}
			}
			assert.Equal(t, !second, Sources(r, protocol.Ours{})[0].Judged)
		})
	}
}
