package link

import (
	"context"
	"net/netip"
	"testing"

	"github.com/stretchr/testify/require"
)

// A fault of ours in the goroutine that sends turns off what it lit: here the
// packet of universe 2 is missing.
func TestAFaultOfTheSenderEndsDark(t *testing.T) {
	r := receive(t, "127.0.0.1:0")
	cfg := config(to(r, 1), to(r, 2))
	require.NoError(t, cfg.check())
	s := newSender(cfg)
	s.streams[1].packet = nil
	s.start()
	s.Put([][]byte{{255}})
	r.next(t)
	s.Put([][]byte{{255}, {255}})
	list := r.termination(t, 1, 0)
	for _, p := range list[len(list)-3:] {
		require.True(t, p.ended())
		require.Zero(t, p.b[octetSlots])
	}
	eventually(t, patience, "the fault is said", func() bool { return s.Status()[0].State == Failed })
	require.Contains(t, s.Status()[0].Sentence(), "met a fault of its own")
	require.NoError(t, s.Close(context.Background()), "universe 2 was never sent")
}

// One in the goroutine that looks after a socket leaves the others alone.
func TestAFaultOfAResolver(t *testing.T) {
	r := receive(t, "127.0.0.1:0")
	cfg := config(to(r, 1), Target{Universe: 2, Host: "lamp.example"})
	cfg.Lookup = func(context.Context, string) ([]netip.Addr, error) { panic("no luck") }
	s := open(t, cfg)
	s.Put([][]byte{{255}, {255}})
	r.next(t)
	eventually(t, patience, "the fault is said", func() bool { return s.Status()[1].State == Failed })
	require.Contains(t, s.Status()[1].Sentence(), "no luck")
	require.NoError(t, shut(t, s))
	r.termination(t, 1, 0)
}
