package link

import (
	"net/netip"
	"time"
)

// How long an answer to an earlier packet counts when no further one comes.
// Nothing ever says that packets arrive, so only the silence afterwards clears
// the state.
// Hosts and the kernel limit such answers to about one a second however much
// is sent, so that each represents many packets. An address that no one
// answers to is asked for again for three seconds before the next verdict.
const (
	refusedHold = 3 * time.Second
	silentHold  = 3500 * time.Millisecond // and twice the time between packets, which start the search again
	routerHold  = 10 * time.Second        // a router was seen to answer twice and then no more
	nearHold    = 1200 * time.Millisecond // on this machine every packet is answered
)

// A health folds what happens on the way to one destination into its state.
// It reads no clock.
type health struct {
	state State
	err   error
	from  netip.Addr // who said so; zero when it was this machine
	since time.Time
	until time.Time // the state lasts at least so long, whatever leaves
	down  State     // the verdict of the watch over interfaces; Starting means none
}

// An answer is what came back for an earlier packet.
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

// sent says that a packet left without complaint.
func (h *health) sent(now time.Time) {
	if h.down != Starting || now.Before(h.until) || h.state == Sending {
		return
	}
	h.set(now, Sending, nil, netip.Addr{})
}

// answered says that an earlier packet came back; local is this machine's
// address on the way there, gap the time since the packets before these.
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

// failed says that a packet could not leave at all. It stands until one does.
func (h *health) failed(now time.Time, s State, err error) {
	h.until = time.Time{}
	if h.down == Starting {
		h.set(now, s, err, netip.Addr{})
	}
}

// judge takes the verdict of the watch over interfaces and names: Starting and
// nil clear it. It is true when that ended a bad one.
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
