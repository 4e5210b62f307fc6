//go:build !portable

package link

import (
	"errors"
	"os"
	"sync/atomic"
	"time"

	"golang.org/x/sys/unix"
)

// A fdAlarm sleeps in a read of a timerfd through Go's own poller: no locked
// thread, no spinning. A ring is a read deadline in the past.
type fdAlarm struct {
	fd   int
	file *os.File
	rung atomic.Bool
	buf  [8]byte
}

func newAlarm() alarm {
	fd, err := unix.TimerfdCreate(unix.CLOCK_MONOTONIC, unix.TFD_NONBLOCK|unix.TFD_CLOEXEC)
	if err != nil {
		return newTimerAlarm()
	}
	a := &fdAlarm{fd: fd, file: os.NewFile(uintptr(fd), "timerfd")}
	if a.file.SetReadDeadline(time.Time{}) != nil { // the poller refused it
		a.file.Close()
		return newTimerAlarm()
	}
	return a
}

func (a *fdAlarm) sleep(until time.Time) (rung bool) {
	if a.file.SetReadDeadline(time.Time{}) != nil {
		return true // closed
	}
	if a.rung.Swap(false) {
		return true
	}
	if err := a.arm(until); err != nil {
		return true
	}
	_, err := a.file.Read(a.buf[:])
	if errors.Is(err, os.ErrDeadlineExceeded) {
		a.rung.Store(false)
	}
	return err != nil
}

// arm sets the timer. Both clocks are CLOCK_MONOTONIC, so what is left until a
// moment is as good as the moment.
func (a *fdAlarm) arm(until time.Time) error {
	var spec unix.ItimerSpec // zero means never
	if !until.IsZero() {
		left := max(time.Until(until), 1)
		spec.Value = unix.NsecToTimespec(int64(left))
	}
	return unix.TimerfdSettime(a.fd, 0, &spec, nil)
}

func (a *fdAlarm) ring() {
	a.rung.Store(true)
	a.file.SetReadDeadline(time.Unix(1, 0))
}

func (a *fdAlarm) close() { a.file.Close() }
