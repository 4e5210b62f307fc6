//go:build !portable

package link

import (
	"errors"
	"os"
	"sync/atomic"
	"syscall"
	"time"
	"unsafe"

	"golang.org/x/sys/unix"
)

// A fdAlarm sleeps in a read of a timerfd through Go's own poller: no locked
// thread, no spinning. A ring is a read deadline in the past.
type fdAlarm struct {
	fd   int
	file *os.File
	raw  syscall.RawConn
	rung atomic.Bool

	// State of one sleep; try is made once because making it allocates.
	until time.Time
	set   bool
	buf   [8]byte
	try   func(fd uintptr) (done bool)
}

func newAlarm() alarm {
	fd, err := unix.TimerfdCreate(unix.CLOCK_MONOTONIC, unix.TFD_NONBLOCK|unix.TFD_CLOEXEC)
	if err != nil {
		return newTimerAlarm()
	}
	a := &fdAlarm{fd: fd, file: os.NewFile(uintptr(fd), "timerfd")}
	a.raw, err = a.file.SyscallConn()
	if err != nil || a.file.SetReadDeadline(time.Time{}) != nil { // the poller refused it
		a.file.Close()
		return newTimerAlarm()
	}
	a.try = a.expired
	return a
}

// sleep sets the timer inside the wait, which saves one read of the timer.
// These calls never block, and a raw one does not wake the runtime's monitor
// (sysmon), which polls every 20 µs after any other call: that was a third of
// the processor time of one universe.
func (a *fdAlarm) sleep(until time.Time) (rung bool) {
	if a.file.SetReadDeadline(time.Time{}) != nil {
		return true // closed
	}
	if a.rung.Swap(false) {
		return true
	}
	a.until, a.set = until, false
	err := a.raw.Read(a.try)
	if errors.Is(err, os.ErrDeadlineExceeded) {
		a.rung.Store(false)
	}
	return err != nil || !a.set
}

// expired sets the timer on its first call and reports on later calls whether
// it went off.
func (a *fdAlarm) expired(fd uintptr) (done bool) {
	if !a.set {
		a.set = a.arm(a.until) == nil
		return !a.set
	}
	_, _, errno := unix.RawSyscall(unix.SYS_READ, fd, uintptr(unsafe.Pointer(&a.buf)), uintptr(len(a.buf)))
	return errno != unix.EAGAIN
}

// arm sets the timer to the time left until a moment: the timer and Go's time
// both run on CLOCK_MONOTONIC.
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
