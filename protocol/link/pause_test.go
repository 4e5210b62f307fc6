package link

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// A pause is black, three packets with bit 6 of the options set
// (ANSI E1.31-2018 6.2.6), and then nothing at all, although the keep-alive of
// 6.6.2 would be due; what was put meanwhile goes out after it.
func TestPause(t *testing.T) {
	t.Parallel()
	r := receive(t, "127.0.0.1:0")
	s := open(t, config(to(r, 1)))
	s.Put([][]byte{{200}})
	require.Equal(t, byte(200), r.next(t).b[octetSlots])
	r.settle(t, s)
	s.Pause(true)
	list := r.termination(t, 1, 0)
	if list[0].b[octetSlots] == 200 {
		list = list[1:] // a keep-alive, when the machine is busy
	}
	require.Len(t, list, 4)
	require.False(t, list[0].ended())
	for i, p := range list {
		require.Zero(t, p.b[octetSlots], "black")
		require.Equal(t, i > 0, p.ended())
		require.Equal(t, list[0].seq()+byte(i), p.seq(), "numbers go on (6.2.5)")
	}
	s.Put([][]byte{{77}})
	s.Pause(true) // once more is no more
	require.Empty(t, r.during(1200*time.Millisecond))
	require.Empty(t, (&announcer{Sender: s}).universes(), "nor is it announced")
	s.Pause(false)
	p := r.next(t)
	require.Equal(t, byte(77), p.b[octetSlots])
	require.False(t, p.ended())
	require.Equal(t, list[3].seq()+1, p.seq())
}

// paused is a sender that was heard and has just been told to pause.
func paused(t *testing.T) (*receiver, *Sender) {
	t.Helper()
	r := receive(t, "127.0.0.1:0")
	s, err := Open(config(to(r, 1)))
	require.NoError(t, err)
	s.Put([][]byte{{200}})
	r.next(t)
	s.Pause(true)
	return r, s
}

// Leaving in a pause tells the end only once.
func TestCloseWhilePaused(t *testing.T) {
	t.Parallel()
	r, s := paused(t)
	r.termination(t, 1, 0)
	require.NoError(t, shut(t, s))
	require.Empty(t, r.during(150*time.Millisecond))
}

// Close right behind Pause still sends black and the end.
func TestCloseRightAfterPause(t *testing.T) {
	t.Parallel()
	r, s := paused(t)
	require.NoError(t, shut(t, s))
	list := r.termination(t, 1, 0)
	require.GreaterOrEqual(t, len(list), 4)
	list = list[len(list)-4:]
	require.Zero(t, list[0].b[octetSlots])
	for i, p := range list {
		require.Equal(t, i > 0, p.ended())
	}
}
