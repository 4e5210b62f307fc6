// Package heldup measures how long the machine holds a test up, for tests with
// limits in real time: a limit is then the one of the rule, plus what this
// machine was late by itself, so that a test fails for what the program does
// and not for a busy machine. On a quiet machine it adds next to nothing.
//
//	late := heldup.Watch(t)
//	...
//	require.Less(t, took, 200*time.Millisecond+late.Total())
package heldup

import (
	"runtime"
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
	worst, total atomic.Int64 // ns
	stop         atomic.Bool
}

// Watch starts a meter that runs until the test ends.
func Watch(t testing.TB) *Meter {
	m := &Meter{}
	began, done := time.Now(), make(chan struct{})
	go func() {
		defer close(done)
		m.run(began)
	}()
	t.Cleanup(func() {
		m.stop.Store(true)
		<-done
	})
	return m
}

// Worst is the longest time in one piece that the machine was late.
func (m *Meter) Worst() time.Duration { return time.Duration(m.worst.Load()) }

// Total is how late the machine was in all since Watch: something that waits
// several times is never late by more through no fault of its own.
func (m *Meter) Total() time.Duration { return time.Duration(m.total.Load()) }

func (m *Meter) run(before time.Time) {
	runtime.LockOSThread() // a thread of its own, as the sender's alarm has
	defer runtime.UnlockOSThread()
	for !m.stop.Load() {
		time.Sleep(nap)
		now := time.Now()
		m.add(now.Sub(before) - nap)
		before = now
	}
}

func (m *Meter) add(late time.Duration) {
	if late < usual {
		return
	}
	m.total.Add(int64(late))
	m.worst.Store(max(m.worst.Load(), int64(late)))
}
