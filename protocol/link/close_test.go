package link

import (
	"context"
	"encoding/binary"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/testkit/lateness"
	"example.org/ringout/protocol"
)

// Close may be called by several goroutines at once, with a context that has ended
// already: everything still goes out, and at once.
func TestCloseInAHurry(t *testing.T) {
	r := receive(t, "127.0.0.1:0")
	s := open(t, config(to(r, 1)))
	s.Put([][]byte{{255}})
	r.next(t)
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	began, late := time.Now(), lateness.Watch(t)
	var all sync.WaitGroup
	for range 5 {
		all.Go(func() { require.NoError(t, s.Close(ended)) })
	}
	all.Wait()
	require.Less(t, time.Since(began), 50*time.Millisecond+late.Total())
	s.Put([][]byte{{9}}) // does no harm
	s.Status()
	list := r.termination(t, 1, 0)
	list = list[len(list)-4:]
	require.Equal(t, byte(0), list[0].b[octetSlots])
	for _, p := range list[1:] {
		require.True(t, p.ended())
	}
}

// Put just before Close: black is the last light, never the values put.
func TestCloseRightAfterPut(t *testing.T) {
	for range 50 {
		r := receive(t, "127.0.0.1:0")
		s, err := Open(config(to(r, 1)))
		require.NoError(t, err)
		s.Put([][]byte{{255}})
		require.NoError(t, shut(t, s))
		var lit byte
		for range s.Status()[0].Packets { // none, when it was closed before the first
			if p := r.next(t); !p.ended() {
				lit = p.b[octetSlots]
			}
		}
		require.Zero(t, lit)
	}
}

// Data that names a synchronization address is followed by synchronization
// packets with numbers of their own (6.3.2), after the data of all hosts.
func TestSyncFollowsTheDataOfAllHosts(t *testing.T) {
	t.Parallel()
	r := receive(t, "127.0.0.1:0")
	cfg := config(to(r, 1), Target{Universe: 2, Host: "127.0.0.1", Port: r.port(), Interface: "lo"}, to(r, 3))
	cfg.Sync = 500
	s := open(t, cfg)
	s.Put([][]byte{{0}, {0}, {0}})
	eventually(t, patience, "both sockets are open", func() bool {
		for _, st := range s.Status() {
			if st.Packets == 0 {
				return false
			}
		}
		return true
	})
	r.settle(t, s)
	s.Put([][]byte{{1}, {2}, {3}})
	var kinds []byte
	var syncs []byte
	for range 3 * 5 { // a keep-alive before them looks the same
		p := r.next(t)
		if binary.BigEndian.Uint32(p.b[18:]) == 8 { // root vector: extended
			kinds = append(kinds, 's')
			syncs = append(syncs, p.b[44])
			require.Equal(t, uint16(500), binary.BigEndian.Uint16(p.b[45:]))
		} else {
			kinds = append(kinds, 'd')
			require.Equal(t, uint16(500), binary.BigEndian.Uint16(p.b[octetSync:]))
		}
	}
	require.Empty(t, r.during(3*protocol.MinPeriod), "three times and no more")
	// The two hosts are two sockets, and each gets the packet.
	require.Equal(t, "dddssdddssdddss", string(kinds))
	first := syncs[0]
	require.Equal(t, []byte{first, first, first + 1, first + 1, first + 2, first + 2}, syncs)
}

// After a sleep of the machine every socket is opened again, and the numbers
// go on.
func TestAwoke(t *testing.T) {
	t.Parallel()
	r := receive(t, "127.0.0.1:0")
	s := open(t, config(to(r, 1)))
	s.Put([][]byte{{1}})
	for range 3 {
		r.next(t)
	}
	late := lateness.Watch(t)
	s.redialAfterSleep(3 * time.Hour)
	began := time.Now()
	p := r.next(t)
	require.Equal(t, byte(3), p.seq())
	require.Less(t, time.Since(began), 500*time.Millisecond+late.Total(), "not only by the next keep-alive")
	require.Contains(t, s.Events()[0].Text, "the clock went on by 3h0m0s while nothing ran, as after the machine's sleep")
	require.Equal(t, time.Hour, clockGap(began, began.Add(time.Hour+maintainEvery)))
}
