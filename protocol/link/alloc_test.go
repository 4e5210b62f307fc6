//go:build linux && !portable && !race

package link

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/protocol"
)

// The sender's loop allocates nothing once it runs.
func TestSendingAllocatesNothing(t *testing.T) {
	s := still(t, drain(t), 32)
	slots := make([][]byte, 32)
	for i := range slots {
		slots[i] = make([]byte, 512)
	}
	now := time.Now()
	allocs := testing.AllocsPerRun(200, func() {
		for u := range slots {
			slots[u][0]++
		}
		now = now.Add(protocol.MinPeriod)
		s.Put(slots)
		s.take()
		s.tick(now)
	})
	require.Less(t, allocs, 1.0)
	require.Equal(t, uint64(201), s.Status()[31].Packets)
}
