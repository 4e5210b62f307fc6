package link

import (
	"errors"
	"fmt"
	"net/netip"

	"example.org/ringout/protocol"
)

// String is one word for a state.
func (s State) String() string {
	switch s {
	case Starting:
		return "starting"
	case Sending:
		return "sending"
	case Refused:
		return "refused"
	case Unreachable:
		return "unreachable"
	case Unresolved:
		return "unresolved"
	case NoInterface:
		return "no interface"
	default:
		return "failed"
	}
}

// OK reports whether nothing is known to be wrong. It does not mean that a
// receiver listens: silence proves nothing.
func (s State) OK() bool { return s == Starting || s == Sending }

// Sentence describes the state of the target to the builder.
func (s Status) Sentence() string {
	where := s.where()
	var ours *faultError
	switch s.State {
	case Starting:
		return fmt.Sprintf("nothing sent to %s yet", where)
	case Sending:
		return fmt.Sprintf("sending to %s", where)
	case Refused:
		return fmt.Sprintf("no program listens at %s: the host answered port unreachable on port %d", where, s.Dest.Port())
	case Unreachable:
		return s.unreachable(where)
	case Unresolved, NoInterface:
		if s.Err == nil {
			return "no way to " + where + " was found"
		}
		return protocol.Printable(s.Err.Error())
	default:
		if errors.As(s.Err, &ours) {
			return protocol.Printable(ours.Error()) + ": start again, and report this line if it comes back"
		}
		return fmt.Sprintf("the system does not send to %s (%s): look for a firewall on this machine, or try another interface", where, plain(s.Err))
	}
}

// unreachable says whether this machine or a router could not reach the host.
func (s Status) unreachable(where string) string {
	var down *interfaceStateError
	switch {
	case errors.As(s.Err, &down):
		return down.Error()
	case s.From.IsValid() && !s.fromHere():
		return fmt.Sprintf("the router at %s finds no way to %s: check the address", s.From, where)
	case isHostSilent(s.Err):
		return fmt.Sprintf("no answer from %s at all: it is off, not on this network, or has another address", where)
	default:
		return fmt.Sprintf("this machine has no way to %s (%s): check its cable, its wireless network and its own address", where, plain(s.Err))
	}
}

// fromHere reports whether this machine itself gave up on the host.
func (s Status) fromHere() bool { return s.From == s.Local || s.From.IsLoopback() }

// where is the host as the builder wrote it.
func (s Status) where() string {
	if s.Target.Host == "" {
		return s.Target.place()
	}
	name := s.Target.place()
	if _, err := netip.ParseAddr(s.Target.Host); err == nil || !s.Dest.IsValid() {
		return name
	}
	return fmt.Sprintf("%s (%s)", name, s.Dest.Addr())
}
