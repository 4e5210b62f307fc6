// Package lateness measures how long the machine holds a test up, for tests with
// limits in real time: a limit is then the one of the rule, plus what this
// machine was late by itself, so that a test fails for what the program does
// and not for a busy machine. On a quiet machine it adds next to nothing.
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
	nap   = 2 * time.Millisecond // between two looks at the clock
	usual = time.Millisecond     // late by less is what any system does
)

// A Meter is a thread that does nothing but sleep and see how late it wakes.
type Meter struct {
	stop atomic.Bool

	mu           sync.Mutex
	before       time.Time // the last look at the clock
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

// Worst is the longest time in one piece that the machine was late.
func (m *Meter) Worst() time.Duration {
	worst, _ := m.look(time.Now())
	return worst
}

// Total is how late the machine was in all since Watch: something that waits
// several times is never late by more through no fault of its own.
func (m *Meter) Total() time.Duration {
	_, total := m.look(time.Now())
	return total
}

func (m *Meter) run() {
	runtime.LockOSThread() // a thread of its own, as the sender's alarm has
	defer runtime.UnlockOSThread()
	for !m.stop.Load() {
		time.Sleep(nap)
		m.look(time.Now())
	}
}

// look takes in how late it is. Whoever asks looks too: they may have woken
// before the thread that sleeps.
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
