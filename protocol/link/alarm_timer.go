package link

import "time"

// A timerAlarm is the alarm of all systems but Linux, on a Go timer.
type timerAlarm struct {
	timer *time.Timer
	rings chan struct{} // room for one
}

func newTimerAlarm() alarm {
	t := time.NewTimer(time.Hour)
	t.Stop()
	return &timerAlarm{timer: t, rings: make(chan struct{}, 1)}
}

func (a *timerAlarm) sleep(until time.Time) (rung bool) {
	if until.IsZero() {
		<-a.rings
		return true
	}
	a.timer.Reset(time.Until(until))
	select {
	case <-a.rings:
		a.timer.Stop()
		return true
	case <-a.timer.C:
		return false
	}
}

func (a *timerAlarm) ring() {
	select {
	case a.rings <- struct{}{}:
	default:
	}
}

func (a *timerAlarm) close() { a.timer.Stop() }
