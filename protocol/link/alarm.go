package link

import "time"

// An alarm wakes one sleeping goroutine at a given time or when another calls
// ring. Linux has one on a timerfd, which is more exact at half the cost;
// elsewhere it is a timer.
type alarm interface {
	// sleep returns at until (the zero time means never) or on a call of ring,
	// and reports whether it was a ring. A ring before the sleep is not lost.
	sleep(until time.Time) (rung bool)
	ring()
	close() // called by the sleeping goroutine; ring may still be called
}
