//go:build !linux || portable

package link

func newAlarm() alarm { return newTimerAlarm() }
