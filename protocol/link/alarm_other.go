//go:build !linux

package link

func newAlarm() alarm { return newTimerAlarm() }
