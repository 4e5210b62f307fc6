package link

import "time"

// An alarm wakes one sleeper at a moment or when someone rings. Linux has one
// on a timerfd, which is more exact at half the cost; elsewhere it is a timer.
type alarm interface {
	// sleep returns at until (the zero time means never) or when rung, and
	// says whether it was rung. A ring before the sleep is not lost.
	sleep(until time.Time) (rung bool)
	ring()
	close() // by the sleeper; ring may still be called
}
