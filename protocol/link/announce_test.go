package link

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/protocol"
)

// When an announcer sends, and when it looks again: every 10 s, and once more within
// them when the list has changed (ANSI E1.31-2018 4.3, 12.1).
func TestWhenUniversesAreAnnounced(t *testing.T) {
	const interval = protocol.DiscoveryInterval
	began := time.Now()
	s := unstarted(t, Target{Universe: 1, Host: "127.0.0.1"}, Target{Universe: 2, Host: "127.0.0.1"})
	a := announcer{Sender: s}
	at := func(after time.Duration) time.Duration { return a.announce(context.Background(), began.Add(after)) }

	require.Equal(t, interval, at(0), "nothing is lit")
	s.streams[0].packets.Store(1)
	require.Equal(t, maintainEvery, at(0), "no way is known yet")
	require.Nil(t, a.list)
	s.hosts[0].via = Interface{Name: "lo", Index: 1, Loopback: true}
	require.Equal(t, interval, at(time.Second))
	require.Equal(t, []protocol.Universe{1}, a.list)
	require.Equal(t, interval-time.Second, at(2*time.Second), "the same list again")
	require.False(t, a.extra)
	s.streams[1].packets.Store(1)
	require.Equal(t, interval-2*time.Second, at(3*time.Second), "another list, once more")
	require.Equal(t, []protocol.Universe{1, 2}, a.list)
	require.True(t, a.extra)
	s.streams[0].packets.Store(0)
	require.Equal(t, interval-3*time.Second, at(4*time.Second))
	require.Equal(t, []protocol.Universe{1, 2}, a.list, "not a third time within an interval")
	require.Equal(t, interval, at(time.Second+interval), "in time")
	require.Equal(t, []protocol.Universe{2}, a.list)
	require.False(t, a.extra)
}

// The announcer is woken when more or fewer universes are lit, and by nothing else.
func TestTheAnnouncerIsWokenByAChange(t *testing.T) {
	now := time.Now()
	s := unstarted(t, Target{Universe: 1, Host: "127.0.0.1"})
	woken := func() bool {
		now = now.Add(maintainEvery)
		s.maintain(now)
		select {
		case <-s.announce:
			return true
		default:
			return false
		}
	}
	s.maintain(now)
	require.False(t, woken())
	s.streams[0].packets.Add(22)
	require.True(t, woken())
	require.InDelta(t, 44, s.Status()[0].Rate, 0.1)
	require.False(t, woken())
	s.silent.Store(true)
	require.True(t, woken(), "paused")
	s.silent.Store(false)
	require.True(t, woken())
	next := s.maintain(now.Add(time.Millisecond))
	require.Equal(t, now.Add(maintainEvery+maintainWait), next, "not before it is time")
}

// unstarted is a sender whose goroutines do not run.
func unstarted(t *testing.T, targets ...Target) *Sender {
	s := newSender(config(targets...))
	t.Cleanup(func() { s.alarm.close(); s.changes.close() })
	return s
}
