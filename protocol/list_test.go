package protocol

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// A list comes every 10 s (clause 12): one that is heard again counts once, also
// page by page, so that its source never fills the room for lists by itself.
func TestAListHeardAgainCountsOnce(t *testing.T) {
	trk, s := &Tracker{}, &source{}
	page := func(number uint8, us ...Universe) *Discovery {
		d := &Discovery{Page: number, Last: 1}
		d.SetList(us)
		return d
	}
	now := time.Unix(1000, 0)
	for range 3 {
		require.True(t, trk.takePage(s, now, page(0, 1, 2, 3)))
		require.True(t, trk.takePage(s, now, page(1, 4, 5)))
		require.Equal(t, 5, trk.listed)
		now = now.Add(10 * time.Second)
	}
	require.True(t, trk.takePage(s, now, page(1, 4)))
	require.Equal(t, 4, trk.listed, "a universe was left out")
}

// Slot priorities end 2.5 s after the last packet of START code 0xdd, as all else
// that falls silent (6.7.1).
func TestSlotPrioritiesEndAtTheVeryMoment(t *testing.T) {
	at := time.Unix(1000, 0)
	a := &account{slotPriority: new([MaxSlots]byte), slotHeard: at}
	require.False(t, a.tick(at.Add(LossTimeout-1), nil))
	require.NotNil(t, a.slotPriority)
	require.True(t, a.tick(at.Add(LossTimeout), nil))
	require.Nil(t, a.slotPriority)
}
