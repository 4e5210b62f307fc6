//go:build unix

package tui

import (
	"context"
	"io"
	"os"
	"slices"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/testkit/lateness"
)

// Over a line of 1 MB a second, as over SSH, a key reaches the wire in good
// time although the drawing changes all the while.
func TestKeysOnASlowTerminal(t *testing.T) {
	if os.Getenv("RINGOUT_LONG") != "1" {
		t.Skip("takes 2 s: set RINGOUT_LONG=1")
	}
	d, h := newDesk(t), &hall{looks: make(chan strip.Look)}
	require.NoError(t, pty.Setsize(d.master, &pty.Winsize{Rows: 40, Cols: 120}))
	t.Setenv("COLORTERM", "truecolor")
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	go func() { // 1 MB a second
		b := make([]byte, 1000)
		for tick := time.NewTicker(time.Millisecond); ; <-tick.C {
			if _, err := d.master.Read(b); err != nil {
				return
			}
		}
	}()
	done := d.run(t, ctx, h, false)
	w, p := h.last(t)
	go flood(ctx, h.looks, p)
	io.WriteString(d.master, "3")
	var took []time.Duration
	late := lateness.Watch(t)
	for range 60 {
		before := w.count()
		time.Sleep(30 * time.Millisecond)
		require.Equal(t, before, w.count(), "still")
		began := time.Now()
		io.WriteString(d.master, "\x1b[C")
		soon(t, func() bool { return w.count() > before }, "key on the wire")
		took = append(took, time.Since(began))
	}
	slices.Sort(took)
	t.Logf("key to wire: median %v, 95 of 100 %v, worst %v", took[30], took[57], took[59])
	assert.Less(t, took[57], 60*time.Millisecond+late.Worst())
	stop()
	ended(t, done)
}

// flood changes every pixel of the simulated strip as often as it is looked at.
func flood(ctx context.Context, to chan<- strip.Look, p *prop.Prop) {
	s, _ := strip.New(p)
	for n := 0; ; n++ {
		f := make([]byte, 3*p.Pixels())
		for i := range f {
			f[i] = byte(i*37 + n*11)
		}
		select {
		case <-ctx.Done():
			return
		case to <- strip.Look{Light: s.Light([][]byte{f}), Serial: uint64(n + 1), Driven: true}:
		}
	}
}
