package bench

import (
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui/screen"
)

// drivenBy is what is heard of a source that drives the first slots of the prop's universe.
func drivenBy(p *prop.Prop, priority uint8, levels ...byte) screen.TrafficMsg {
	start := time.Date(2026, 11, 25, 19, 30, 0, 0, time.UTC)
	u := protocol.Universe(p.Address.Universe)
	tr := protocol.NewTracker()
	for i := range 60 {
		d := protocol.Data{CID: protocol.CID{7}, Source: protocol.NameOf("Pier PC"), Priority: priority, Sequence: uint8(i), Universe: u}
		d.SetLevels(levels)
		tr.Hear(protocol.Datagram{At: start.Add(time.Duration(i) * 25 * time.Millisecond), From: netip.MustParseAddrPort("10.0.0.7:5568"), Group: u.Group(), Octets: protocol.AppendData(nil, &d)})
	}
	now := start.Add(1500 * time.Millisecond)
	tr.Tick(now)
	return screen.TrafficMsg(traffic.Heard(tr.Report(now), protocol.Ours{CID: protocol.CID{1}, Priority: 100, Universes: []protocol.Universe{u}}))
}

// By hand: two pixels of 1 mA dark and 20 mA a channel. Ours, at 0, draw 2 mA; with three channels of the
// first at 255 and those of the second at 51 (a fifth) they draw 60 + 12 + 2 = 74 mA, nearly three times 25 mA.
func TestAmpsAreThoseOfWhoLightsTheProp(t *testing.T) {
	m, _, _ := setup(Options{})
	p := *prop.Pennant()
	p.Runs = []prop.Run{{Name: "pair", Pixels: 2}}
	p.Chip.Order, p.Chip.IdleAmps, p.Chip.ChannelAmps, p.Supply.Amps = "GRB", 0.001, 0.020, 10
	p.Parts = nil
	snap := screen.SnapshotMsg{Amps: 0.002, MaxAmps: 8, Sent: make(patterns.Frame, 2), Links: []link.Status{{State: link.Sending}}}
	levels := []byte{255, 255, 255, 51, 51, 51}
	m = feed(m, screen.ReadyMsg{Prop: &p}, snap)
	assert.Equal(t, "~0.00 of 8.0 A", m.amps(true))

	m = feed(m, drivenBy(&p, 150, levels...))
	assert.Equal(t, "~0.07 of 8.0 A by others", m.amps(true))
	assert.Equal(t, "about 0.07 A of 8.0 A (80 % of the supply's 10 A), lit by others", m.amps(false))
	snap.MaxAmps, snap.Limited = 0.025, true
	assert.Contains(t, feed(m, snap).amps(true), "OVER", "our limiter does not hold others")
	assert.NotContains(t, feed(m, snap).amps(true), "LIMITED")

	m = feed(m, drivenBy(&p, 150, levels[:3]...)) // its packets end before the second pixel: 60 + 2 = 62 mA
	assert.Equal(t, "~0.06 of 8.0 A by others", m.amps(true))
	m = feed(m, drivenBy(&p, 100, levels...)) // at our priority receivers may take the higher value
	assert.Equal(t, "~0.07 of 8.0 A with others", m.amps(true))
	assert.Equal(t, "about 0.07 A of 8.0 A (80 % of the supply's 10 A), lit by others too", m.amps(false))
	m = feed(m, drivenBy(&p, 50, levels...)) // below our priority
	assert.Equal(t, "~0.00 of 8.0 A", m.amps(true))
}
