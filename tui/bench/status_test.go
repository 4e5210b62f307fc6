package bench

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui/screen"
)

func TestStatusSaysThatTheStreamHasEnded(t *testing.T) {
	m, _, _ := setup(Options{})
	m = feed(m, enter, screen.ReadyMsg{Prop: prop.BuoyLamp()}, screen.SnapshotMsg{Want: show.Want{Ended: true}})
	assert.Contains(t, m.View(), "The stream has ended")
	m = feed(m, screen.SnapshotMsg{})
	assert.NotContains(t, m.View(), "The stream has ended")
}

// at is a snapshot of two universes that have sent so many packets after so long.
func at(after time.Duration, packets uint64) screen.SnapshotMsg {
	return screen.SnapshotMsg{At: time.Unix(100, 0).Add(after), Links: []link.Status{
		{State: link.Sending, Packets: packets / 2}, {State: link.Sending, Packets: packets - packets/2}}}
}

// By hand: the rate is that of the last four seconds. Two universes that stand
// still are repeated once or twice a second each, which is steady; 80 packets in
// four seconds are 20 a second. A new stream begins to count again.
func TestRateIsAveraged(t *testing.T) {
	m, _, _ := setup(Options{})
	m = feed(m, screen.ReadyMsg{Prop: prop.Pennant()}, at(0, 10))
	assert.Empty(t, m.rate(false), "one look says nothing")
	m = feed(m, at(100*time.Millisecond, 10), at(time.Second, 12), at(2*time.Second, 14), at(3*time.Second, 16))
	assert.Equal(t, "steady", m.rate(false))
	for i := range 8 {
		m = feed(m, at(time.Duration(4+i)*time.Second, uint64(16+20*(i+1))))
	}
	assert.Equal(t, "20 packets/s", m.rate(false))
	assert.Equal(t, "20 packets/s", m.rate(true))
	m = feed(m, at(20*time.Second, 3))
	assert.Empty(t, m.rate(false))
}

// By hand: 80 % of a plate of 20 A is 16 A.
func TestAmpsBesideThePlateAndTheShare(t *testing.T) {
	m, _, _ := setup(Options{})
	p := *prop.Pennant()
	p.Supply.Amps = 20
	m = feed(m, screen.ReadyMsg{Prop: &p}, screen.SnapshotMsg{Amps: 1.234, MaxAmps: 16})
	assert.Equal(t, "about 1.2 A of 16.0 A (80 % of the supply's 20 A)", m.amps(false))
	assert.Equal(t, "~1.2 of 16.0 A", m.amps(true))
}
