package link

import (
	"os"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/protocol"
)

// A soak: 100 universes sent and tracked while rivals come and go. Goroutines
// and memory stay flat, and nothing of ours is lost. RINGOUT_SOAK says how long
// (10m for the whole); with RINGOUT_LONG=1 it takes ten seconds.
func TestSoak(t *testing.T) {
	lasts := 10 * time.Second
	if v := os.Getenv("RINGOUT_SOAK"); v != "" {
		var err error
		lasts, err = time.ParseDuration(v)
		require.NoError(t, err, "RINGOUT_SOAK is a time such as 10m")
	} else {
		long(t)
	}
	l, port := hearAt(t, "127.0.0.1")
	cfg := config()
	for u := 1; u <= 100; u++ {
		cfg.Targets = append(cfg.Targets, universeAt(u, "127.0.0.1", port))
	}
	s := open(t, cfg)
	stop := make(chan struct{})
	sent := make(chan int)
	go func() { sent <- drive(s, 100, stop) }()

	round := func(n int) {
		rival := config(universeAt(1+n%100, "127.0.0.1", port), universeAt(1+(n*7)%99, "127.0.0.1", port+uint16(n%2)))
		if rival.Targets[0] == rival.Targets[1] {
			rival.Targets = rival.Targets[:1]
		}
		rival.CID[15], rival.Priority = byte(100+n%8), uint8(90+n%20)
		r, err := Open(rival)
		require.NoError(t, err)
		r.Put([][]byte{{1}, {2}})
		time.Sleep(100 * time.Millisecond)
		shut(t, r) // half of them have a port where nothing listens
	}
	end := time.Now().Add(lasts)
	var heap, goroutines []int64
	for n := 0; time.Now().Before(end); n++ {
		round(n)
		if n%10 == 9 {
			heap = append(heap, heapNow())
			goroutines = append(goroutines, int64(runtime.NumGoroutine()))
		}
	}
	close(stop)
	frames := <-sent
	r := l.Report()
	var missing uint64
	for i := range r.Source(testCID).Streams {
		missing += r.Source(testCID).Streams[i].Missing
	}
	t.Logf("%v: %d frames of 100 universes, heap %d kB at first and %d kB at last, goroutines %d and %d, missing %d, dropped by the system %d",
		lasts, frames, heap[1]>>10, heap[len(heap)-1]>>10, goroutines[1], goroutines[len(goroutines)-1], missing, l.Dropped())
	require.InDelta(t, goroutines[1], goroutines[len(goroutines)-1], 6)
	require.Less(t, heap[len(heap)-1]-heap[1], int64(8<<20))
	require.Equal(t, l.Dropped(), missing, "what is missing was dropped by the system, not by us")
	for _, u := range r.Sources {
		require.NotEmpty(t, u.Streams)
	}
	require.Equal(t, protocol.Live, r.Source(testCID).Stream(100).State)
}

// drive changes every universe at 44 Hz until it is stopped.
func drive(s *Sender, universes int, stop <-chan struct{}) (frames int) {
	slots := make([][]byte, universes)
	for i := range slots {
		slots[i] = make([]byte, 512)
	}
	clock := time.NewTicker(protocol.MinPeriod)
	defer clock.Stop()
	for {
		select {
		case <-stop:
			return frames
		case <-clock.C:
		}
		for i := range slots {
			slots[i][frames%512]++
		}
		s.Put(slots)
		frames++
	}
}
