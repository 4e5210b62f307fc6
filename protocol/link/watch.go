package link

import (
	"context"

	"example.org/ringout/protocol"
)

// Watch listens to the sender's own universes, and to universe discovery, on
// the interfaces that the sender uses, so that rivals show while it sends. It
// hears multicast only: what a rival sends to another host by unicast does not
// pass by here, but its discovery does. It takes no packet from another
// program on this machine, and ends with ctx or by Close.
func (s *Sender) Watch(ctx context.Context) (*Listener, error) {
	return listen(ctx, ListenConfig{Universes: s.Ours().Universes, Port: s.cfg.DiscoveryPort}, s.usedInterfaces)
}

// Ours is what the sender drives, as protocol.Report.Sentences wants it.
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
