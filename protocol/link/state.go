package link

import (
	"fmt"
	"net/netip"
	"time"

	"example.org/ringout/protocol"
)

// A State is the state of sending to one destination, as the system reports it.
type State uint8

// The states of a destination.
const (
	Starting    State = iota // nothing sent yet
	Sending                  // the last packet left without an error
	Refused                  // the host is there, but nothing listens on the port
	Unreachable              // no route, network down, host unreachable
	Unresolved               // the host name gives no address
	NoInterface              // the chosen interface does not exist or is down
	Failed                   // any other error of the socket
)

// A Target is one universe and its destination.
type Target struct {
	Universe  protocol.Universe
	Host      string // name or address; empty means multicast
	Port      uint16 // 0 means 5568
	Interface string // empty lets the system choose
}

// A Status is the state of one target. Counts start with the sender.
type Status struct {
	Target  Target
	Dest    netip.AddrPort // zero until resolved
	Local   netip.Addr     // this machine's address on the way there; zero until known
	State   State
	Err     error      // the system's own words behind State, nil when Sending
	From    netip.Addr // the host or router that reported it, if the system names it
	Since   time.Time  // when State began
	Packets uint64     // packets sent
	Refused uint64     // packets that came back as refused; one that a refusal kept from leaving was sent again
	Rate    float64    // packets per second recently
	Waiting bool       // the newest values have not left yet
}

// String names a target: universe 3 to 10.0.0.5.
func (t Target) String() string {
	if t.Host == "" {
		return fmt.Sprintf("universe %d by %s", t.Universe, t.place())
	}
	return fmt.Sprintf("universe %d to %s", t.Universe, t.place())
}

// place is a target's destination in words.
func (t Target) place() string {
	switch {
	case t.Host != "":
		return protocol.Printable(t.Host)
	case t.Interface != "":
		return "multicast on " + protocol.Printable(t.Interface)
	default:
		return "multicast"
	}
}
