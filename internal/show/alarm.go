package show

import "time"

// Period is the shortest time between two frames: 44 a second, rounded up to
// a microsecond so that it never passes the rate that E1.31-2018 6.6.1 allows.
const Period = 22_728 * time.Microsecond

// An alarm fires once at an absolute time, so that delays do not add up.
type alarm struct{ *time.Timer }

func newAlarm() alarm {
	t := time.NewTimer(time.Hour)
	t.Stop()
	return alarm{t}
}

func (a alarm) set(at time.Time) { a.Reset(time.Until(at)) }
