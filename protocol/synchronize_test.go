package protocol

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func (p *player) syncTo(address Universe, sequence uint8) bool {
	return p.b.rx.HearSync(p.b.now, Sync{CID: p.d.CID, Sequence: sequence, Address: address})
}

// 6.2.4.1, 11.1.1: data acts at once until the first synchronization packet,
// then waits for the next.
func TestSyncBeginsWithItsFirstPacket(t *testing.T) {
	b := newBench(t)
	one := b.source(1, 100)
	one.d.SyncAddress = 7962
	require.Equal(t, Acted, one.send(10))
	b.levels(10)
	require.True(t, one.syncTo(7962, 0))
	require.Equal(t, Held, one.send(20))
	require.True(t, b.rx.Output(1).Held)
	b.levels(10)
	require.Equal(t, Held, one.send(30)) // the newest waits
	require.True(t, one.syncTo(7962, 1))
	require.Equal(t, []Universe{1}, b.rx.Changed())
	b.levels(30)
	require.False(t, b.rx.Output(1).Held)
}

// 6.2.4: another address is another synchronization.
func TestSyncOfAnotherAddress(t *testing.T) {
	b := newBench(t)
	one := b.source(1, 100)
	one.d.SyncAddress = 7962
	one.syncTo(7962, 0)
	one.send(10)
	one.syncTo(7961, 0)
	require.False(t, b.rx.Output(1).Driven())
	one.syncTo(7962, 1)
	b.levels(10)
}

// 6.2.4.1: address 0 drops what waits and acts on its own packet.
func TestSyncAddressZero(t *testing.T) {
	b := newBench(t)
	one := b.source(1, 100)
	one.d.SyncAddress = 7962
	one.syncTo(7962, 0)
	one.send(10)
	one.d.SyncAddress = 0
	require.Equal(t, Acted, one.send(20))
	b.levels(20)
	one.syncTo(7962, 1)
	b.levels(20)
}

// 11.1.2, 6.2.6: 2.5 s without a synchronization packet freezes the look when
// Force_Synchronization is clear, until synchronization comes back.
func TestSyncLostFreezes(t *testing.T) {
	b := newBench(t)
	one := b.source(1, 100)
	one.d.SyncAddress = 7962
	one.syncTo(7962, 0)
	one.send(10)
	one.syncTo(7962, 1)
	for i := range byte(4) {
		b.wait(time.Second)
		require.Equal(t, Held, one.send(20+i))
	}
	b.levels(10)
	require.True(t, b.rx.Output(1).Frozen)
	one.syncTo(7962, 2)
	b.levels(23)
	require.False(t, b.rx.Output(1).Frozen)
}

// 6.2.6: with Force_Synchronization set it runs on unsynchronised.
func TestSyncLostRunsOnWhenForced(t *testing.T) {
	b := newBench(t)
	one := b.source(1, 100)
	one.d.SyncAddress, one.d.Options = 7962, ForceSync
	one.syncTo(7962, 0)
	one.send(10)
	one.syncTo(7962, 1)
	b.wait(time.Second)
	require.Equal(t, Held, one.send(20))
	b.wait(time.Second)
	one.send(21)
	b.levels(10)
	b.wait(600 * time.Millisecond) // 2.6 s since the last one
	b.levels(21)
	require.Equal(t, Acted, one.send(22))
	b.levels(22)
}

// 6.7.2, 6.3.2: synchronization packets have their own sequence.
func TestSyncSequence(t *testing.T) {
	b := newBench(t)
	one := b.source(1, 100)
	one.d.SyncAddress, one.d.Sequence = 7962, 200
	require.True(t, one.syncTo(7962, 5))
	one.send(10)
	require.False(t, one.syncTo(7962, 5))
	require.False(t, one.syncTo(7962, 4))
	require.False(t, b.rx.Output(1).Driven())
	require.True(t, one.syncTo(7962, 6))
	b.levels(10)
}

// 6.2.4.1, 6.2.6, 6.2.3: of a packet that waits for synchronization only the slots wait;
// whether its source is for live output, and its priority, count at once.
func TestOptionsAndPriorityDoNotWait(t *testing.T) {
	b := newBench(t)
	one, other := b.source(1, 100), b.source(2, 50)
	other.send(5)
	one.d.SyncAddress = 7962
	require.Equal(t, Acted, one.send(10))
	b.levels(10)
	one.syncTo(7962, 0)
	require.Equal(t, Held, one.send(20))
	b.levels(10)
	require.Empty(t, b.rx.Changed(), "nothing that shows")
	one.d.Options = Preview
	require.Equal(t, Held, one.send(30))
	require.Equal(t, []Universe{1}, b.rx.Changed())
	b.levels(5)
	one.d.Options = 0
	require.Equal(t, Held, one.send(40))
	require.Equal(t, []Universe{1}, b.rx.Changed())
	b.levels(10)
	one.d.Priority = 49
	require.Equal(t, Held, one.send(50))
	require.Equal(t, []Universe{1}, b.rx.Changed())
	b.levels(5)
}
