// Package lateness measures scheduling delays of the machine, for tests with
// real-time limits. A test adds the delay to its limit, so that it fails because
// of the program and not because of a busy machine. On an idle machine the delay
// is close to 0.
//
//	late := lateness.Watch(t)
//	...
//	require.Less(t, took, 200*time.Millisecond+late.Total())
package lateness

import (
	"runtime"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

const (
	nap   = 2 * time.Millisecond // time between two clock readings
	usual = time.Millisecond     // a shorter delay is normal and does not count
)

// A Meter is a thread that only sleeps and measures how late it wakes.
type Meter struct {
	stop atomic.Bool

	mu           sync.Mutex
	before       time.Time // the last clock reading
	worst, total time.Duration
}

// Watch starts a meter that runs until the test ends.
func Watch(t testing.TB) *Meter {
	m := &Meter{before: time.Now()}
	done := make(chan struct{})
	go func() {
		defer close(done)
		m.run()
	}()
	t.Cleanup(func() {
		m.stop.Store(true)
		<-done
	})
	return m
}

// Worst is the longest single delay.
func (m *Meter) Worst() time.Duration {
	worst, _ := m.look(time.Now())
	return worst
}

// Total is the sum of all delays since Watch: the most that the machine can have
// delayed something that waits several times.
func (m *Meter) Total() time.Duration {
	_, total := m.look(time.Now())
	return total
}

func (m *Meter) run() {
	runtime.LockOSThread() // its own thread, as the sender's timer has
	defer runtime.UnlockOSThread()
	for !m.stop.Load() {
		time.Sleep(nap)
		m.look(time.Now())
	}
}

// look adds the delay since the last clock reading. Worst and Total call it too,
// since their caller may run before the sleeping thread wakes.
func (m *Meter) look(now time.Time) (worst, total time.Duration) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if late := now.Sub(m.before) - nap; late >= usual {
		m.total += late
		m.worst = max(m.worst, late)
	}
	if now.After(m.before) {
		m.before = now
	}
	return m.worst, m.total
}
