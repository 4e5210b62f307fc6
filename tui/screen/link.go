package screen

import (
	"fmt"

	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
	"example.org/ringout/tui/style"
)

// WorstLink is the link most in need of words: the first that does not send, else
// the first.
func WorstLink(links []link.Status) link.Status {
	for _, l := range links {
		if l.State != link.Sending {
			return l
		}
	}
	if len(links) > 0 {
		return links[0]
	}
	return link.Status{}
}

// LinkWords is the state of a link as a short sentence: what is, and what to do.
func LinkWords(s link.Status) string {
	to := style.Clean(s.Target.Host)
	if to == "" {
		to = "multicast"
	}
	port := s.Target.Port
	if port == 0 {
		port = protocol.Port
	}
	switch s.State {
	case link.Starting:
		return "nothing sent yet"
	case link.Sending:
		return "sending to " + to
	case link.Refused:
		return fmt.Sprintf("%s is there, but nothing listens on port %d: is its E1.31 input on?", to, port)
	case link.Unreachable:
		return "no way to " + to + ": check cable, power and address"
	case link.Unresolved:
		return "the name " + to + " gives no address: check it, or type the address"
	case link.NoInterface:
		return "interface " + style.Clean(s.Target.Interface) + " is missing or down: choose another in Set-up"
	}
	if s.Err != nil {
		return "sending to " + to + " fails: " + style.Clean(s.Err.Error())
	}
	return "sending to " + to + " fails"
}
