package underway

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/protocol"
)

// Our own unicast packets that come back mean that no prop has them, unless they are
// copies that a prop on this machine forwards.
func TestWhatComesBackAndWhatIsHandedOn(t *testing.T) {
	p := prop.Porthole()
	p.Address.Host = "127.0.0.1"
	for _, copied := range []bool{false, true} {
		ours := protocol.Ours{CID: protocol.CID{1}, Priority: 100, Universes: []protocol.Universe{1}}
		r := &protocol.Report{Sources: []protocol.SourceReport{{CID: ours.CID, Streams: []protocol.StreamReport{{Universe: 1, Copied: copied}}}}}
		require.Equal(t, !copied, NetworkOf(p, nil, traffic.News{Report: r, Ours: ours}).Refused)
	}
}
