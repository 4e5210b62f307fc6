//go:build linux

// Command gopace is pace.c in Go: the least work with which a Go program can send
// E1.31 data at 44 Hz. It uses a timerfd in the runtime's poller and batches of
// 64 packets. Its raw system calls do not wake the runtime's monitor thread. The
// extra cost over C is the Go runtime. Usage: gopace PORT UNIVERSES
package main

import (
	"log"
	"net"
	"os"
	"strconv"
	"syscall"
	"unsafe"

	"golang.org/x/sys/unix"
)

const (
	periodNS = 22_728_000
	batch    = 64
	size     = 126 + 510
)

// A message is a struct mmsghdr of sendmmsg(2).
type message struct {
	hdr unix.Msghdr
	n   [unsafe.Sizeof(uintptr(0))]byte
}

func main() {
	n, err := strconv.Atoi(os.Args[2])
	if err != nil {
		log.Fatal(err)
	}
	conn, err := net.Dial("udp4", "127.0.0.1:"+os.Args[1])
	if err != nil {
		log.Fatal(err)
	}
	out, err := conn.(*net.UDPConn).SyscallConn()
	if err != nil {
		log.Fatal(err)
	}
	packets, messages, parts := make([]byte, n*size), make([]message, n), make([]unix.Iovec, n)
	for i := range messages {
		p := packets[i*size:]
		p[113], p[114] = byte((i+1)>>8), byte(i+1)
		parts[i].Base = &p[0]
		parts[i].SetLen(size)
		messages[i].hdr.Iov = &parts[i]
		messages[i].hdr.SetIovlen(1)
	}
	timer := newTimer()
	for {
		if err := timer.Read(took); err != nil {
			log.Fatal(err)
		}
		for i := range messages {
			packets[i*size+111]++
		}
		for at := 0; at < n; {
			out.Write(func(fd uintptr) bool {
				sent, _, errno := unix.RawSyscall6(unix.SYS_SENDMMSG, fd, uintptr(unsafe.Pointer(&messages[at])), uintptr(min(batch, n-at)), 0, 0, 0)
				if errno == 0 {
					at += int(sent)
				}
				return errno == 0
			})
		}
	}
}

// newTimer opens a timerfd that expires at 44 Hz.
func newTimer() syscall.RawConn {
	fd, err := unix.TimerfdCreate(unix.CLOCK_MONOTONIC, unix.TFD_NONBLOCK)
	if err != nil {
		log.Fatal(err)
	}
	every := unix.NsecToTimespec(periodNS)
	if err := unix.TimerfdSettime(fd, 0, &unix.ItimerSpec{Interval: every, Value: every}, nil); err != nil {
		log.Fatal(err)
	}
	raw, err := os.NewFile(uintptr(fd), "timerfd").SyscallConn()
	if err != nil {
		log.Fatal(err)
	}
	return raw
}

// took reports whether the timer has expired since the last call.
func took(fd uintptr) bool {
	var beats [8]byte
	_, _, errno := unix.RawSyscall(unix.SYS_READ, fd, uintptr(unsafe.Pointer(&beats)), uintptr(len(beats)))
	return errno != unix.EAGAIN
}
