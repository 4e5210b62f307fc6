package link

import (
	"net/netip"
	"time"
)

// How long an ICMP error for an earlier packet counts when no further one
// comes. Nothing confirms that packets arrive, so only silence afterwards
// clears the state. Hosts and the kernel limit such errors to about one a
// second, so each represents many packets. The kernel resolves an address that
// does not answer for three seconds before it reports again.
const (
	refusedHold = 3 * time.Second
	silentHold  = 3500 * time.Millisecond // plus twice the time between packets, since a packet starts address resolution again
	routerHold  = 10 * time.Second        // observed: a router answered twice and then no more
	nearHold    = 1200 * time.Millisecond // on this machine every packet is answered
)

// A health works out the state of one destination from the errors of its
// packets. It reads no clock.
type health struct {
	state State
	err   error
	from  netip.Addr // who reported it; zero for this machine
	since time.Time
	until time.Time // the state lasts at least until then, even if packets leave
	down  State     // the dialer's state for the interface or name; Starting means none
}

// An answer is an ICMP error that came back for an earlier packet.
type answer struct {
	state State
	err   error
	from  netip.Addr
}

func (h *health) set(now time.Time, s State, err error, from netip.Addr) {
	if h.state != s || h.since.IsZero() {
		h.since = now
	}
	h.state, h.err, h.from = s, err, from
}

// sent notes that a packet left without an error.
func (h *health) sent(now time.Time) {
	if h.down != Starting || now.Before(h.until) || h.state == Sending {
		return
	}
	h.set(now, Sending, nil, netip.Addr{})
}

// answered notes an error for an earlier packet; local is this machine's
// address on the way there, gap the time since the previous packets.
func (h *health) answered(now time.Time, a answer, local netip.Addr, gap time.Duration) {
	hold := refusedHold
	switch {
	case a.state != Refused && a.from.IsValid() && a.from != local && !a.from.IsLoopback():
		hold = routerHold
	case a.state != Refused:
		hold = silentHold + 2*min(gap, time.Second)
	case a.from.IsLoopback():
		hold = nearHold
	}
	h.until = now.Add(hold)
	if h.down == Starting {
		h.set(now, a.state, a.err, a.from)
	}
}

// failed notes that a packet could not leave. The state lasts until one does.
func (h *health) failed(now time.Time, s State, err error) {
	h.until = time.Time{}
	if h.down == Starting {
		h.set(now, s, err, netip.Addr{})
	}
}

// judge takes the dialer's state for interface and name; Starting and nil clear
// it. It returns true when that ended a bad state.
func (h *health) judge(now time.Time, s State, err error) (cleared bool) {
	cleared = s == Starting && h.down != Starting
	h.down = s
	switch {
	case s != Starting:
		h.set(now, s, err, netip.Addr{})
	case cleared:
		h.until = time.Time{}
		h.set(now, Starting, nil, netip.Addr{})
	}
	return cleared
}
