//go:build !portable

package link

import (
	"unsafe"

	"golang.org/x/sys/unix"
)

// A changes socket learns from the kernel that an interface, an address or a
// route of this machine has changed (rtnetlink(7)), which saves polling every
// second. One goroutine uses it.
type changes struct{ fd int }

// The groups of rtnetlink(7) and linux/rtnetlink.h that change the way to a host.
const (
	changeGroups = unix.RTMGRP_LINK | unix.RTMGRP_IPV4_IFADDR | unix.RTMGRP_IPV4_ROUTE | unix.RTMGRP_IPV4_RULE |
		unix.RTMGRP_IPV6_IFADDR | unix.RTMGRP_IPV6_ROUTE
	ruleGroup6 = 19 // RTNLGRP_IPV6_RULE, which has no bit of its own
)

// newChanges opens the socket; where the system refuses it, no change is
// reported.
func newChanges() *changes {
	fd, err := unix.Socket(unix.AF_NETLINK, unix.SOCK_RAW|unix.SOCK_CLOEXEC|unix.SOCK_NONBLOCK, unix.NETLINK_ROUTE)
	if err != nil {
		return &changes{closed}
	}
	c := &changes{fd}
	if unix.Bind(fd, &unix.SockaddrNetlink{Family: unix.AF_NETLINK, Groups: changeGroups}) != nil {
		c.close()
		return c
	}
	unix.SetsockoptInt(fd, unix.SOL_NETLINK, unix.NETLINK_ADD_MEMBERSHIP, ruleGroup6) // IPv6 may be off
	return c
}

// heard reports whether the kernel reports changes.
func (c *changes) heard() bool { return c.fd != closed }

// any reports whether something has changed since the last call. The content of
// a message is not read, and too many messages (ENOBUFS) count as a change: the
// caller then looks at everything.
func (c *changes) any() bool {
	for some := false; ; some = true {
		var b [64]byte // the rest of a message is cut
		_, _, errno := unix.RawSyscall6(unix.SYS_RECVFROM, uintptr(c.fd), uintptr(unsafe.Pointer(&b)), uintptr(len(b)), unix.MSG_DONTWAIT, 0, 0)
		if errno != 0 && errno != unix.ENOBUFS {
			return some || errno != unix.EAGAIN && c.heard() // after an error a change may have been missed
		}
	}
}

func (c *changes) close() {
	if c.fd != closed {
		unix.Close(c.fd)
	}
	c.fd = closed
}
