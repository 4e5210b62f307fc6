package power

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// Where plus stays apart the ground goes on, and carries what the thin feed of one run does
// not: of 7.1 A of a run on 8 m of 22 AWG, 5.4 A come back by a lead of 28 AWG, 1.4 A in free
// air, and the 12 AWG of the run before. By an independent solution of the nodes the first
// feed's minus carries 5.866 A, of which its own ten pixels draw 0.471 A.
func TestTheGroundOfRunsApartIsHeldAgainstItsLead(t *testing.T) {
	p := prop.Porthole()
	p.Chip, _ = prop.ChipByName("WS2815")
	p.LeadWire, p.RailOhms, p.Supply = prop.Wire{AWG: 28}, 0.1, prop.Supply{Volts: 12, Amps: 20}
	p.Runs = p.Runs[:2]
	p.Runs[0] = prop.Run{Name: "left", Pixels: 10}
	p.Runs[1] = prop.Run{Name: "right", Pixels: 150, Apart: true, LeadIn: 0.2}
	p.Parts = nil
	p.Feeds = []prop.Feed{
		{Pixel: 9, WireMetre: 0.5, Wire: prop.Wire{AWG: 12}, FuseAmps: 10},
		{Pixel: 159, WireMetre: 8, Wire: prop.Wire{AWG: 22}, FuseAmps: 5},
	}
	r := planned(t, p, 1)
	require.Len(t, r.Joints, 1)
	assert.InDelta(t, 5.866-0.471, r.Joints[0].Amps, 0.01)
	assert.Equal(t, Bad, r.Joints[0].Lead)
	assert.Contains(t, strings.Join(r.Findings, "\n"), `5.4 A pass between "left" and "right" in the ground wire alone. That is more than the lead of 28 AWG should carry even in free air: power off, then bring in a feed there, or use a thicker lead.`)
	p.Feeds = append(p.Feeds, prop.Feed{Pixel: 10, WireMetre: 0.5, Wire: prop.Wire{AWG: 12}, FuseAmps: 10})
	assert.Less(t, planned(t, p, 1).Joints[0].Amps, 1.4, "with the feed that is proposed")
}
