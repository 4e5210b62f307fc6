package tui

import (
	"context"
	"errors"
	"net"
	"net/netip"
	"sync/atomic"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/testkit/lateness"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui/screen"
)

// watcher hears what is sent to a free port of 127.0.0.1, from its n-th try on.
type watcher struct {
	port   uint16
	taken  int32 // tries that fail
	tries  atomic.Int32
	events []link.Event
}

var errTaken = &link.PortError{Port: 5568, Err: errors.New("in use")}

func (w *watcher) Watch(ctx context.Context) (*link.Listener, error) {
	if w.tries.Add(1) <= w.taken {
		return nil, errTaken
	}
	return link.Listen(ctx, link.ListenConfig{Bind: netip.MustParseAddr("127.0.0.1"), Port: w.port, Every: 20 * time.Millisecond})
}

func (w *watcher) Ours() protocol.Ours {
	return protocol.Ours{CID: protocol.CID{1}, Priority: 100, Universes: []protocol.Universe{1}}
}
func (w *watcher) Events() []link.Event { return w.events }

// until takes news until they are as wanted.
func until(t *testing.T, sh Show, what string, ok func(traffic.News) bool) traffic.News {
	t.Helper()
	end := time.After(5 * time.Second)
	for {
		select {
		case n := <-sh.Traffic():
			if ok(n) {
				return n
			}
		case <-end:
			require.Fail(t, "no news: "+what)
		}
	}
}

// rival sends universe 1 at priority 150 to a port of 127.0.0.1.
func rival(t *testing.T, port uint16) (stop func()) {
	t.Helper()
	s, err := link.Open(link.Config{CID: protocol.CID{2}, Source: "Pier PC", Priority: 150, Unannounced: true,
		Targets: []link.Target{{Universe: 1, Host: "127.0.0.1", Port: port}}})
	require.NoError(t, err)
	s.Put([][]byte{{1, 2, 3}})
	return func() { s.Close(context.Background()) }
}

// free is a port of 127.0.0.1 that no program has.
func free(t *testing.T) uint16 {
	t.Helper()
	c, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	defer c.Close()
	return c.LocalAddr().(*net.UDPAddr).AddrPort().Port()
}

func TestWatchedTellsOfARival(t *testing.T) {
	defer goleak.VerifyNone(t, goleak.IgnoreCurrent())
	h := &hall{}
	inner, err := h.connect(t.Context(), prop.Porthole())
	require.NoError(t, err)
	w := &watcher{port: free(t), events: []link.Event{{Text: "quay0 went down"}}}
	sh := WithTraffic(inner, w)
	defer rival(t, w.port)()
	n := until(t, sh, "the rival", func(n traffic.News) bool { return len(n.Sentences) > 0 })
	assert.Contains(t, n.Sentences[0].Text, "'Pier PC' at 127.0.0.1 also drives universe 1 at priority 150")
	assert.Equal(t, "quay0 went down", n.Events[0].Text)
	sh.(screen.Listener).Want(7, 9) // while it listens
	require.NoError(t, sh.Close())
	sh.(screen.Listener).Want(7) // and when it does not
	for range sh.Traffic() {     // the newest may still be there; then it is closed
	}
	out, _ := h.last(t)
	assert.Equal(t, 1, out.ends(), "the show is closed once")
}

// Another program has the port: that is told, sending goes on, and listening
// begins once the port is free.
func TestWatchedTriesAgain(t *testing.T) {
	defer goleak.VerifyNone(t, goleak.IgnoreCurrent())
	h := &hall{}
	inner, err := h.connect(t.Context(), prop.Porthole())
	require.NoError(t, err)
	w := &watcher{port: free(t), taken: 2}
	sh := watch(inner, w, 20*time.Millisecond)
	n := until(t, sh, "trouble", func(n traffic.News) bool { return n.Trouble != nil })
	assert.ErrorIs(t, n.Trouble, errTaken)
	assert.Nil(t, n.Report)
	until(t, sh, "a report", func(n traffic.News) bool { return n.Report != nil && n.Trouble == nil })
	require.NoError(t, sh.Close())
}

func TestWatchedClosesWhileDeaf(t *testing.T) {
	late := lateness.Watch(t)
	defer goleak.VerifyNone(t, goleak.IgnoreCurrent())
	h := &hall{}
	inner, err := h.connect(t.Context(), prop.Porthole())
	require.NoError(t, err)
	sh := WithTraffic(inner, &watcher{taken: 1 << 30})
	began := time.Now()
	require.NoError(t, sh.Close())
	assert.Less(t, time.Since(began), time.Second+late.Total())
}

// Before a prop is connected, the Traffic page hears all the same; a prop that
// is connected takes over.
func TestTrafficIsHeardBeforeAPropIsConnected(t *testing.T) {
	defer goleak.VerifyNone(t, goleak.IgnoreCurrent())
	h := &hall{}
	w := &watcher{port: free(t)}
	st := newStage(t.Context(), h.connect)
	got := make(chan tea.Msg, 1000)
	st.send = func(m tea.Msg) { got <- m }
	require.Nil(t, st.Hear(), "nothing to listen with")
	st.listen = w.Watch
	stop := rival(t, w.port)
	defer stop()
	require.Nil(t, st.Hear())
	require.Nil(t, st.Hear(), "once")
	require.EqualValues(t, 1, w.tries.Load())
	for end := time.After(5 * time.Second); ; {
		select {
		case m := <-got:
			if n, ok := m.(screen.TrafficMsg); ok && len(n.Report.Sources) == 1 {
				require.Equal(t, "Pier PC", n.Report.Sources[0].Name)
				require.Nil(t, st.Use(prop.Porthole()))
				require.Nil(t, st.alone, "the prop's own show listens now")
				require.Nil(t, st.Hear())
				st.Close()
				st.relay.Wait()
				require.EqualValues(t, 1, w.tries.Load())
				return
			}
		case <-end:
			require.Fail(t, "nothing heard")
		}
	}
}

// Why nothing is heard is an answer too.
func TestHearSaysWhyNot(t *testing.T) {
	st := newStage(t.Context(), (&hall{}).connect)
	defer st.Close()
	st.listen = (&watcher{taken: 9}).Watch
	m := st.Hear().(screen.TrafficMsg)
	require.Equal(t, errTaken, m.Trouble)
	words := traffic.News(m).Words(nil)
	require.Equal(t, "Port 5568 is taken by another program on this machine, so nothing is heard here. Close that program: listening then starts by itself.", words[0].Text)
}
