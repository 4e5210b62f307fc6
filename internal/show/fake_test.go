package show_test

import (
	"context"
	"errors"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/protocol/link"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

// put is one call of Output.Put.
type put struct {
	at    time.Duration // since the fake was made
	slots [][]byte
}

// fake is an Output that records every call.
type fake struct {
	mu     sync.Mutex
	start  time.Time
	puts   []put
	closed int
	fail   error
	hang   bool // Close waits for its context
}

func newFake() *fake { return &fake{start: time.Now()} }

func (f *fake) Put(slots [][]byte) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.closed > 0 {
		panic("Put after Close")
	}
	p := put{at: time.Since(f.start)}
	for _, s := range slots {
		p.slots = append(p.slots, slices.Clone(s))
	}
	f.puts = append(f.puts, p)
}

func (f *fake) Status() []link.Status {
	f.mu.Lock()
	defer f.mu.Unlock()
	return []link.Status{{Packets: uint64(len(f.puts))}}
}

func (f *fake) Close(ctx context.Context) error {
	f.mu.Lock()
	f.closed++
	hang := f.hang
	f.mu.Unlock()
	if hang {
		<-ctx.Done()
		return errors.New("the output did not close in time")
	}
	return f.fail
}

func (f *fake) all() []put {
	f.mu.Lock()
	defer f.mu.Unlock()
	return slices.Clone(f.puts)
}

func (f *fake) last() []byte {
	f.mu.Lock()
	defer f.mu.Unlock()
	if len(f.puts) == 0 {
		return nil
	}
	return f.puts[len(f.puts)-1].slots[0]
}

// strip is a prop of n pixels with a supply that is never short.
func strip(n int) *prop.Prop {
	return &prop.Prop{Name: "Pennant",
		Chip:   prop.Chip{Name: "WS2812B", Order: "GRB", IdleAmps: 0.001, ChannelAmps: 0.02},
		Runs:   []prop.Run{{Name: "edge", Pixels: n}},
		Supply: prop.Supply{Volts: 5, Amps: float64(n)}, Address: prop.Address{Universe: 1}}
}

// bench is a show inside a bubble of synctest, where time advances only when all
// goroutines sleep.
type bench struct {
	*show.Show
	out  *fake
	stop context.CancelFunc
	done chan error
}

func inBubble(t *testing.T, c show.Config, do func(b *bench)) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		b := &bench{out: newFake(), done: make(chan error, 1)}
		c.Out = b.out
		s, err := show.New(c)
		require.NoError(t, err)
		b.Show = s
		var ctx context.Context
		ctx, b.stop = context.WithCancel(t.Context())
		defer b.stop()
		go func() { b.done <- s.Run(ctx) }()
		synctest.Wait()
		do(b)
		b.stop()
		synctest.Wait()
	})
}

// snap is the newest snapshot.
func (b *bench) snap() show.Snapshot {
	time.Sleep(40 * time.Millisecond) // past the least time between two
	synctest.Wait()
	var last show.Snapshot
	select {
	case last = <-b.Snapshots():
	default:
	}
	return last
}
