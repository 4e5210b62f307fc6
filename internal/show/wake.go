package show

import "time"

// Period is the shortest time between two frames: 44 a second, rounded up to
// a microsecond so that it never passes the rate that E1.31-2018 6.6.1 allows.
const Period = 22_728 * time.Microsecond

// A wake is an alarm clock with one alarm.
type wake interface {
	At(t time.Time)      // sets the alarm, in place of any before
	C() <-chan time.Time // rings
	Stop()
}

// timer is a wake over the runtime's timer. It sleeps to an absolute time, so
// late alarms do not add up.
type timer struct{ t *time.Timer }

func newTimer() timer {
	t := time.NewTimer(time.Hour)
	t.Stop()
	return timer{t}
}

func (t timer) At(at time.Time)     { t.t.Reset(time.Until(at)) }
func (t timer) C() <-chan time.Time { return t.t.C }
func (t timer) Stop()               { t.t.Stop() }
