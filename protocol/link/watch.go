package link

import (
	"context"

	"example.org/ringout/protocol"
)

// Watch listens to the sender's own universes, and to universe discovery, on
// the interfaces that the sender uses, to find other sources on them. It hears
// multicast only: unicast from another source to another host does not reach
// this machine, but its discovery does. It takes no packet from another program
// on this machine, and ends with ctx or by Close.
func (s *Sender) Watch(ctx context.Context) (*Listener, error) {
	return listen(ctx, ListenConfig{Universes: s.Ours().Universes, Port: s.cfg.DiscoveryPort}, s.usedInterfaces)
}

// Ours is what the sender drives, to be compared with a report.
func (s *Sender) Ours() protocol.Ours {
	o := protocol.Ours{CID: s.cfg.CID, Priority: s.cfg.Priority}
	seen := make(map[protocol.Universe]bool)
	for _, t := range s.cfg.Targets {
		if !seen[t.Universe] {
			seen[t.Universe] = true
			o.Universes = append(o.Universes, t.Universe)
		}
	}
	return o
}
