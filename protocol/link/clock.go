package link

import (
	"context"
	"time"
)

// An alarm wakes one sleeper at a moment or when somebody rings. Linux has one
// on a timerfd, which is more exact at half the cost; elsewhere it is a timer.
type alarm interface {
	// sleep returns at until (the zero time means never) or when rung, and
	// says whether it was rung. A ring before the sleep is not lost.
	sleep(until time.Time) (rung bool)
	ring()
	close() // by the sleeper; ring may still be called
}

// A Clock beats at absolute moments a period apart, so that it does not drift.
// One goroutine waits on it.
type Clock struct {
	alarm  alarm
	period time.Duration
	next   time.Time
}

// NewClock starts a clock; the first beat is one period from now.
func NewClock(period time.Duration) *Clock {
	return &Clock{alarm: newAlarm(), period: period, next: time.Now().Add(period)}
}

// Next waits for the next beat and returns the moment it was due. Beats that
// have gone by are skipped, never caught up. It returns false when ctx ends.
func (c *Clock) Next(ctx context.Context) (due time.Time, ok bool) {
	stop := context.AfterFunc(ctx, c.alarm.ring)
	defer stop()
	c.next = skipTo(c.next, c.period, time.Now())
	for ctx.Err() == nil {
		if !c.alarm.sleep(c.next) {
			due = c.next
			c.next = c.next.Add(c.period)
			return due, true
		}
	}
	return time.Time{}, false
}

// Close frees what the clock holds; call it from the goroutine that waits.
func (c *Clock) Close() { c.alarm.close() }

// skipTo moves due along its grid past every beat that is wholly over at now.
func skipTo(due time.Time, period time.Duration, now time.Time) time.Time {
	if late := now.Sub(due); late >= period {
		due = due.Add(late / period * period)
	}
	return due
}
